"""The floor of rules: pure functions over plain frozen values. No clock, no disk, no screen."""

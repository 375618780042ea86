"""The floor of storage: tables, migrations, and the turning of rows into the values that rules read."""

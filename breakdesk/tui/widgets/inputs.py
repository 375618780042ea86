"""Where a person types a secret, or what may be one."""

from __future__ import annotations

from textual.widgets import Input

from breakdesk.rules.codes import may_hold_code


class SecretInput(Input):
    """A line for a code or an address: its letters are dots while the stream can see the screen."""

    def on_mount(self) -> None:
        """Follow the air."""
        self.watch(self.app, "on_air", self._follow_air)

    def _follow_air(self, on_air: bool) -> None:
        self.password = on_air


class CarefulInput(SecretInput):
    """A line for anything: on air its letters are dots as soon as a word of it looks like a code or a reference."""

    def _follow_air(self, on_air: bool) -> None:
        self.password = on_air and may_hold_code(self.value)

    def watch_value(self, value: str) -> None:
        """Look at every letter that is typed or pasted, before it is drawn."""
        self._follow_air(getattr(self.app, "on_air", False))

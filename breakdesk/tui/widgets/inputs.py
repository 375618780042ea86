"""Where a person types a secret."""

from __future__ import annotations

from textual.widgets import Input


class SecretInput(Input):
    """A line for a code or an address: its letters are dots while the stream can see the screen."""

    def on_mount(self) -> None:
        """Follow the air."""
        self.watch(self.app, "on_air", self._follow_air)

    def _follow_air(self, on_air: bool) -> None:
        self.password = on_air

"""Styles, read and applied once for each theme: again is a tenth of a start, and changes nothing."""

from __future__ import annotations

from typing import Any
from weakref import WeakSet

from textual.app import App
from textual.css.stylesheet import Stylesheet
from textual.screen import Screen


class OnceParsed(Stylesheet):
    """A stylesheet that parses only what is new to it, and everything when the colours change.

    Textual parses all of it whenever a screen opens after a theme was set. That serves those who edit a stylesheet
    while the program runs, which nobody does here.
    """

    def __init__(self, *, variables: dict[str, str]) -> None:
        super().__init__(variables=variables)
        self._other_colours = False

    def set_variables(self, variables: dict[str, str]) -> None:
        """Take other colours; the same ones change nothing."""
        if variables != self._variables:
            super().set_variables(variables)
            self._other_colours = True

    def reparse(self) -> None:
        """Parse what came since the last time, or everything anew in other colours."""
        if self._other_colours:
            self._other_colours = False
            super().reparse()
        elif self._require_parse:
            self.parse()


class DressedApp(App[None], inherit_bindings=False):
    """An app that styles each screen once for each theme; Textual does so again with every place that opens."""

    _styled_with: dict[str, str] | None = None

    def refresh_css(self, animate: bool = True) -> None:
        """Style everything anew where the colours are others, else only what was not styled yet."""
        variables = self.get_css_variables()
        if variables != self._styled_with:
            self._styled_with, self._styled = variables, WeakSet[Screen[Any]](self.screen_stack)
            super().refresh_css(animate)
            return
        for screen in self.screen_stack:
            if screen not in self._styled:
                self._styled.add(screen)
                self.stylesheet.update(screen, animate=animate)

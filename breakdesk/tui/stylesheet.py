"""The stylesheet, parsed once for each theme: parsing it again costs a tenth of a start and changes nothing."""

from __future__ import annotations

from textual.css.stylesheet import Stylesheet


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

"""The last gate before the terminal: whatever a widget draws, no character of it acts on the terminal.

Text from outside is made harmless where it is shown; a field for typing draws what was pasted into it as it is, and
a widget may be forgotten. This looks at every line that is drawn.
"""

from __future__ import annotations

import re

from rich.segment import Segment
from textual.color import Color
from textual.filter import LineFilter

# C0, DEL and C1 controls, line and paragraph separators, what turns the direction of text, lone surrogates. None of
# them takes a cell, so that leaving them out moves nothing.
_ACTING = re.compile("[\x00-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ud800-\udfff\ufeff]")


class HarmlessLines(LineFilter):
    """Leaves out of every drawn line what a terminal would act on."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """Return the segments with nothing but what can be seen in them."""
        if not any(_ACTING.search(segment.text) for segment in segments if not segment.control):
            return segments
        return [
            segment if segment.control else Segment(_ACTING.sub("", segment.text), segment.style)
            for segment in segments
        ]


HARMLESS_LINES = HarmlessLines()

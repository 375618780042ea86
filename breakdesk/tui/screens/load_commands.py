"""What can be done on the load screen, and what is offered once files were checked."""

from __future__ import annotations

from typing import Final

from breakdesk.tui.choices import Choice
from breakdesk.tui.commands import REGISTRY, Command

ABOUT: Final = (
    "Type or paste paths and press Enter: several are parted by blanks, in quotation marks where they hold blanks, "
    "~ is your home folder, and a folder stands for the tables in it. The files are checked first; nothing is "
    "written before you say so, and then all of them or none. Loading the same files again changes nothing. "
    "Where a spreadsheet has headings of its own, m shows its columns beside ours. A start line (l) is for an old "
    "list: updates and asks that waited before today are spread over some weeks, deadlines stay where they are."
)
"""What the load screen is, for help."""

COMMANDS = REGISTRY.add(
    Command(
        id="load.again",
        keys=("r",),
        label="Check again",
        tooltip="Check the same files again, after they were corrected.",
        context="load",
    ),
    Command(
        id="load.other",
        keys=("e",),
        label="Other files",
        tooltip="Go back to the line of paths and change it.",
        context="load",
    ),
    Command(
        id="load.warnings",
        keys=("w",),
        label="To look at",
        tooltip="Show what keeps no file out but should be looked at, or go back from it.",
        context="load",
    ),
    Command(
        id="load.columns",
        keys=("m",),
        label="Columns",
        tooltip="Show the columns of a spreadsheet beside ours, and correct what each is taken for.",
        context="load",
    ),
    Command(
        id="load.start-line",
        keys=("l",),
        label="Start line",
        tooltip="Spread what waited before today over some weeks; shown before it is done, and deadlines stay.",
        context="load",
    ),
    Command(
        id="load.cancel",
        keys=("c",),
        label="Stop",
        tooltip="Stop what is going on; nothing of it is saved.",
        context="load",
    ),
)

CHOICES: Final = (Choice("load", "Load them now"), Choice("other", "Other files"))
CHOICES_WITH_LINE: Final = (
    Choice("load", "Load them now"),
    Choice("line", "Load them, then draw a start line", "nothing old is late on the first day"),
    Choice("other", "Other files"),
)

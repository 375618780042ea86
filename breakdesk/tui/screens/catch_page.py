"""A dialog for several lines of text, such as a pasted list."""

from __future__ import annotations

from textual.app import ComposeResult

from breakdesk.tui.commands import DIALOG, REGISTRY, Command
from breakdesk.tui.dialogs import CLOSE, Dialog, Paragraph
from breakdesk.tui.keys import bindings
from breakdesk.tui.widgets.note_area import NoteArea

TAKE = Command(
    id="dialog.page.take",
    keys=("f12",),
    label="Take it",
    tooltip="Take the text as it stands.",
    context=f"{DIALOG}.page",
)
REGISTRY.add(TAKE)


class AskPage(Dialog[str | None]):
    """Asks for several lines; Enter begins a new one."""

    BINDINGS = bindings((TAKE,))
    COMMANDS_SHOWN = (TAKE, CLOSE)
    AUTO_FOCUS = "TextArea"

    def __init__(self, title: str, *parts: str) -> None:
        super().__init__(title)
        self._parts = parts

    def compose_body(self) -> ComposeResult:
        """Give the explanation and the page."""
        yield Paragraph(*self._parts)
        yield NoteArea(id="dialog-lines")

    def action_take(self) -> None:
        """Answer with the text."""
        self.dismiss(self.query_one(NoteArea).text)

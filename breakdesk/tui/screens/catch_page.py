"""A dialog for several lines of text, such as a pasted list."""

from __future__ import annotations

from textual.app import ComposeResult

from breakdesk.tui.commands import DIALOG, REGISTRY, Command
from breakdesk.tui.dialogs import CLOSE, Dialog, Paragraph
from breakdesk.tui.keys import bindings
from breakdesk.tui.widgets.note_area import NoteArea, SecretNoteArea

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

    def __init__(self, title: str, *parts: str, secret: bool = False) -> None:
        """Make the dialog; the letters of a `secret` page are dots on air."""
        super().__init__(title)
        self._parts = parts
        self._secret = secret

    def compose_body(self) -> ComposeResult:
        """Give the explanation and the page."""
        yield Paragraph(*self._parts)
        yield (SecretNoteArea if self._secret else NoteArea)(id="dialog-lines")

    def action_take(self) -> None:
        """Answer with the text."""
        self.dismiss(self.query_one(NoteArea).text)

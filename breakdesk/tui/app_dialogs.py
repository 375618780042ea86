"""What the app itself asks and says, on whatever screen it is: about the air, and that something failed."""

from __future__ import annotations

from textual.app import ComposeResult

from breakdesk.tui.dialogs import Confirm, Dialog, Paragraph


class GoOffAir(Confirm):
    """Asks before anything hidden is shown."""

    def __init__(self) -> None:
        super().__init__(
            "Go off air?",
            "Codes, references, addresses and full names will stand on this screen. "
            "Only do this when no stream, recording or shared screen can see it. F9 hides them again at once.",
            yes="Go off air: nothing can see this screen",
            no="Stay on air",
        )


class FailureDialog(Dialog[None]):
    """Says that the program failed, without a word of its insides."""

    def __init__(self, where: str) -> None:
        super().__init__("Something went wrong here")
        self._where = where

    def compose_body(self) -> ComposeResult:
        """Give the sentence."""
        yield Paragraph(
            "Nothing was saved by this step; what was saved before is safe. You can close this and go on. If it "
            f"happens again, leave Breakdesk and start it anew. {self._where}".rstrip()
        )

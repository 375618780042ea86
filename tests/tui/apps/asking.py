"""A small app with every dialog behind a key of its own, for pictures."""

from __future__ import annotations

from datetime import UTC, datetime

from textual.app import ComposeResult

from breakdesk.tui import masking
from breakdesk.tui.base import DeskApp
from breakdesk.tui.choices import Choice
from breakdesk.tui.commands import REGISTRY, Command
from breakdesk.tui.desk_screen import DeskScreen
from breakdesk.tui.dialogs import AskText, Confirm, Pick, ShowText
from breakdesk.tui.keys import bindings
from breakdesk.tui.widgets.fields import Field, Fields
from breakdesk.tui.widgets.note_area import NoteArea

NOW = datetime(2026, 3, 3, 14, 30, tzinfo=UTC)


def _command(name: str, key: str) -> Command:
    return Command(id=f"asking.{name}", keys=(key,), label=name.capitalize(), tooltip=f"{name}.", context="asking")


COMMANDS = REGISTRY.add(_command("sure", "s"), _command("text", "t"), _command("pick", "p"), _command("read", "r"))


class Asking(DeskScreen):
    TITLE_WORDS = "Asking"
    ABOUT = "Every dialog behind a key of its own."
    CONTEXT = "asking"
    AUTO_FOCUS = ""
    BINDINGS = bindings(COMMANDS)

    def compose_body(self) -> ComposeResult:
        yield Fields([Field("Claim", "K5A1"), Field("Code", masking.code("AB12-CD34"))], id="behind")
        yield NoteArea("A note about the claim.")

    def action_sure(self) -> None:
        self.app.push_screen(
            Confirm("Close claim K5A1?", "It ends what the house owes.", yes="Close it"), lambda yes: self.say(f"{yes}")
        )

    def action_text(self) -> None:
        dialog = AskText(
            "Code of claim K5A1",
            "As it stands on the card.",
            value="AB12",
            secret=True,
            check=lambda text: None if len(text) > 5 else "A code of this maker has at least 6 characters.",
        )
        self.app.push_screen(dialog, lambda text: self.say("Saved: ", masking.code(text or "")))

    def action_pick(self) -> None:
        choices = [
            Choice("a", "heron_tom", "3 claims"),
            Choice("b", masking.full_name("Ada Marsh", "marsh"), masking.phone("+1 555 0100")),
            Choice("c", "[bold]odd[/bold]"),
        ]
        self.app.push_screen(
            Pick("Who owns it?", choices, "Two people share this team."), lambda choice: self.say(f"{choice}")
        )

    def action_read(self) -> None:
        lines = "\n".join(f"Line {number} of the story." for number in range(1, 40))
        self.app.push_screen(ShowText("Story of K5A1", lines, "\nCode ", masking.code("AB12-CD34")))


class App(DeskApp):
    MODES = {"asking": Asking}
    START = "asking"


app = App(desk_name="Harbour Breaks", now=lambda: NOW, go_on_after_failure=False)

if __name__ == "__main__":
    app.run()

"""The small family of dialogs: ask for a yes, for a text, for one of several, and show a text.

Each is pushed by `app.push_screen(dialog, callback)` or awaited in a worker by `await app.push_screen_wait(dialog)`.
Escape always answers None or no, and nothing that destroys is the first choice.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, ClassVar, Generic, TypeVar, cast

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Input, OptionList

from breakdesk.tui.choices import Choice, Choices
from breakdesk.tui.clipboard import copy_text
from breakdesk.tui.commands import DIALOG, REGISTRY, Command
from breakdesk.tui.failures import Steady
from breakdesk.tui.keys import bindings, enter_command
from breakdesk.tui.masking import Secret
from breakdesk.tui.widgets.cells import wrap
from breakdesk.tui.widgets.inputs import SecretInput
from breakdesk.tui.widgets.key_line import KeyLine
from breakdesk.tui.widgets.lines import Lines, words

if TYPE_CHECKING:
    from breakdesk.tui.base import DeskApp

Answer = TypeVar("Answer")

CLOSE = Command(
    id="dialog.close",
    keys=("escape",),
    label="Close",
    tooltip="Close this dialog and change nothing.",
    context=DIALOG,
)
COPY = Command(
    id="dialog.text.copy",
    keys=("y",),
    label="Copy",
    tooltip="Copy the whole text that is shown.",
    context="dialog.text",
)
HELP = Command(
    id="dialog.help",
    keys=("f1", "question_mark"),
    label="Help",
    tooltip="Tell what this dialog asks and what its keys do; while a text is typed, F1 does.",
    context=DIALOG,
)
REGISTRY.add(CLOSE, COPY, HELP)
CHOOSE, GO_ON = enter_command("Choose"), enter_command("Go on")


class Paragraph(Lines):
    """Text in whole sentences, wrapped between words; parts of it may be secret."""

    def __init__(self, *parts: str | Secret, style: str = "", id: str | None = None) -> None:
        super().__init__(id=id)
        self._parts = parts
        self._style = style

    def show(self, *parts: str | Secret) -> None:
        """Show another text."""
        self._parts = parts
        self.draw_anew()

    def text(self) -> str:
        """Return the text as it stands on the screen now."""
        return "".join(self.shown(part) for part in self._parts)

    @property
    def secret(self) -> Secret | None:
        """The first part that the stream may not see, if there is one."""
        return next((part for part in self._parts if isinstance(part, Secret) and part), None)

    def build(self, width: int) -> list[Content]:
        """Return the wrapped lines."""
        return [words(line, self._style) for line in wrap(self.text(), width)]


class Dialog(Steady, ModalScreen[Answer], Generic[Answer]):
    """What all dialogs share: a title, a frame, the keys below, Escape."""

    BINDINGS = bindings((CLOSE, HELP))
    ABOUT: ClassVar[str] = "A dialog to read. Escape closes it and changes nothing."
    """What it asks, and what each answer does, for its help."""
    AUTO_FOCUS = "OptionList, Input, VerticalScroll"
    COMMANDS_SHOWN: ClassVar[tuple[Command, ...]] = (CLOSE,)

    def __init__(self, title: str) -> None:
        super().__init__()
        self._title_words = title

    def compose(self) -> ComposeResult:
        """Lay the dialog out."""
        with Vertical(id="dialog"):
            yield Paragraph(self._title_words, style="bold", id="dialog-title")
            yield from self.compose_body()
            yield KeyLine(id="dialog-keys")

    def compose_body(self) -> ComposeResult:
        """Give what stands between title and keys."""
        yield from ()

    def on_mount(self) -> None:
        """Show the keys."""
        self.query_one(KeyLine).show(self.COMMANDS_SHOWN)

    def action_close(self) -> None:
        """Close without an answer."""
        self.dismiss(None)

    def action_help(self) -> None:
        """Tell what is asked and by which keys it is answered."""
        from breakdesk.tui.help import HelpScreen

        app = cast("DeskApp", self.app)
        commands = dict.fromkeys((*self.COMMANDS_SHOWN, HELP))
        self.app.push_screen(HelpScreen(self._title_words, self.ABOUT, commands, app.rebound))

    async def action_press_enter(self) -> None:
        """Do what Enter does, for a click on the key."""
        if isinstance(self.focused, Input):
            await self.focused.action_submit()
        elif isinstance(self.focused, OptionList):
            self.focused.action_select()


class Pick(Dialog[str | None]):
    """Asks for one of several; the answer is the id of the choice, or None."""

    ABOUT = "One of several is asked for. Up and Down mark one, Enter takes it, Escape takes none and changes nothing."
    COMMANDS_SHOWN = (CHOOSE, CLOSE)

    def __init__(self, title: str, choices: Sequence[Choice], *parts: str | Secret, marked: str | None = None) -> None:
        """Make the dialog; `parts` is the explanation above the choices, `marked` the choice that is marked first."""
        super().__init__(title)
        self._choices = tuple(choices)
        self._parts = parts
        self._marked = marked

    def compose_body(self) -> ComposeResult:
        """Give the explanation and the choices."""
        if self._parts:
            yield Paragraph(*self._parts)
        yield Choices(self._choices)

    def on_mount(self) -> None:
        """Mark what holds now, where that is known."""
        place = next((place for place, choice in enumerate(self._choices) if choice.id == self._marked), None)
        if place is not None:
            self.query_one(Choices).highlighted = place

    @on(OptionList.OptionSelected)
    def _picked(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        self.dismiss(event.option.id)


class Confirm(Dialog[bool]):
    """Asks whether to do something; no is marked first, so that Enter alone changes nothing."""

    ABOUT = (
        "You are asked before something is done. What leaves everything as it is stands first, so Enter alone changes "
        "nothing; Down and Enter say yes, Escape says no."
    )
    COMMANDS_SHOWN = (CHOOSE, CLOSE)

    def __init__(self, question: str, *parts: str | Secret, yes: str, no: str = "Leave it as it is") -> None:
        """Make the dialog; `yes` and `no` say in words what will happen, `parts` what it means."""
        super().__init__(question)
        self._parts = parts
        self._choices = (Choice("no", no), Choice("yes", yes))

    def compose_body(self) -> ComposeResult:
        """Give the explanation and both answers."""
        if self._parts:
            yield Paragraph(*self._parts)
        yield Choices(self._choices)

    @on(OptionList.OptionSelected)
    def _answered(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        self.dismiss(event.option.id == "yes")

    def action_close(self) -> None:
        """Answer no."""
        self.dismiss(False)


class AskText(Dialog[str | None]):
    """Asks for one line; the answer is the text, or None."""

    ABOUT = (
        "One line is asked for. What stands there is marked: typing replaces it, an arrow key keeps it. Enter goes on, "
        "and what is wrong is said below the line; Escape changes nothing."
    )
    COMMANDS_SHOWN = (GO_ON, CLOSE)

    def __init__(
        self,
        title: str,
        *parts: str | Secret,
        value: str = "",
        secret: bool = False,
        dots: bool = False,
        check: Callable[[str], str | None] | None = None,
    ) -> None:
        """Make the dialog.

        `secret` shows dots on air, `dots` always; `check` returns a sentence about what is wrong with a text, or None.
        """
        super().__init__(title)
        self._parts = parts
        self._value = value
        self._secret = secret
        self._dots = dots
        self._check = check

    def compose_body(self) -> ComposeResult:
        """Give the explanation, the line and the place for what is wrong."""
        if self._parts:
            yield Paragraph(*self._parts)
        kind = SecretInput if self._secret else Input
        yield kind(self._value, select_on_focus=False, password=self._dots)
        yield Paragraph("", style="$accent", id="dialog-problem")

    def on_mount(self) -> None:
        """Mark what stands there once, so that typing takes its place and an arrow key keeps it."""
        self.query_one(Input).select_all()

    @on(Input.Submitted)
    def _typed(self, event: Input.Submitted) -> None:
        event.stop()
        text = event.value.strip()
        problem = self._check(text) if self._check is not None else None
        if problem is None:
            self.dismiss(text)
        else:
            self.query_one("#dialog-problem", Paragraph).show(problem)


class ShowText(Dialog[None]):
    """Shows a text to read, scroll and copy."""

    ABOUT = "A text to read. Up, Down, Page Up and Page Down scroll it; Escape closes it."
    BINDINGS = bindings((COPY,))
    COMMANDS_SHOWN = (COPY, CLOSE)

    def __init__(self, title: str, *parts: str | Secret) -> None:
        super().__init__(title)
        self._parts = parts

    def compose_body(self) -> ComposeResult:
        """Give the text and the place where copying is confirmed."""
        with VerticalScroll(id="dialog-text"):
            yield Paragraph(*self._parts, id="dialog-page")
        yield Paragraph("", style="$accent", id="dialog-problem")

    def action_copy(self) -> None:
        """Copy the text; on air a text with something hidden is not copied."""
        page = self.query_one("#dialog-page", Paragraph)
        app = cast("DeskApp", self.app)
        whole = page.text() if page.secret is None else Secret(page.secret.kind, page.text())
        said = copy_text(app, whole, "text")
        self.query_one("#dialog-problem", Paragraph).show(said)

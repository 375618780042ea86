"""The wording of messages: the house's own texts, edited beside how they would read to a real participant."""

from __future__ import annotations

import asyncio
from typing import Final, cast

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widgets import TextArea

from breakdesk.desk import house_wording
from breakdesk.desk.house_wording import Place, Preview, Wording
from breakdesk.desk.problems import Problem
from breakdesk.tui import masking
from breakdesk.tui.commands import REGISTRY, Command
from breakdesk.tui.dialogs import Confirm, Paragraph, ShowText
from breakdesk.tui.keys import bindings
from breakdesk.tui.masking import Secret
from breakdesk.tui.screens.acting_screen import ActingScreen
from breakdesk.tui.screens.template_places import EVERYBODY, pick_place, place_words, text_words
from breakdesk.tui.widgets.columns import Column
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.widgets.note_area import NoteArea
from breakdesk.tui.widgets.rows import Row
from breakdesk.tui.wording import moment_words

COMMANDS = REGISTRY.add(
    Command(
        id="templates.save",
        keys=("f12", "ctrl+s"),
        label="Save",
        tooltip="Save this text; messages are written with it from now on, and the one before is kept.",
        context="templates",
    ),
    Command(
        id="templates.try-on",
        keys=("p",),
        label="Try on",
        tooltip="Choose the participant to whom the text is shown.",
        context="templates",
    ),
    Command(
        id="templates.place",
        keys=("t",),
        label="For whom",
        tooltip="Edit the texts for everybody, or those for one tone or one language.",
        context="templates",
    ),
    Command(
        id="templates.shipped",
        keys=("o",),
        label="Shipped text",
        tooltip="Use the text that comes with Breakdesk again; yours is kept among the earlier ones.",
        context="templates",
    ),
    Command(
        id="templates.earlier",
        keys=("v",),
        label="Earlier ones",
        tooltip="Look at a text that stood here before, and take it up again.",
        context="templates",
    ),
    Command(
        id="templates.check",
        keys=("k",),
        label="Check all",
        tooltip="Render every text of yours against every state, and name each mistake by file and line.",
        context="templates",
        footer=False,
    ),
)

PAUSE: Final = 0.25
"""Seconds without a key before the preview is made anew."""


class TemplatesScreen(ActingScreen):
    """Wording of the house."""

    TITLE_WORDS = "Wording of messages"
    ABOUT = (
        "On the left every text that messages are made from. Enter goes into the text, Esc out of it. Below it stands "
        "how it reads to a real participant, anew after each change; nothing counts until you save it. A text with a "
        "mistake is not saved, and a broken file never stops a message: the shipped text is used instead."
    )
    CONTEXT = "templates"
    BINDINGS = [*bindings(COMMANDS), Binding("escape", "leave", "Back", show=False)]

    def __init__(self) -> None:
        """Make the screen; nothing is edited yet."""
        super().__init__()
        self._wordings: dict[str, Wording] = {}
        self._edited: dict[str, str] = {}
        self._shown = ""
        self._person: tuple[int, Secret] | None = None
        self._place = Place()

    def compose_body(self) -> ComposeResult:
        """Lay out the names beside the text and its preview."""
        with Horizontal(id="templates"):
            yield LongList(
                [Column(title="Text", width=21), Column(title="Whose", width=7, quiet=True)], id="templates-names"
            )
            with Vertical(id="templates-side"):
                yield NoteArea(id="templates-text", soft_wrap=True)
                yield Paragraph("", style="$accent", id="templates-state")
                with VerticalScroll(id="templates-preview", can_focus=False):
                    yield Paragraph("", id="templates-page")

    def on_screen_resume(self) -> None:
        """Read anew."""
        self.read_anew(self.reload, "read the wording")

    async def reload(self) -> None:
        """Read every text."""
        found = await self.desk.call(house_wording.wordings, self._place)
        self._wordings = {item.name: item for item in found}
        if self._person is None:
            people = await self.desk.call(house_wording.people_for_preview, 1)
            self._person = (people[0][0], masking.full_name(people[0][2], people[0][1])) if people else None
        first = not self._shown
        self._show_names()
        if first:
            self.query_one(LongList).focus()

    def _show_names(self) -> None:
        rows = [
            Row(
                item.name,
                (text_words(item.name), "edited" if item.name in self._edited else "yours" if item.own else "shipped"),
                tone="strong" if item.name in self._edited else "plain",
            )
            for item in self._wordings.values()
        ]
        # The screen may be left while its texts are still being read.
        for names in self.query(LongList):
            names.show(lambda offset, limit: rows[offset : offset + limit], len(rows))

    def on_long_list_moved(self, event: LongList.Moved) -> None:
        """Show the text that the cursor is on."""
        if event.row is not None and event.row.key != self._shown:
            self._shown = cast("str", event.row.key)
            self.query_one(NoteArea).load_text(self._text)

    def on_long_list_selected(self, event: LongList.Selected) -> None:
        """Go into the text."""
        self.query_one(NoteArea).focus()

    @property
    def _text(self) -> str:
        return self._edited.get(self._shown, self._wordings[self._shown].text)

    @on(TextArea.Changed)
    def _typed(self, event: TextArea.Changed) -> None:
        text, known = event.text_area.text, self._wordings.get(self._shown)
        if known is None:
            return
        was = self._shown in self._edited
        if text == known.text:
            self._edited.pop(self._shown, None)
        else:
            self._edited[self._shown] = text
        if was != (self._shown in self._edited):
            self._show_names()
        self.run_worker(self._preview(self._shown, text), group="preview", exclusive=True, description="preview a text")

    async def _preview(self, name: str, text: str) -> None:
        await asyncio.sleep(PAUSE)
        person = None if self._person is None else self._person[0]
        shown = await self.desk.call(house_wording.preview, name, text, person, self._place.tone)
        if self.is_mounted and name == self._shown:
            self._show_preview(shown)

    def _show_preview(self, shown: Preview) -> None:
        state, page = self.query_one("#templates-state", Paragraph), self.query_one("#templates-page", Paragraph)
        if shown.problems:
            state.show(" ".join(f"Line {problem.line}: {problem.sentence}" for problem in shown.problems))
            page.show("")
            return
        if not shown.real:
            state.show("With invented values, since nothing of theirs uses this text now:")
        elif self._person is not None:
            place = place_words(self._place)
            state.show("To ", self._person[1], ":" if place == EVERYBODY else f", {place}:")
        page.show(masking.note(shown.text) if shown.real else shown.text)

    async def action_save(self) -> None:
        """Save the text."""
        name, text = self._shown, self.query_one(NoteArea).text
        result = await self.desk.call(house_wording.save, name, text, self._place)
        if isinstance(result, Problem):
            self.say(result.sentence)
            return
        self._edited.pop(name, None)
        await self.reload()
        self.say(result.said)

    def action_try_on(self) -> None:
        """Choose a participant."""
        self.walk(self._try_on())

    async def _try_on(self) -> None:
        people = await self.desk.call(house_wording.people_for_preview)
        names = {str(key): masking.full_name(name, on_air) for key, on_air, name, _ in people}
        if not names:
            self.say("Nobody waits for anything; invented values stand in.")
            return
        key = await self.pick("Show it as whose message?", list(names.items()))
        if key is not None:
            self._person = (int(key), names[key])
            await self._preview(self._shown, self._text)

    def action_place(self) -> None:
        """Choose for whom the texts are."""
        self.walk(self._choose_place())

    async def _choose_place(self) -> None:
        if self._edited:
            self.say(f"Save or take back what you changed first: {', '.join(map(text_words, self._edited))}.")
            return
        place = await pick_place(self, self._place)
        if place is None:
            return
        self._place = place
        await self.reload()
        self.query_one(NoteArea).load_text(self._text)
        self.say(f"Texts: {place_words(place)}.")

    def action_shipped(self) -> None:
        """Use the shipped text."""
        self.walk(self._use_shipped(self._shown))

    async def _use_shipped(self, name: str) -> None:
        if not self._wordings[name].own and name not in self._edited:
            self.say(f"{text_words(name)}: the shipped text stands here already.")
            return
        if not await self.ask(
            Confirm(f"Use the shipped text again? {text_words(name)}", "Yours is kept.", yes="Use it")
        ):
            return
        self._edited.pop(name, None)
        if self._wordings[name].own:
            result = await self.desk.call(house_wording.use_shipped, name, self._place)
            self.say(result.sentence if isinstance(result, Problem) else result.said)
        await self.reload()
        self.query_one(NoteArea).load_text(self._text)

    def action_earlier(self) -> None:
        """Take an earlier text up."""
        self.walk(self._earlier(self._shown))

    async def _earlier(self, name: str) -> None:
        found = await self.desk.call(house_wording.versions, name, self._place)
        if not found:
            self.say("No other text of yours stood here before.")
            return
        zone = self.desk.house.zone_at(self.desk.now())
        choices = [
            (str(place), f"until {moment_words(version.until, zone)}: {' '.join(version.text.split())[:60]}")
            for place, version in enumerate(found)
        ]
        place = await self.pick(f"{text_words(name)}: which earlier text?", choices)
        if place is not None:
            self.query_one(NoteArea).load_text(found[int(place)].text)
            self.say("The earlier text stands in the field; F12 saves it.")

    def action_check(self) -> None:
        """Check every file."""
        self.walk(self._check())

    async def _check(self) -> None:
        problems = await self.desk.call(house_wording.check)
        if not problems:
            self.say("All is well with every text of yours.")
            return
        await self.ask(ShowText("What is wrong", "\n".join(map(str, problems))))

    async def action_leave(self) -> None:
        """Leave the text, or the screen; what was not saved is asked about."""
        if self.query_one(NoteArea).has_focus:
            self.query_one(LongList).focus()
        elif self._edited:
            self.walk(self._leave_unsaved())
        else:
            await self.desk.action_back()

    async def _leave_unsaved(self) -> None:
        names = ", ".join(map(text_words, self._edited))
        if await self.ask(
            Confirm("Leave without saving?", f"Not saved: {names}.", yes="Leave, and forget the changes")
        ):
            self._edited.clear()
            await self.desk.action_back()

"""Notices of delay: who is to be told that a card comes late, where the house switched that on."""

from __future__ import annotations

from typing import cast

from textual.app import ComposeResult

from breakdesk.desk.notices import PersonToNotify, give_notice, is_on, people_to_notify
from breakdesk.rules.delay import CAUTION
from breakdesk.rules.tags import shown as tag_words
from breakdesk.tui import masking
from breakdesk.tui.clipboard import copy_text
from breakdesk.tui.commands import REGISTRY, Command
from breakdesk.tui.dialogs import Confirm, Paragraph, ShowText
from breakdesk.tui.keys import bindings
from breakdesk.tui.masking import Secret
from breakdesk.tui.screens.acting_screen import UNDO_KEYS, ActingScreen
from breakdesk.tui.widgets.columns import Column
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.widgets.rows import Row
from breakdesk.tui.wording import day_words

COMMANDS = REGISTRY.add(
    Command(
        id="notices.copy", keys=("y",), label="Copy", tooltip="Copy the notice under the cursor.", context="notices"
    ),
    Command(
        id="notices.given",
        keys=("g",),
        label="Given",
        tooltip="Record that the notice under the cursor was given; the days start anew.",
        context="notices",
    ),
    Command(
        id="notices.undo",
        keys=UNDO_KEYS,
        label="Undo",
        tooltip="Undo one of the things that you did here; each is named first.",
        context="notices",
        footer=False,
    ),
)


class NoticesScreen(ActingScreen):
    """Participants to be given a notice of delay."""

    TITLE_WORDS = "Notices of delay"
    ABOUT = f"Participants whose cards come late by the days that your house set. Enter shows the notice. {CAUTION}"
    CONTEXT = "notices"
    ENTER_WORDS = "Read"
    BINDINGS = bindings(COMMANDS)

    def __init__(self) -> None:
        """Make the screen."""
        super().__init__()
        self._people: tuple[PersonToNotify, ...] = ()

    def compose_body(self) -> ComposeResult:
        """Lay out the caution above the list."""
        yield Paragraph(CAUTION, style="$quiet", id="notices-caution")
        yield LongList(
            [
                Column(title="Participant", width=20, stretch=1),
                Column(title="Due since", width=15),
                Column(title="Claims", width=20, stretch=2),
            ],
            empty="No notice of delay is due.",
            id="notices-list",
        )

    def on_screen_resume(self) -> None:
        """Read anew."""
        self.read_anew(self.reload, "list notices of delay")

    async def reload(self) -> None:
        """Read who is to be told."""
        self._people = await self.desk.call(people_to_notify)
        if not self._people and not is_on(self.desk.house, self.desk.today()):
            self.say("Notices of delay are switched off. The settings (F8) of the house switch them on.")
        today = self.desk.today()
        rows = [
            Row(
                person,
                (
                    _who(person),
                    day_words(person.due_on, today),
                    ", ".join(tag_words(notice.claim.tag) for notice in person.notices),
                ),
            )
            for person in self._people
        ]
        people = self.query_one(LongList)
        people.show(lambda offset, limit: rows[offset : offset + limit], len(rows))
        people.focus()

    def hidden(self) -> tuple[Secret, ...]:
        """Names stand in no sentence here on air."""
        return tuple(_who(person) for person in self._people)

    @property
    def _person(self) -> PersonToNotify | None:
        row = self.query_one(LongList).current
        return None if row is None else cast("PersonToNotify", row.key)

    def on_long_list_selected(self, event: LongList.Selected) -> None:
        """Show a notice."""
        person = cast("PersonToNotify", event.row.key)
        self.walk(self._show(person))

    async def _show(self, person: PersonToNotify) -> None:
        await self.ask(ShowText("The notice", masking.note(person.message.text), "notice"))

    def action_copy(self) -> None:
        """Copy a notice."""
        person = self._person
        if person is not None:
            self.say(copy_text(self.desk, masking.note(person.message.text), "notice"))

    def action_given(self) -> None:
        """Record that a notice was given."""
        person = self._person
        if person is not None:
            self.walk(self._given(person))

    async def _given(self, person: PersonToNotify) -> None:
        dialog = Confirm("Was this notice given?", "To ", _who(person), ". The days start anew.", yes="It was given")
        if await self.ask(dialog):
            tags = [notice.claim.tag for notice in person.notices]
            await self.changed(self.desk.call(give_notice, tags, person.message.text))


def _who(person: PersonToNotify) -> Secret:
    on_air = person.notices[0].person
    return masking.full_name(
        person.name, on_air.on_air_name or (f"@{on_air.handle.lstrip('@')}" if on_air.handle else "")
    )

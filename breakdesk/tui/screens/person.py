"""One person: everything owed to them, what they were told, and an answer to copy while they are on the phone."""

from __future__ import annotations

from collections.abc import Awaitable
from typing import cast

from textual.app import ComposeResult
from textual.containers import Vertical

from breakdesk.desk.answering import PersonView, answer_for_claim, answer_for_person, person_view
from breakdesk.desk.describing import what_of
from breakdesk.desk.following import hold_person
from breakdesk.desk.people import promise
from breakdesk.desk.problems import Result
from breakdesk.desk.reaching import channel_words, told_by_words
from breakdesk.rules.owed import OwedClaim
from breakdesk.rules.tags import shown as tag_words
from breakdesk.rules.wording import age_words
from breakdesk.tui import masking
from breakdesk.tui.clipboard import copy_text
from breakdesk.tui.commands import REGISTRY, Command
from breakdesk.tui.dialogs import ShowText
from breakdesk.tui.keys import bindings
from breakdesk.tui.masking import Kind, Secret
from breakdesk.tui.screens.acting_screen import UNDO_KEYS, ActingScreen
from breakdesk.tui.screens.address_steps import Lives, take_address, they_moved
from breakdesk.tui.screens.person_record import PersonRecord
from breakdesk.tui.screens.person_steps import promise_dialog, promise_parts
from breakdesk.tui.widgets.cells import cut
from breakdesk.tui.widgets.columns import Column
from breakdesk.tui.widgets.fields import Field, Fields
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.widgets.rows import Row
from breakdesk.tui.wording import day_words, handle_words, person_words, short_state, values_words

HEARD_LENGTH = 60
"""How much of the last message stands beside its day."""


def _command(name: str, key: str, label: str, tooltip: str, *, footer: bool = True) -> Command:
    keys = UNDO_KEYS if name == "undo" else (key,)
    return Command(id=f"person.{name}", keys=keys, label=label, tooltip=tooltip, context="person", footer=footer)


COMMANDS = REGISTRY.add(
    _command("answer", "y", "Copy answer", "Copy a short answer about everything they wait for."),
    _command("answer-one", "c", "Copy this card", "Copy a short answer about the card under the cursor."),
    _command("promise", "p", "Promise", "Log the call and a promise with its day; it comes back among the decisions."),
    _command("address", "a", "Address", "Confirm the address, or write down a new one."),
    _command("moved", "m", "Moved", "They said that they moved: the address has to be given anew.", footer=False),
    _command("hold", "h", "Hold", "Hold or release everything owed to them: while held, nothing goes out."),
    _command(
        "record",
        "r",
        "More",
        "How they are written to, what they were told, two records that are one person, what is held, erasing.",
    ),
    _command("last-message", "w", "Last message", "Show the last message word for word.", footer=False),
    _command("undo", "u", "Undo", "Undo one of the things that you did here; each is named first.", footer=False),
)


class PersonScreen(ActingScreen):
    """Everything about one participant."""

    TITLE_WORDS = "Person"
    ABOUT = (
        "One person with everything owed to them. Copy an answer while they are on the phone; Enter opens the story "
        "of the card under the cursor. Their record holds how they are written to, every message they were told, "
        "their other names, and what is held about them."
    )
    CONTEXT = "person"
    ENTER_WORDS = "Open"
    BINDINGS = bindings(COMMANDS)

    def __init__(self, person_id: int) -> None:
        """Make the screen of a participant."""
        super().__init__()
        self._person_id = person_id
        self._view: PersonView | None = None

    def hidden(self) -> tuple[Secret, ...]:
        """Their names, in every sentence about them."""
        view = self._view
        if view is None:
            return ()
        names = [person_words(view.name, view.handle, view.on_air_name)]
        return (*names, *(person_words(item.name, item.handle, item.on_air_name) for item in view.also))

    def compose_body(self) -> ComposeResult:
        """Lay out the person above their cards."""
        with Vertical(id="person-head"):
            yield Fields(id="person-fields")
        yield LongList(
            [
                Column(title="Claim", width=8),
                Column(title="Card", width=18, stretch=3),
                Column(title="Where it is", width=14),
                Column(title="Waits", width=19, right=True),
                Column(title="Last told", width=10, priority=2),
                Column(title="Value", width=12, right=True, priority=3),
            ],
            empty="Nothing is owed to them.",
            id="person-claims",
        )

    def on_screen_resume(self) -> None:
        """Read anew."""
        if not self.came_from_dialog():
            self.read_again()

    async def reload(self) -> None:
        """Read the person and show them."""
        view = await self.desk.call(person_view, self._person_id)
        self._view = view
        if view is None:
            return
        self.query_one("#person-fields", Fields).show(self._fields(view))
        rows = [self._row(line) for line in view.owed.claims] if view.owed else []
        self.query_one(LongList).show(lambda offset, limit: rows[offset : offset + limit], len(rows))
        self.query_one(LongList).focus()

    def _fields(self, view: PersonView) -> list[Field]:
        today = self.desk.today()
        value = values_words(view.owed.value.items()) if view.owed else "–"
        without = f"{view.owed.no_value} without a value" if view.owed and view.owed.no_value else ""
        unconfirmed = "to be confirmed" if view.address else "none yet: ask for it"
        address_remark = "" if view.address_confirmed else unconfirmed
        is_due = view.next_tell_on is not None and view.next_tell_on <= today
        fields = [
            Field("Participant", person_words(view.name, view.handle, view.on_air_name), strong=True),
            Field("Handle", handle_words(view.handle), "on hold: nothing goes out" if view.on_hold else ""),
        ]
        fields += [
            Field("Also", person_words(item.name, item.handle, item.on_air_name), handle_words(item.handle))
            for item in view.also
        ]
        fields += [
            Field("Owed", value, without),
            Field("Address", masking.address(", ".join(view.address.splitlines())), address_remark),
            Field("Written to by", self._way(view), "opted out: never written to" if view.opted_out else ""),
            Field("Last told", self._heard(view)),
            Field("Next due", day_words(view.next_tell_on, today), "to be told now" if is_due else ""),
        ]
        fields += [Field(f"Promised {day_words(day, today)}", masking.note(text)) for _, day, text in view.promises]
        return fields

    @staticmethod
    def _way(view: PersonView) -> str:
        second = f", else {channel_words(view.fallback_channel)}" if view.fallback_channel else ""
        return f"{channel_words(view.channel)}{second}"

    def _heard(self, view: PersonView) -> str | Secret:
        """When they last heard from the house, by which way, and how it began."""
        day = day_words(view.last_told_on, self.desk.today())
        when = ", ".join(part for part in (day, told_by_words(view.last_told_channel)) if part)
        # An e-mail's subject says what it is about; the greeting of any message says nothing.
        lines = [line for line in view.last_told_text.splitlines() if line.strip()]
        begins = lines[0].removeprefix("Subject: ") if lines and lines[0].startswith("Subject: ") else ""
        begins = begins or " ".join(lines[1:2])
        if not begins:
            return when
        return Secret(Kind.NOTE, f"{when}: {cut(begins, HEARD_LENGTH)}", when)

    def _row(self, line: OwedClaim) -> Row:
        claim = line.claim
        value = [(claim.currency, claim.value)] if claim.value is not None and claim.currency is not None else []
        state = "on hold" if claim.on_hold else short_state(claim.state)
        told = day_words(claim.last_told_on, self.desk.today())
        return Row(
            claim.tag, (tag_words(claim.tag), what_of(claim), state, age_words(line.age), told, values_words(value))
        )

    def on_long_list_selected(self, event: LongList.Selected) -> None:
        """Open a claim's story."""
        from breakdesk.tui.screens.claim import ClaimScreen

        self.app.push_screen(ClaimScreen(cast("str", event.row.key)))

    # What can be done

    async def action_answer(self) -> None:
        """Copy an answer about everything."""
        self.say(copy_text(self.desk, masking.note(await self.desk.call(answer_for_person, self._person_id)), "answer"))

    async def action_answer_one(self) -> None:
        """Copy an answer about one card."""
        row = self.query_one(LongList).current
        if row is not None:
            text = await self.desk.call(answer_for_claim, self._person_id, cast("str", row.key))
            self.say(copy_text(self.desk, masking.note(text), "answer"))

    def action_last_message(self) -> None:
        """Show the last message."""
        view = self._view
        if view is not None:
            text = view.last_told_text or "No message was kept word for word."
            self.app.push_screen(ShowText("The last message", masking.note(text)))

    def action_promise(self) -> None:
        """Ask for a promise and its day."""
        self.walk(self._promise())

    async def _promise(self) -> None:
        view, today = self._view, self.desk.today()
        line = None if view is None else await self.ask(promise_dialog(today))
        if view is not None and line is not None:
            day, words = promise_parts(line, today)
            await self._done(self.desk.call(promise, view.name, day, words))

    def action_address(self) -> None:
        """Ask for the address as it was given."""
        self.walk(self._address())

    async def _address(self) -> None:
        if self._view is not None and await take_address(self, _lives(self._view)):
            await self.reload()

    def action_moved(self) -> None:
        """Ask whether they moved."""
        self.walk(self._moved())

    async def _moved(self) -> None:
        if self._view is not None and await they_moved(self, _lives(self._view)):
            await self.reload()

    def action_hold(self) -> None:
        """Hold or release."""
        self.walk(self._hold())

    async def _hold(self) -> None:
        view = self._view
        if view is None:
            return
        reason = "" if view.on_hold else await self.ask_words("Why may nothing go out to them?")
        if reason is not None:
            await self._done(self.desk.call(hold_person, view.name, on=not view.on_hold, reason=reason))

    def action_record(self) -> None:
        """Open what else can be done about their record."""
        self.walk(self._record())

    async def _record(self) -> None:
        if self._view is not None:
            await PersonRecord(self, self._view).ask()
            await self.reload()

    async def _done(self, work: Awaitable[Result]) -> None:
        # What is kept with a person and not with a claim is changed back by the key that changed it.
        await self.carry_out(work, undoable=False)
        await self.reload()


def _lives(view: PersonView) -> Lives:
    return Lives(view.id, view.name, view.address, view.address_country)

"""One person: everything owed to them, what they were told, and an answer to copy while they are on the phone."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, cast

from textual.app import ComposeResult
from textual.containers import Vertical

from breakdesk.desk.answering import PersonView, answer_for_claim, answer_for_person, person_view
from breakdesk.desk.describing import what_of
from breakdesk.desk.following import hold_person
from breakdesk.desk.people import confirm_address, promise, said_moved
from breakdesk.desk.problems import Problem, Result
from breakdesk.files.dates import parse_day
from breakdesk.rules.owed import OwedClaim
from breakdesk.rules.wording import age_words
from breakdesk.tui import masking
from breakdesk.tui.base import DeskScreen
from breakdesk.tui.clipboard import copy_text
from breakdesk.tui.commands import REGISTRY, Command
from breakdesk.tui.dialogs import AskText, Confirm
from breakdesk.tui.keys import bindings
from breakdesk.tui.widgets.columns import Column
from breakdesk.tui.widgets.fields import Field, Fields
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.widgets.rows import Row
from breakdesk.tui.wording import day_words, person_words, short_state, values_words

if TYPE_CHECKING:
    from breakdesk.tui.app import Breakdesk


def _command(name: str, key: str, label: str, tooltip: str, *, footer: bool = True) -> Command:
    return Command(id=f"person.{name}", keys=(key,), label=label, tooltip=tooltip, context="person", footer=footer)


COMMANDS = REGISTRY.add(
    _command("answer", "y", "Copy answer", "Copy a short answer about everything they wait for."),
    _command("answer-one", "c", "Copy this card", "Copy a short answer about the card under the cursor."),
    _command("promise", "p", "Promise", "Log the call and a promise with its day; it comes back among the decisions."),
    _command("address", "a", "Address", "Confirm the address, or write down a new one."),
    _command("moved", "m", "Moved", "They said that they moved: the address has to be given anew.", footer=False),
    _command("hold", "h", "Hold", "Hold or release everything owed to them: while held, nothing goes out."),
    _command("last-message", "w", "Last message", "Show the last message word for word.", footer=False),
)


class PersonScreen(DeskScreen):
    """Everything about one participant."""

    TITLE_WORDS = "Person"
    ABOUT = (
        "One person with everything owed to them. Copy an answer while they are on the phone; Enter opens the story "
        "of the card under the cursor."
    )
    CONTEXT = "person"
    BINDINGS = bindings(COMMANDS)

    def __init__(self, person_id: int) -> None:
        """Make the screen of a participant."""
        super().__init__()
        self._person_id = person_id
        self._view: PersonView | None = None

    @property
    def desk(self) -> Breakdesk:
        """The app with its open desk."""
        return cast("Breakdesk", self.app)

    def compose_body(self) -> ComposeResult:
        """Lay out the person above their cards."""
        with Vertical(id="person-head"):
            yield Fields(id="person-fields")
        yield LongList(
            [
                Column(title="Claim", width=7),
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
        self.read_anew(self._show, "read a person")

    async def _show(self) -> None:
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
        address_remark = "" if view.address_confirmed else "to be confirmed"
        fields = [
            Field("Participant", person_words(view.name, view.handle, view.on_air_name), strong=True),
            Field("Handle", view.handle, "on hold: nothing goes out" if view.on_hold else ""),
            Field("Owed", value, without),
            Field("Address", masking.address(", ".join(view.address.splitlines())), address_remark),
            Field("Last told", day_words(view.last_told_on, today)),
            Field("Next due", day_words(view.next_tell_on, today)),
        ]
        fields += [Field(f"Promised {day_words(day, today)}", masking.note(text)) for _, day, text in view.promises]
        return fields

    def _row(self, line: OwedClaim) -> Row:
        claim = line.claim
        value = [(claim.currency, claim.value)] if claim.value is not None and claim.currency is not None else []
        state = "on hold" if claim.on_hold else short_state(claim.state)
        told = day_words(claim.last_told_on, self.desk.today())
        return Row(claim.tag, (claim.tag, what_of(claim), state, age_words(line.age), told, values_words(value)))

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
        from breakdesk.tui.dialogs import ShowText

        view = self._view
        if view is not None:
            text = view.last_told_text or "No message was kept word for word."
            self.app.push_screen(ShowText("The last message", masking.note(text)))

    def action_promise(self) -> None:
        """Ask for a promise and its day."""
        dialog = AskText(
            "What was promised, and for which day?",
            "The day first, such as 2026-12-04, then a few words.",
            check=lambda text: _promise_problem(text),
        )
        self.app.push_screen(dialog, self._promise)

    def _promise(self, text: str | None) -> None:
        view = self._view
        if text is not None and view is not None:
            day, words = _promise_parts(text)
            self.run_worker(self._done(self.desk.call(promise, view.name, day, words)), group="write")

    def action_address(self) -> None:
        """Ask for the address as it was given."""
        view = self._view
        if view is not None:
            dialog = AskText(
                "Where do their cards go?",
                "Leave it as it is to confirm it; lines are joined by commas.",
                value=", ".join(view.address.splitlines()),
                secret=True,
            )
            self.app.push_screen(dialog, self._address)

    def _address(self, text: str | None) -> None:
        view = self._view
        if text is not None and view is not None:
            lines = "\n".join(part.strip() for part in text.split(",") if part.strip())
            self.run_worker(self._done(self.desk.call(confirm_address, view.name, lines)), group="write")

    def action_moved(self) -> None:
        """Ask whether they moved."""
        self.app.push_screen(
            Confirm("Did they say that they moved?", "Nothing goes to the old address then.", yes="They moved"),
            self._moved,
        )

    def _moved(self, yes: bool | None) -> None:
        if yes and self._view is not None:
            self.run_worker(self._done(self.desk.call(said_moved, self._view.name)), group="write")

    def action_hold(self) -> None:
        """Hold or release."""
        view = self._view
        if view is None:
            return
        if view.on_hold:
            work = self.desk.call(hold_person, view.name, on=False)
            self.run_worker(self._done(work), group="write")
        else:
            self.app.push_screen(AskText("Why may nothing go out to them?"), self._hold)

    def _hold(self, reason: str | None) -> None:
        if reason is not None and self._view is not None:
            work = self.desk.call(hold_person, self._view.name, on=True, reason=reason)
            self.run_worker(self._done(work), group="write")

    async def _done(self, work: object) -> None:
        result: Result = await work  # type: ignore[misc]
        self.say(result.sentence if isinstance(result, Problem) else result.said)
        await self._show()


def _promise_parts(text: str) -> tuple[date, str]:
    day, _, words = text.strip().partition(" ")
    return parse_day(day), words.strip()


def _promise_problem(text: str) -> str | None:
    try:
        _, words = _promise_parts(text)
    except ValueError as error:
        return str(error)
    return None if words else "Say in a few words what was promised."

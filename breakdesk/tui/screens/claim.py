"""One claim: what it is, where it stands, and its story."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING, Any

from textual.app import ComposeResult
from textual.containers import VerticalScroll

from breakdesk.desk.answering import answer_for_claim
from breakdesk.desk.card_facts import CardFacts, card_facts
from breakdesk.desk.describing import what_of
from breakdesk.desk.following import follow_up, hold, note, release
from breakdesk.desk.problems import Done, Result
from breakdesk.desk.retelling import StoryLine, story_of
from breakdesk.desk.settling import CLOSING_WORDS, amount_words, void
from breakdesk.desk.viewing import ClaimView, claim_view
from breakdesk.rules import clocks
from breakdesk.rules.claim import Claim
from breakdesk.rules.tags import shown, spoken
from breakdesk.rules.wording import days_left
from breakdesk.tui import masking
from breakdesk.tui.card_fields import card_fields, where_words
from breakdesk.tui.clipboard import copy_text
from breakdesk.tui.commands import REGISTRY, Command
from breakdesk.tui.keys import bindings
from breakdesk.tui.masking import Kind, Secret
from breakdesk.tui.screens.acting_screen import UNDO_KEYS, ActingScreen
from breakdesk.tui.screens.card_menu import CardMenu, said_of
from breakdesk.tui.screens.owner_steps import OwnerSteps
from breakdesk.tui.screens.person_steps import promise_dialog, promise_parts
from breakdesk.tui.widgets.fields import Field, Fields
from breakdesk.tui.wording import day_words, owner_words, person_words, values_words

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk


def _command(name: str, key: str, label: str, tooltip: str, *, footer: bool = True) -> Command:
    keys = UNDO_KEYS if name == "undo" else (key,)
    return Command(id=f"claim.{name}", keys=keys, label=label, tooltip=tooltip, context="claim", footer=footer)


COMMANDS = REGISTRY.add(
    _command("answer", "y", "Copy answer", "Copy a short answer about this card for whoever is on the phone."),
    _command(
        "outlook", "e", "When?", "Show when it may come: the curve of its maker, and where this claim stands on it."
    ),
    _command("follow-up", "p", "Promise", "Log a call and what was promised; it comes back among the decisions."),
    _command("note", "n", "Note", "Write a note on the claim."),
    _command("news", "w", "News", "Write something that its participant is to be told."),
    _command("hold", "h", "Hold", "Hold it, or release it: while held it is in no round."),
    _command("card", "c", "Card", "Damage, evidence, photos, a sale: what else there is about its card."),
    _command("person", "g", "Person", "Open the participant whose it is, with everything owed to them."),
    _command("owner", "o", "Owner", "Say that it was sold or given to somebody, or set right whose it is."),
    _command("void", "v", "Void", "Say that it was entered by mistake.", footer=False),
    _command("undo", "u", "Undo", "Undo one of the things that you did here; each is named first.", footer=False),
)


def _read(desk: Desk, tag: str) -> tuple[ClaimView, CardFacts, tuple[StoryLine, ...]] | None:
    view = claim_view(desk, tag)
    return None if view is None else (view, card_facts(desk, view), story_of(desk, view.events))


class ClaimScreen(ActingScreen):
    """A claim and its story."""

    TITLE_WORDS = "Claim"
    ABOUT = (
        "One claim: what it is, for whom, where it stands, and everything that happened to it. Copy an answer and log "
        "a promise while its participant is on the phone; what you did here is undone by name."
    )
    CONTEXT = "claim"
    BINDINGS = bindings(COMMANDS)

    def __init__(self, tag: str) -> None:
        """Make the screen of a claim."""
        super().__init__()
        self._tag = tag
        self._view: ClaimView | None = None

    def hidden(self) -> tuple[Secret, ...]:
        """Names and numbers, in every sentence about it."""
        view = self._view
        if view is None:
            return ()
        people = view.parties.people.values()
        names = [person_words(person.name, person.handle, person.on_air_name) for person in people]
        return (*names, masking.reference(view.claim.reference), masking.reference(view.claim.tracking))

    def compose_body(self) -> ComposeResult:
        """Lay out the facts above the story."""
        with VerticalScroll(id="claim-body"):
            yield Fields(id="claim-fields")
            yield Fields(id="claim-story")

    def on_screen_resume(self) -> None:
        """Read anew."""
        if not self.came_from_dialog():
            self.read_again()

    async def reload(self) -> None:
        """Read the claim and show it."""
        found = await self.desk.call(_read, self._tag)
        if found is None:
            self.say(f"There is no claim {shown(self._tag)}.")
            return
        self._view, facts, story = found
        self.query_one("#claim-fields", Fields).show(self._fields(self._view, facts))
        self.query_one("#claim-story", Fields).show(self._story(story))
        self.query_one("#claim-body").focus()

    def _fields(self, view: ClaimView, facts: CardFacts) -> list[Field]:
        claim, today = view.claim, self.desk.today()
        person = view.parties.people.get(claim.owner_id or 0)
        names = (person.name, person.handle, person.on_air_name) if person else ("", "", "")
        money = [(claim.currency, claim.value)] if claim.value is not None and claim.currency is not None else []
        maker = view.parties.maker_of(claim)
        left = clocks.days_to_expiry(claim, maker, self.desk.now())
        waits = claim.state == "pulled"
        expired = "expired" if waits and clocks.is_expired(claim, maker, self.desk.now()) else ""
        rows = [
            Field("Tag", f"{shown(claim.tag)}   ({spoken(claim.tag)})", strong=True),
            Field("Card", what_of(claim), strong=True),
            Field("For", owner_words(claim.owner_kind, *names, self.desk.house.name)),
            Field("Where it is", where_words(claim), "on hold" if claim.on_hold else ""),
            Field("Team", claim.team.replace(";", " & ")),
            Field("Features", claim.features.replace(";", ", ")),
            Field("Product", view.product),
            Field("Break", view.break_name),
            Field("Maker", maker.name or "", view.account),
            Field(
                "Expires",
                day_words(claim.expires_on, today) if claim.expires_on else "",
                expired if left is None else days_left(left),
            ),
            Field("Reference", masking.reference(claim.reference)),
            Field("Code", "kept, sealed" if view.has_code else "", "seen on camera" if claim.seen_on_camera else ""),
            Field("Value", values_words(money) if money else ""),
            Field("Settled", _settled(claim, today)),
            Field("Tracking", masking.reference(claim.tracking)),
            *card_fields(claim, facts, today),
            Field("Note", masking.note(view.note or "")),
        ]
        return [field for field in rows if field.value or field.remark]

    def _story(self, story: tuple[StoryLine, ...]) -> list[Field]:
        today = self.desk.today()
        fields = []
        for line in story:
            said, on_air = (_sentence(words, line) for words in (line.said, line.said_on_air))
            fields.append(Field(day_words(line.day, today), Secret(Kind.NAME, said, on_air)))
            if line.text:
                fields.append(Field("", masking.note(line.text)))
        return fields

    # What can be done

    def action_answer(self) -> None:
        """Copy an answer about it."""
        self.walk(self._answer())

    async def _answer(self) -> None:
        claim = self._view.claim if self._view is not None else None
        if claim is None or claim.owner_kind != "person" or claim.owner_id is None:
            self.say("It is no participant's now: there is nobody to answer.")
            return
        text = await self.desk.call(answer_for_claim, claim.owner_id, self._tag)
        self.say(copy_text(self.desk, masking.note(text), "answer"))

    def action_outlook(self) -> None:
        """Show when it may come."""
        from breakdesk.tui.screens.claim_outlook import ClaimOutlookScreen

        self.app.push_screen(ClaimOutlookScreen(self._tag))

    def action_person(self) -> None:
        """Open its participant."""
        from breakdesk.tui.screens.person import PersonScreen

        claim = self._view.claim if self._view is not None else None
        if claim is not None and claim.owner_kind == "person" and claim.owner_id is not None:
            self.app.push_screen(PersonScreen(claim.owner_id))
        else:
            self.say("It is no participant's now.")

    def action_note(self) -> None:
        """Write a note."""
        self.walk(self._write("A note on this claim", note))

    def action_news(self) -> None:
        """Write news for the participant."""
        self.walk(self._write("What is the participant to be told about this card?", note, is_news=True))

    def action_follow_up(self) -> None:
        """Let it come back on a day."""
        self.walk(self._follow_up())

    async def _follow_up(self) -> None:
        today = self.desk.today()
        line = await self.ask(promise_dialog(today))
        if line is not None:
            day, said = promise_parts(line, today)
            await self.changed(self.desk.call(follow_up, self._tag, day, said))

    def action_hold(self) -> None:
        """Hold or release."""
        if self._view is not None and self._view.claim.on_hold:
            self.walk(self.changed(self.desk.call(release, self._tag)))
        else:
            self.walk(self._write("Why may nothing go out on this claim?", hold))

    def action_card(self) -> None:
        """Offer what else there is about its card."""
        if self._view is not None:
            self.walk(self._card(self._view))

    async def _card(self, view: ClaimView) -> None:
        menu = CardMenu(self.desk, view.claim)
        result = await menu.ask()
        for done in menu.earlier:
            await self.carry_out(_had(done))
        if isinstance(result, Done):
            await self.carry_out(_had(result))
        elif result is not None:
            self.say(masking.note(said_of(result)))
        await self.reload()

    def action_owner(self) -> None:
        """Give it to somebody else."""
        if self._view is not None:
            self.walk(self._owner(self._view))

    async def _owner(self, view: ClaimView) -> None:
        if await OwnerSteps(self, view).ask() is not None:
            await self.reload()

    def action_void(self) -> None:
        """Say that it was a mistake."""
        self.walk(self._write("Why was it a mistake? The claim is void then.", void))

    async def _write(self, title: str, do: Callable[..., Any], **more: bool) -> None:
        text = await self.ask_words(title)
        if text is not None:
            await self.changed(self.desk.call(do, self._tag, text, **more))


async def _had(result: Result) -> Result:
    return result


def _settled(claim: Claim, today: date) -> str:
    if claim.settled_how is None:
        return ""
    amount = amount_words(claim.settled_amount, claim.settled_currency)
    return " ".join(
        part for part in (CLOSING_WORDS[claim.settled_how], amount, day_words(claim.settled_on, today)) if part
    )


def _sentence(words: str, line: StoryLine) -> str:
    said = words[:1].upper() + words[1:]
    return f"{said} – taken back" if line.taken_back else said

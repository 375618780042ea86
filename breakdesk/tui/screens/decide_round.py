"""The decide round: what waits for the house itself, each case with its choices."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult

from breakdesk.desk.decide_cards import (
    DecideCard,
    PromiseCard,
    decide_card,
    move_promise,
    promise_card,
)
from breakdesk.desk.describing import what_of
from breakdesk.desk.people import kept_promise
from breakdesk.desk.submitting import FAILURE_WORDS
from breakdesk.desk.viewing import today
from breakdesk.files.messages.wording import state_words
from breakdesk.rules.parcel_states import STATE_WORDS
from breakdesk.rules.parties import Parties
from breakdesk.rules.rounds.items import Review, ToDecide
from breakdesk.rules.tags import shown as tag_words
from breakdesk.rules.wording import days_left
from breakdesk.tui import masking
from breakdesk.tui.commands import Command
from breakdesk.tui.dialogs import Paragraph
from breakdesk.tui.keys import bindings
from breakdesk.tui.masking import Secret
from breakdesk.tui.screens.decide_dialogs import other_reading, work_of
from breakdesk.tui.screens.decide_draw import draw_owner
from breakdesk.tui.screens.decide_reviews import CHOICES as REVIEW_CHOICES
from breakdesk.tui.screens.decide_reviews import review_fields, review_item, work_on_review
from breakdesk.tui.screens.decide_rule import answer_by_rule
from breakdesk.tui.screens.decide_words import CHOICE_WORDS, POLICY_WORDS, WISH_WORDS, money_words, why_words
from breakdesk.tui.screens.maker_answers import take_answer
from breakdesk.tui.screens.round_base import RoundScreen
from breakdesk.tui.screens.round_items import Item, round_commands
from breakdesk.tui.screens.settling_dialogs import END_WORDS, end_debt
from breakdesk.tui.widgets.fields import Field, Fields
from breakdesk.tui.widgets.round_strip import Step
from breakdesk.tui.wording import day_words, owner_words, person_words


def _command(name: str, key: str, label: str, tooltip: str) -> Command:
    return Command(id=f"decide-round.{name}", keys=(key,), label=label, tooltip=tooltip, context="decide-round")


COMMANDS = round_commands(
    "decide-round",
    _command("decide", "d", "Decide", "Choose what becomes of it (also the Enter key)."),
    _command("rule", "r", "By the rule", "Answer all offers that nobody answered by their day, as wish or rule says."),
)


class DecideRound(RoundScreen):
    """Walks what waits for the house."""

    TITLE_WORDS = "Decide"
    ABOUT = (
        "What only the house can decide: refusals, expired cards, offers, owners, failed submissions, lost parcels, "
        "people who do not answer, promises whose day has come, and makers that you marked and meant to look at again. "
        "Enter shows the choices."
    )
    CONTEXT = "decide-round"
    BINDINGS = bindings(COMMANDS)
    ROUND = "decide"
    ZERO = "Nothing is left to be decided."

    def __init__(self) -> None:
        super().__init__()
        self._card: DecideCard | PromiseCard | Review | None = None

    def hidden(self) -> tuple[Secret, ...]:
        """The names in sight, those of possible owners too, and the reference."""
        card = self._card
        if not isinstance(card, DecideCard):
            return super().hidden()
        names = (person_words(name, handle, on_air) for _, name, handle, on_air in card.candidates)
        return (*super().hidden(), *names, masking.reference(card.card.view.claim.reference))

    def compose_item(self) -> ComposeResult:
        """Give the case."""
        yield Paragraph(id="decide-why", style="bold $accent")
        yield Fields(id="decide-fields")

    def compose_below(self) -> ComposeResult:
        """Give the choices in sight."""
        yield Paragraph(id="decide-next")

    async def read_items(self) -> list[Item]:
        """Read today's list."""
        view = await self.desk.call(today)
        return [self._item(line, view.parties) for line in view.today.decide]

    def _item(self, line: ToDecide, parties: Parties) -> Item:
        if line.review is not None:
            return review_item(line, line.review)
        return self._promise_item(line, parties) if line.claim is None else self._claim_item(line, parties)

    @staticmethod
    def _promise_item(line: ToDecide, parties: Parties) -> Item:
        person = next(person for person in parties.people.values() if person.name == line.participant)
        name = person_words(person.name, person.handle, person.on_air_name)
        return Item(
            key=f"promise {line.promise_id}",
            label=name,
            data=line,
            person_id=person.id,
            names=f"{person.on_air_name} {person.handle}",
            secrets=(name,),
        )

    @staticmethod
    def _claim_item(line: ToDecide, parties: Parties) -> Item:
        claim = line.claim
        if claim is None:
            raise TypeError("a promise is no claim")
        person = parties.people.get(claim.owner_id or 0)
        return Item(
            key=f"{claim.tag} {line.why}",
            label=f"{tag_words(claim.tag)} {why_words(line)[0]}",
            data=line,
            park_ids=(claim.id,),
            tag=claim.tag,
            names=f"{claim.tag} {claim.subject}",
            secrets=(person_words(person.name, person.handle, person.on_air_name),) if person else (),
        )

    async def show_item(self, item: Item) -> None:
        """Show the case and its choices."""
        line: ToDecide = item.data
        if line.review is not None:
            await self._show_review(line.review, item)
            return
        if line.claim is None:
            self._card = promise = await self.desk.call(promise_card, line.promise_id or 0)
            if promise is not None:
                self._show_promise(promise, item)
            return
        self._card = card = await self.desk.call(decide_card, line.claim.tag, line.why)
        if card is None:
            return
        late = " It is later than the house allows itself." if card.late else ""
        self.query_one("#decide-why", Paragraph).show(
            "Decided in this round." if item.step is Step.DONE else why_words(line)[1] + late
        )
        self.query_one("#decide-fields", Fields).show(self._fields(line, card))
        self._show_choices(item, self._choices(card))

    async def _show_review(self, review: Review, item: Item) -> None:
        self._card = review
        words = "Decided in this round." if item.step is Step.DONE else why_words(item.data)[1]
        self.query_one("#decide-why", Paragraph).show(words)
        self.query_one("#decide-fields", Fields).show(await review_fields(self, review))
        self._show_choices(item, REVIEW_CHOICES)

    def _show_promise(self, promise: PromiseCard, item: Item) -> None:
        done = item.step is Step.DONE
        self.query_one("#decide-why", Paragraph).show("Settled." if done else "You promised this; its day has come.")
        self.query_one("#decide-fields", Fields).show(
            [
                Field("To", person_words(promise.name, promise.handle, promise.on_air_name), strong=True),
                Field("Handle", promise.handle),
                Field("Promised", masking.note(promise.text)),
                Field("For", day_words(promise.due_on, self.desk.today())),
            ]
        )
        self._show_choices(item, [("done", "The promise is kept"), ("new_day", CHOICE_WORDS["new_day"])])

    def _show_choices(self, item: Item, choices: Sequence[tuple[str, str | Secret]]) -> None:
        lines = "\n".join(f"· {label}" for _, label in choices)
        following = "" if item.step is Step.DONE else f"Enter decides:\n{lines}"
        self.query_one("#decide-next", Paragraph).show(following)

    def _fields(self, line: ToDecide, card: DecideCard) -> list[Field]:
        claim, day, about = card.card.view.claim, self.desk.today(), card.card
        person = about.view.parties.people.get(claim.owner_id or 0)
        names = (person.name, person.handle, person.on_air_name) if person else ("", "", "")
        money = "" if claim.value is None or claim.currency is None else money_words(claim.value, claim.currency)
        expired = line.why == "expired_at_pull"
        fields = [
            Field("Card", what_of(claim), strong=True),
            Field("Claim", tag_words(claim.tag), state_words(claim.state)),
            Field("For", owner_words(claim.owner_kind, *names, self.desk.house.name)),
            *(
                Field("Perhaps", person_words(name, handle, on_air))
                for _, name, handle, on_air in (card.candidates if line.why == "owner" else ())
            ),
            Field("Since", day_words(line.since, day)),
            Field("Maker", about.maker),
            Field("Reference", masking.reference(claim.reference)),
            Field(
                "Expires",
                ""
                if claim.expires_on is None or about.days_left is None
                else (f"{day_words(claim.expires_on, day)}, {days_left(about.days_left)}"),
            ),
            Field("Policy", POLICY_WORDS[card.policy] if expired else ""),
            Field("Site said", FAILURE_WORDS[claim.failed_how] if claim.failed_how else ""),
            Field("Wish", WISH_WORDS.get(card.wish, "") if line.why in ("offer", "not_answering") else ""),
            Field("Answer", f"They chose: {claim.offer_answer}" if claim.offer_answer and line.why == "offer" else ""),
            Field("Reply by", day_words(card.reply_by, day) if card.reply_by else ""),
            Field(
                "Shipped",
                day_words(claim.shipped_on, day) if claim.shipped_on else "",
                STATE_WORDS.get(claim.lost_how or "", ""),
            ),
            Field(
                "Asked", day_words(claim.last_asked_on, day) if line.why == "follow_up" and claim.last_asked_on else ""
            ),
            Field("Written", masking.note(card.said)),
            Field("Value", money),
            Field("Note", masking.note(about.view.note or "")),
        ]
        return [field for field in fields if field.value]

    def _choices(self, card: DecideCard) -> list[tuple[str, str | Secret]]:
        proposed = " (what the maker's policy proposes)"
        return [(name, CHOICE_WORDS[name] + (proposed if name == card.proposed else "")) for name in card.choices]

    # Deciding

    def action_rule(self) -> None:
        """Answer offers by the rule."""
        self.walk(self._by_rule())

    async def _by_rule(self) -> None:
        if await answer_by_rule(self):
            await self.go_on(stay=True)

    def main_action(self) -> None:
        """Show the choices."""
        self.action_decide()

    def action_decide(self) -> None:
        """Show the choices."""
        self.walk(self._decide())

    async def _decide(self) -> None:
        item, card = self.item, self._card
        if item is None or card is None or item.step is Step.DONE:
            return
        if isinstance(card, PromiseCard):
            await self._settle_promise(card)
            return
        if isinstance(card, Review):
            await self._settle_review(card)
            return
        line: ToDecide = item.data
        choice = await self.pick(why_words(line)[1], self._choices(card))
        if choice is not None and await self._do(choice, line, card):
            await self.go_on()

    async def _settle_review(self, review: Review) -> None:
        found = await work_on_review(self, review)
        if found is not None and await self.carry_out(found[0], undoable=found[1]) is not None:
            await self.go_on()

    async def _settle_promise(self, promise: PromiseCard) -> None:
        choices = [("done", "The promise is kept"), ("new_day", CHOICE_WORDS["new_day"])]
        choice = await self.pick("What about the promise?", choices)
        if choice == "done":
            work = self.desk.call(kept_promise, promise.id)
        elif choice == "new_day":
            day = await self.ask_day("Which day is it now?")
            reason = None if day is None else await self.ask_words("Why another day?")
            if day is None or reason is None:
                return
            work = self.desk.call(move_promise, promise.id, day, reason)
        else:
            return
        if await self.carry_out(work, undoable=False) is not None:
            await self.go_on()

    def action_park(self) -> None:
        """Put the claim aside; a promise or a maker gets another day instead."""
        if isinstance(self._card, PromiseCard | Review):
            self.action_decide()
        else:
            super().action_park()

    async def _do(self, choice: str, line: ToDecide, card: DecideCard) -> bool:
        tag = card.card.view.claim.tag
        if choice in END_WORDS:
            return await end_debt(self, tag, choice, "carrier" if line.why == "lost" else "maker") is not None
        if choice == "close":
            return await end_debt(self, tag, "terms", "nobody") is not None
        if choice == "answer":
            return await take_answer(self, [tag]) is not None
        if choice == "reading":
            return await other_reading(self, card)
        if choice == "draw":
            return await draw_owner(self, tag)
        if choice == "aside":
            self.action_park()
            return False
        work = await work_of(self, choice, line, card)
        return work is not None and await self.carry_out(work, undoable=choice != "confirmed") is not None

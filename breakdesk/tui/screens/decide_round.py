"""The decide round: what waits for the house itself, each case with its choices."""

from __future__ import annotations

from collections.abc import Awaitable

from textual.app import ComposeResult

from breakdesk.desk.codes import enter_code
from breakdesk.desk.decide_cards import (
    DecideCard,
    PromiseCard,
    decide_card,
    move_promise,
    parcel_of,
    promise_card,
)
from breakdesk.desk.describing import what_of
from breakdesk.desk.following import follow_up, followed_up
from breakdesk.desk.people import confirm_address, kept_promise
from breakdesk.desk.problems import Result
from breakdesk.desk.settling import Close, answer_offer, change_owner, close, pass_on_offer, refuse_claim, void
from breakdesk.desk.shipping import back_in_hand, card_failed, delivered, parcel_failed
from breakdesk.desk.submit_cards import readings_to_try
from breakdesk.desk.submitting import FAILURE_WORDS, choose_for_expired, try_again
from breakdesk.desk.viewing import today
from breakdesk.files.messages.wording import state_words
from breakdesk.rules.rounds import Parties, ToDecide
from breakdesk.tui import masking
from breakdesk.tui.commands import Command
from breakdesk.tui.countdown import days_left
from breakdesk.tui.dialogs import AskText, Paragraph
from breakdesk.tui.keys import bindings
from breakdesk.tui.masking import Secret
from breakdesk.tui.screens.maker_answers import take_answer
from breakdesk.tui.screens.round_base import Item, RoundScreen, round_commands
from breakdesk.tui.screens.settling_dialogs import END_WORDS, end_debt
from breakdesk.tui.widgets.fields import Field, Fields
from breakdesk.tui.widgets.round_strip import Step
from breakdesk.tui.wording import day_words, owner_words, person_words, values_words

WHY = {
    "refused": ("refused", "The maker will not fill it: how is it made good?"),
    "expired_at_pull": ("expired", "The claim card had expired when it was pulled."),
    "offer": ("offer", "The maker offers another card."),
    "owner": ("whose?", "Several participants may own it."),
    "failed_submission": ("not accepted", "The maker did not take it."),
    "lost": ("parcel", "Its parcel was lost or came back."),
    "not_answering": ("no answer", "The participant does not answer."),
    "follow_up": ("follow-up", "Its day has come."),
}
CHOICE_WORDS = {
    **END_WORDS,
    "try": "Try to submit it although it had expired",
    "ask": "Ask the maker first",
    "refuse": "The maker will not fill it: mark it as refused",
    "close": "Close it under the terms of the break",
    "void": "It was entered by mistake: void it",
    "take": "They take the other card",
    "wait": "They wait for the card that was promised",
    "decline": "They want neither",
    "pass_on": "The maker has the answer now",
    "choose": "Choose one of them, with a reason",
    "house": "It is the house's own",
    "again": "Try it again as it is",
    "reading": "Try another reading of the code",
    "back": "The card is back here",
    "delivered": "It arrived",
    "lost": "The parcel is lost",
    "returned": "The parcel came back",
    "new_day": "Come back to it on another day",
    "done": "It is done",
    "answer": "Say what the maker answered",
    "aside": "Put it aside until a day",
    "confirmed": "They answered: the address is right as it stands",
}
WISH_WORDS = {"wait": "waits for what was promised", "take": "takes a replacement", "ask": "wants to be asked"}
POLICY_WORDS = {
    "accepts": "takes expired cards",
    "ask_first": "wants to be asked first",
    "refuses": "refuses expired cards",
    "unknown": "not known",
}


def _command(name: str, key: str, label: str, tooltip: str) -> Command:
    return Command(id=f"decide-round.{name}", keys=(key,), label=label, tooltip=tooltip, context="decide-round")


COMMANDS = round_commands(
    "decide-round",
    _command("decide", "d", "Decide", "Choose what becomes of it (also the Enter key)."),
)


class DecideRound(RoundScreen):
    """Walks what waits for the house."""

    TITLE_WORDS = "Decide"
    ABOUT = (
        "What only the house can decide: refusals, expired cards, offers, owners, failed submissions, lost parcels, "
        "people who do not answer, and promises whose day has come. Enter shows the choices."
    )
    CONTEXT = "decide-round"
    BINDINGS = bindings(COMMANDS)
    ROUND = "decide"
    ZERO = "Nothing is left to be decided."

    def __init__(self) -> None:
        super().__init__()
        self._card: DecideCard | PromiseCard | None = None

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
        return [
            self._promise_item(line, view.parties) if line.claim is None else self._claim_item(line, view.parties)
            for line in view.today.decide
        ]

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
            label=f"{claim.tag} {_why(line)[0]}",
            data=line,
            park_ids=(claim.id,),
            tag=claim.tag,
            names=f"{claim.tag} {claim.subject}",
            secrets=(person_words(person.name, person.handle, person.on_air_name),) if person else (),
        )

    async def show_item(self, item: Item) -> None:
        """Show the case and its choices."""
        line: ToDecide = item.data
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
            "Decided in this round." if item.step is Step.DONE else _why(line)[1] + late
        )
        self.query_one("#decide-fields", Fields).show(self._fields(line, card))
        self._show_choices(item, self._choices(card))

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

    def _show_choices(self, item: Item, choices: list[tuple[str, str | Secret]]) -> None:
        lines = "\n".join(f"· {label}" for _, label in choices)
        following = "" if item.step is Step.DONE else f"Enter decides:\n{lines}"
        self.query_one("#decide-next", Paragraph).show(following)

    def _fields(self, line: ToDecide, card: DecideCard) -> list[Field]:
        claim, day, about = card.card.view.claim, self.desk.today(), card.card
        person = about.view.parties.people.get(claim.owner_id or 0)
        names = (person.name, person.handle, person.on_air_name) if person else ("", "", "")
        money = "" if claim.value is None or claim.currency is None else _money(claim.value, claim.currency)
        expired = line.why == "expired_at_pull"
        fields = [
            Field("Card", what_of(claim), strong=True),
            Field("Claim", claim.tag, state_words(claim.state)),
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
            Field("Shipped", day_words(claim.shipped_on, day) if claim.shipped_on else "", claim.lost_how or ""),
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
        line: ToDecide = item.data
        choice = await self.pick(_why(line)[1], self._choices(card))
        if choice is not None and await self._do(choice, line, card):
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
        """Put the claim aside; a promise gets another day instead."""
        if isinstance(self._card, PromiseCard):
            self.walk(self._settle_promise(self._card))
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
            return await self._other_reading(card)
        if choice == "aside":
            self.action_park()
            return False
        work = await self._work(choice, line, card)
        return work is not None and await self.carry_out(work, undoable=choice != "confirmed") is not None

    async def _work(self, choice: str, line: ToDecide, card: DecideCard) -> Awaitable[Result] | None:
        tag, call = card.card.view.claim.tag, self.desk.call
        if choice in ("try", "ask"):
            return call(choose_for_expired, tag, choice)
        if choice == "again":
            return call(try_again, tag)
        if choice == "pass_on":
            return call(pass_on_offer, tag)
        if choice in ("take", "wait", "decline"):
            return await self._answer(choice, line, tag)
        if choice in ("choose", "house"):
            return await self._owner(choice, card)
        if choice in ("delivered", "lost", "returned"):
            return await self._parcel(choice, tag)
        if choice == "new_day":
            return await self._new_day(tag)
        if choice == "confirmed":
            return call(confirm_address, card.card.view.parties.owner_name(card.card.view.claim) or "")
        return await self._with_words(choice, tag)

    async def _with_words(self, choice: str, tag: str) -> Awaitable[Result] | None:
        if choice == "void":
            reason = await self.ask_words("Why was it a mistake?")
            return None if reason is None else self.desk.call(void, tag, reason)
        titles = {
            "refuse": "What did the maker write?",
            "back": "How does it look?",
            "done": "Anything to note?",
        }
        words = await self.ask(AskText(titles[choice], "Enter alone notes nothing."))
        if words is None:
            return None
        action = {"refuse": refuse_claim, "back": back_in_hand, "done": followed_up}[choice]
        return self.desk.call(action, tag, words)

    async def _answer(self, choice: str, line: ToDecide, tag: str) -> Awaitable[Result] | None:
        if line.why == "not_answering":
            source = await self.ask_words("By which rule is that decided for them?", "It is kept with the answer.")
        else:
            source = await self.ask(
                AskText("Where did they say so?", "Such as a message or a call; Enter alone notes nothing.")
            )
        return None if source is None else self.desk.call(answer_offer, tag, choice, source)

    async def _owner(self, choice: str, card: DecideCard) -> Awaitable[Result] | None:
        tag, to = card.card.view.claim.tag, "house"
        if choice == "choose":
            people: list[tuple[str, str | Secret]] = [
                (name, person_words(name, handle, on_air)) for _, name, handle, on_air in card.candidates
            ]
            picked = await self.pick("Whose is it?", people)
            if picked is None:
                return None
            to = picked
        reason = await self.ask_words("Why is it theirs?", "The reason is kept, so that anyone can be told later.")
        return None if reason is None else self.desk.call(change_owner, tag, to, reason)

    async def _parcel(self, choice: str, tag: str) -> Awaitable[Result] | None:
        parcel_id = await self.desk.call(parcel_of, tag)
        if choice == "delivered":
            if parcel_id is None:
                return self.desk.call(close, Close(tag=tag, how="delivered"))
            return self.desk.call(delivered, parcel_id)
        note = await self.ask(AskText("What is known about it?", "Enter alone notes nothing."))
        if note is None:
            return None
        if parcel_id is None:
            return self.desk.call(card_failed, tag, choice, note)
        return self.desk.call(parcel_failed, parcel_id, choice, note)

    async def _new_day(self, tag: str) -> Awaitable[Result] | None:
        day = await self.ask_day("On which day is it to come back?")
        if day is None:
            return None
        words = await self.ask(AskText("What is to be done then?", "Enter alone notes nothing."))
        return None if words is None else self.desk.call(follow_up, tag, day, words)

    async def _other_reading(self, card: DecideCard) -> bool:
        tag, code = card.card.view.claim.tag, card.card.code
        readings = await self.desk.call(readings_to_try, code) if code else ()
        choices: list[tuple[str, str | Secret]] = [(reading, masking.code(reading)) for reading in readings]
        choice = await self.pick("Which reading is to be tried?", [*choices, ("", "Another one: type it")])
        if choice == "":
            choice = await self.ask(AskText("The code as it is read now?", "? stands for a place.", secret=True))
        if not choice:
            return False
        if await self.carry_out(self.desk.call(enter_code, tag, choice), undoable=False) is None:
            return False
        return await self.carry_out(self.desk.call(try_again, tag)) is not None


def _why(line: ToDecide) -> tuple[str, str]:
    """One word and one sentence for what brought it here."""
    if line.why == "follow_up" and line.claim is not None and line.claim.follow_up_on is None:
        return "no reply", "The maker was asked and has not replied."
    return WHY[line.why]


def _money(minor: int, currency: str) -> str:
    return values_words([(currency, minor)])

"""What each choice of the decide round asks for, and the action that it comes to."""

from __future__ import annotations

from collections.abc import Awaitable

from breakdesk.desk.codes import enter_code
from breakdesk.desk.decide_cards import DecideCard, parcel_of
from breakdesk.desk.following import follow_up, followed_up
from breakdesk.desk.people import confirm_address
from breakdesk.desk.problems import Result
from breakdesk.desk.settling import Close, answer_offer, change_owner, close, pass_on_offer, refuse_claim, void
from breakdesk.desk.shipping import back_in_hand, card_failed, delivered, parcel_failed
from breakdesk.desk.submit_cards import readings_to_try
from breakdesk.desk.submitting import choose_for_expired, try_again
from breakdesk.rules.claim import HOUSE_PARTY
from breakdesk.rules.parcel_states import TROUBLE
from breakdesk.rules.rounds.items import ToDecide
from breakdesk.tui import masking
from breakdesk.tui.dialogs import AskText
from breakdesk.tui.masking import Secret
from breakdesk.tui.screens.acting_screen import ActingScreen
from breakdesk.tui.wording import person_words


async def work_of(screen: ActingScreen, choice: str, line: ToDecide, card: DecideCard) -> Awaitable[Result] | None:
    """Asks what a choice needs and gives the action that does it; None where a question was left."""
    tag, call = card.card.view.claim.tag, screen.desk.call
    if choice in ("try", "ask"):
        return call(choose_for_expired, tag, choice)
    if choice == "again":
        return call(try_again, tag)
    if choice == "pass_on":
        return call(pass_on_offer, tag)
    if choice in ("take", "wait", "decline"):
        return await _answer(screen, choice, line, tag)
    if choice in ("choose", "house"):
        return await _owner(screen, choice, card)
    if choice in ("delivered", *TROUBLE):
        return await _parcel(screen, choice, tag)
    if choice == "new_day":
        return await _new_day(screen, tag)
    if choice == "confirmed":
        return call(confirm_address, card.card.view.parties.owner_name(card.card.view.claim) or "")
    return await _with_words(screen, choice, tag)


async def _with_words(screen: ActingScreen, choice: str, tag: str) -> Awaitable[Result] | None:
    if choice == "void":
        reason = await screen.ask_words("Why was it a mistake?")
        return None if reason is None else screen.desk.call(void, tag, reason)
    titles = {
        "refuse": "What did the maker write?",
        "back": "How does it look?",
        "done": "Anything to note?",
    }
    words = await screen.ask(AskText(titles[choice], "Enter alone notes nothing."))
    if words is None:
        return None
    action = {"refuse": refuse_claim, "back": back_in_hand, "done": followed_up}[choice]
    return screen.desk.call(action, tag, words)


async def _answer(screen: ActingScreen, choice: str, line: ToDecide, tag: str) -> Awaitable[Result] | None:
    if line.why == "not_answering":
        source = await screen.ask_words("By which rule is that decided for them?", "It is kept with the answer.")
    else:
        source = await screen.ask(
            AskText("Where did they say so?", "Such as a message or a call; Enter alone notes nothing.")
        )
    return None if source is None else screen.desk.call(answer_offer, tag, choice, source)


async def _owner(screen: ActingScreen, choice: str, card: DecideCard) -> Awaitable[Result] | None:
    tag, to = card.card.view.claim.tag, "house"
    if choice == "choose":
        people: list[tuple[str, str | Secret]] = [
            (name, person_words(name, handle, on_air))
            for key, name, handle, on_air in card.candidates
            if key != HOUSE_PARTY
        ]
        picked = await screen.pick("Whose is it?", people)
        if picked is None:
            return None
        to = picked
    reason = await screen.ask_words("Why is it theirs?", "The reason is kept, so that anyone can be told later.")
    return None if reason is None else screen.desk.call(change_owner, tag, to, reason)


async def _parcel(screen: ActingScreen, choice: str, tag: str) -> Awaitable[Result] | None:
    parcel_id = await screen.desk.call(parcel_of, tag)
    if choice == "delivered":
        if parcel_id is None:
            return screen.desk.call(close, Close(tag=tag, how="delivered"))
        return screen.desk.call(delivered, parcel_id)
    note = await screen.ask(AskText("What is known about it?", "Enter alone notes nothing."))
    if note is None:
        return None
    if parcel_id is None:
        return screen.desk.call(card_failed, tag, choice, note)
    return screen.desk.call(parcel_failed, parcel_id, choice, note)


async def _new_day(screen: ActingScreen, tag: str) -> Awaitable[Result] | None:
    day = await screen.ask_day("On which day is it to come back?")
    if day is None:
        return None
    words = await screen.ask(AskText("What is to be done then?", "Enter alone notes nothing."))
    return None if words is None else screen.desk.call(follow_up, tag, day, words)


async def other_reading(screen: ActingScreen, card: DecideCard) -> bool:
    """Asks for another reading of the code and puts the claim back among those to be submitted."""
    tag, code = card.card.view.claim.tag, card.card.code
    readings = await screen.desk.call(readings_to_try, code) if code else ()
    choices: list[tuple[str, str | Secret]] = [(reading, masking.code(reading)) for reading in readings]
    choice = await screen.pick("Which reading is to be tried?", [*choices, ("", "Another one: type it")])
    if choice == "":
        choice = await screen.ask(AskText("The code as it is read now?", "? stands for a place.", secret=True))
    if not choice:
        return False
    if await screen.carry_out(screen.desk.call(enter_code, tag, choice), undoable=False) is None:
        return False
    return await screen.carry_out(screen.desk.call(try_again, tag)) is not None

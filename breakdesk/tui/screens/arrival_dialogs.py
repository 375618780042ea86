"""What is asked when a card came in, and at the end of an envelope."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from breakdesk.desk.arrivals import serial_doubts
from breakdesk.desk.arriving import InHand
from breakdesk.desk.desk import Desk
from breakdesk.desk.envelopes import ToWrite
from breakdesk.desk.recognising import Match
from breakdesk.files.typed_paths import typed_paths
from breakdesk.rules.arrival_matching import is_unnamed
from breakdesk.rules.claim import Claim
from breakdesk.rules.tags import shown as tag_words
from breakdesk.rules.wording import counted
from breakdesk.tui import masking
from breakdesk.tui.dialogs import AskText, Confirm, ShowText
from breakdesk.tui.masking import Secret
from breakdesk.tui.screens.acting_screen import ActingScreen
from breakdesk.tui.wording import day_words, person_words


@dataclass(frozen=True, slots=True)
class Answered:
    """What a person said of a card, and the photos that were named. Without a request it is not this claim's card."""

    request: InHand | None
    photos: tuple[Path, ...] = ()


async def ask_arrival(screen: ActingScreen, match: Match) -> Answered | None:
    """Asks for the number on the card, whether it is as promised, and its condition; None where it was left."""
    claim, serial = match.claim, match.arrival.serial
    if claim.numbered_to is not None and claim.serial is None and serial is None:
        typed = await _ask_serial(screen, claim)
        if typed is None:
            return None
        serial = int(typed) if typed else None
    came_as = await _ask_what_it_is(screen) if is_unnamed(claim) else ""
    if came_as is None:
        return None
    how = await screen.pick(
        f"{tag_words(claim.tag)}: {match.arrival.what}",
        [
            ("good", "It is here, as promised"),
            ("photos", "It is here, as promised; keep photos of it"),
            ("other", "It is here, but not as promised"),
            ("part", "Only a part of it came: the rest waits on"),
            ("damaged", "It is here, but damaged: another one is claimed"),
            ("stranger", "It is not this claim's card: keep it, to be found out"),
        ],
        *(["\n".join(f"Mind: {sentence}" for sentence in match.odd)] if match.odd else []),
    )
    if how in (None, "stranger"):
        return None if how is None else Answered(None)
    if how == "damaged":
        damaged = await screen.ask_words("How is it damaged?", "The maker is asked for another one.")
        return (
            None
            if damaged is None
            else Answered(InHand(tag=claim.tag, serial=serial, damaged=damaged, came_as=came_as))
        )
    rest = ""
    if how == "part":
        answer = await screen.ask_words("What is still to come?", "It waits on as a claim of its own.")
        if answer is None:
            return None
        rest = answer
    photos = await _ask_photos(screen) if how == "photos" else ()
    if photos is None:
        return None
    condition = await screen.ask(AskText("Its condition, in a few words?", "Enter alone notes nothing."))
    if condition is None:
        return None
    request = InHand(
        tag=claim.tag, serial=serial, condition=condition, as_promised=how != "other", still_owed=rest, came_as=came_as
    )
    return Answered(request, photos)


async def _ask_what_it_is(screen: ActingScreen) -> str | None:
    about = "Its player and team, as you would type them when it is pulled: with them the break says whose it is."
    typed = await screen.ask(AskText("What stands on the card?", about, " Enter alone leaves that open."))
    return None if typed is None else str(typed)


async def _ask_serial(screen: ActingScreen, claim: Claim) -> str | None:
    typed = ""
    while True:
        title = f"Which number is on it, of {claim.numbered_to}?"
        said = await screen.ask(AskText(title, "Enter alone if it shows none.", value=typed, check=_number_problem))
        if not said:
            return None if said is None else ""
        typed = str(said)
        doubts = await screen.desk.call(_doubts, claim, int(typed))
        if not doubts or await screen.ask(
            Confirm("Is the number right?", " ".join(doubts), yes="It is what the card shows", no="Type it again")
        ):
            return typed


def _doubts(_desk: Desk, claim: Claim, serial: int) -> tuple[str, ...]:
    return serial_doubts(claim, serial)


async def _ask_photos(screen: ActingScreen) -> tuple[Path, ...] | None:
    """Photos by their paths, as typed or dropped onto the terminal."""
    typed = await screen.ask(AskText("Which photos?", "Their files; copies are kept beside the desk.", check=_paths))
    return None if typed is None else tuple(typed_paths(typed))


def _paths(text: str) -> str | None:
    try:
        return None if typed_paths(text) else "Name at least one file."
    except ValueError as error:
        return str(error)


def _number_problem(text: str) -> str | None:
    return None if not text or (text.isdecimal() and len(text) <= 9) else "Write the number alone, such as 7."


async def end_envelope(screen: ActingScreen, counted_in: int, people: tuple[ToWrite, ...]) -> bool:
    """Holds the count by hand against what was taken in, and shows whom to write; whether the envelope is done."""
    cards = counted(counted_in, "card was", "cards were")
    said = await screen.ask(
        AskText(
            "How many cards did you count in the envelope?",
            f"{cards} taken in here. Enter alone if you did not count.",
            check=_number_problem,
        )
    )
    if said is None:
        return False
    if said and int(said) != counted_in:
        look = f"You counted {said}, but {cards} taken in. Look for the one that is left over."
        done = await screen.ask(Confirm("The envelope is not complete", look, yes="It is done all the same", no="Look"))
        if not done:
            return False
    await screen.ask(ShowText("Whom to write", *_to_write(screen, people)))
    return True


def _to_write(screen: ActingScreen, people: tuple[ToWrite, ...]) -> list[str | Secret]:
    if not people:
        return ["Nobody: these cards are the house's own, or their people know already."]
    today = screen.desk.today()
    parts: list[str | Secret] = []
    for person in people:
        by = f", by {day_words(person.tell_by, today)}" if person.tell_by else ""
        ask = " Ask for the address, too." if person.ask_address else ""
        name = person_words(person.name, person.handle, person.on_air_name)
        parts += [name, f"{by}: {'; '.join(person.cards)}.{ask}\n"]
    return [*parts, "\nThe tell round (Today, F2) has their messages."]


async def ask_stranger(screen: ActingScreen, line: str) -> bool:
    """Whether a card that fits no claim is to be kept until somebody finds out whose it is."""
    return bool(
        await screen.ask(
            Confirm(
                "Keep the card, to be found out?",
                masking.note(line),
                " becomes a card of the house that is here, and stands among the decisions until you know whose it is.",
                yes="Keep it, to be found out",
                no="Look again: less of the line may find one",
            )
        )
    )

"""What is asked when a card came in."""

from __future__ import annotations

from breakdesk.desk.arrivals import Arrival
from breakdesk.desk.arriving import InHand
from breakdesk.rules.tags import shown as tag_words
from breakdesk.tui.dialogs import AskText
from breakdesk.tui.screens.acting_screen import ActingScreen


async def ask_arrival(screen: ActingScreen, line: Arrival) -> InHand | None:
    """Asks for the number on the card, whether it is as promised, and its condition; None where it was left."""
    claim, serial = line.claim, line.serial
    if claim.numbered_to is not None and claim.serial is None and serial is None:
        title = f"Which number is on it, of {claim.numbered_to}?"
        said = await screen.ask(AskText(title, "Enter alone if it shows none.", check=_number_problem))
        if said is None:
            return None
        serial = int(said) if said else None
    how = await screen.pick(
        f"{tag_words(claim.tag)}: {line.what}",
        [
            ("good", "It is here, as promised"),
            ("other", "It is here, but not as promised"),
            ("part", "Only a part of it came: the rest waits on"),
            ("damaged", "It is here, but damaged: another one is claimed"),
        ],
        *([f"Mind: {line.doubt}."] if line.doubt else []),
    )
    if how is None:
        return None
    rest = ""
    if how == "part":
        answer = await screen.ask_words("What is still to come?", "It waits on as a claim of its own.")
        if answer is None:
            return None
        rest = answer
    if how == "damaged":
        damaged = await screen.ask_words("How is it damaged?", "The maker is asked for another one.")
        return None if damaged is None else InHand(tag=claim.tag, serial=serial, damaged=damaged)
    condition = await screen.ask(AskText("Its condition, in a few words?", "Enter alone notes nothing."))
    if condition is None:
        return None
    return InHand(tag=claim.tag, serial=serial, condition=condition, as_promised=how != "other", still_owed=rest)


def _number_problem(text: str) -> str | None:
    return None if not text or (text.isdecimal() and len(text) <= 9) else "Write the number alone, such as 7."

"""What the ship round asks for: the tracking number, and what a participant said about their address."""

from __future__ import annotations

from collections.abc import Awaitable
from typing import cast

from breakdesk.desk.people import confirm_address
from breakdesk.desk.problems import Result
from breakdesk.desk.ship_cards import ShipCard, tracking_standard
from breakdesk.tui import masking
from breakdesk.tui.dialogs import AskText, Confirm
from breakdesk.tui.masking import Secret
from breakdesk.tui.screens.acting_screen import ActingScreen


async def ask_tracking(screen: ActingScreen) -> str | None:
    """The tracking number, doubted where it follows no rule and never refused; None where the parcel is not to go.

    Who would rather look again gets the field back as it was typed.
    """
    number = ""
    while True:
        typed = await screen.ask(
            AskText("The tracking number?", "Enter alone ships without one.", value=number, secret=True)
        )
        if typed is None:
            return None
        number = cast("str", typed)
        if await (_is_right(screen, number) if number else _has_none(screen)):
            return number


async def _has_none(screen: ActingScreen) -> bool:
    choice = await screen.pick(
        "Ship without a tracking number?",
        [("no", "No: type it"), ("yes", "Yes: there is none, and nothing proves that it arrives")],
    )
    return choice == "yes"


async def _is_right(screen: ActingScreen, number: str) -> bool:
    standard, doubt = await screen.desk.call(tracking_standard, number)
    if not doubt:
        screen.say(f"The number follows {standard}.")
        return True
    keep = await screen.ask(
        Confirm(
            "Is the number right?",
            Secret(masking.Kind.REFERENCE, doubt, "The number cannot be checked; compare it with the label."),
            yes="It is right: ship with it",
            no="Look at it again",
        )
    )
    return bool(keep)


async def take_address(screen: ActingScreen, card: ShipCard) -> bool:
    """Asks what a participant said about their address and records it; whether anything was."""
    choice = "new"
    if card.address:
        choice = (
            await screen.pick(
                "What did they say about the address?",
                [("same", "It is right as it stands"), ("new", "They gave another one")],
                masking.address(", ".join(card.address.splitlines())),
            )
            or ""
        )
    if choice == "same":
        return await _said(screen, screen.desk.call(confirm_address, card.name))
    if choice == "new":
        return await _new_address(screen, card)
    return False


async def _new_address(screen: ActingScreen, card: ShipCard) -> bool:
    hint = "As they wrote it, its lines joined by commas; the country comes next."
    text = await screen.ask(AskText("Where do their cards go?", hint, secret=True))
    if not text:
        return False
    country = await screen.ask(AskText("Its country, as two letters?", "Such as US or DE.", value=card.country))
    if country is None:
        return False
    lines = "\n".join(part.strip() for part in text.split(",") if part.strip())
    return await _said(screen, screen.desk.call(confirm_address, card.name, lines, country))


async def _said(screen: ActingScreen, work: Awaitable[Result]) -> bool:
    return await screen.carry_out(work, undoable=False) is not None

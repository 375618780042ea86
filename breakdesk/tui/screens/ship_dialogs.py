"""The tracking number of a parcel that leaves, asked for by the ship round."""

from __future__ import annotations

from typing import cast

from breakdesk.desk.ship_cards import tracking_standard
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

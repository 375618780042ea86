"""Offers that nobody answered by their last day, settled in one go as wish or rule says."""

from __future__ import annotations

from typing import Final

from breakdesk.desk.transferring import UnansweredOffer, settle_unanswered, unanswered_offers
from breakdesk.rules.tags import shown as tag_words
from breakdesk.rules.wording import counted
from breakdesk.tui.dialogs import Confirm
from breakdesk.tui.screens.acting_screen import ActingScreen
from breakdesk.tui.wording import day_words

ANSWERS: Final = {"take": "take the other card", "wait": "wait for the card that was promised"}
BECAUSE: Final = {"wish": "as they wished before", "rule": "as your rule says"}
MOST_LISTED: Final = 8


async def answer_by_rule(screen: ActingScreen) -> bool:
    """Show what becomes of each, and settle them; whether that was done."""
    offers = await screen.desk.call(unanswered_offers)
    if not offers:
        screen.say("No offer is past its day without an answer, or you decide each by itself (Settings, offers).")
        return False
    lines = [_line(screen, offer) for offer in offers[:MOST_LISTED]]
    if len(offers) > MOST_LISTED:
        lines.append(f"and {len(offers) - MOST_LISTED} more")
    yes = await screen.ask(
        Confirm(
            f"Answer {counted(len(offers), 'offer')} for those who did not?",
            "\n".join(lines),
            "\n \nEach participant is to be told why; each answer then goes to its maker, by the maker's own day.",
            yes="Answer them like this",
        )
    )
    return bool(yes) and await screen.carry_out(screen.desk.call(settle_unanswered)) is not None


def _line(screen: ActingScreen, offer: UnansweredOffer) -> str:
    day = day_words(offer.last_day, screen.desk.today())
    return f"{tag_words(offer.claim.tag)}: {ANSWERS[offer.answer]}, {BECAUSE[offer.because]} (until {day})"

"""The words of the ship round: how sure the address is, what goes along with the cards, and what to do next."""

from __future__ import annotations

from datetime import date

from breakdesk.desk.ship_cards import ShipCard
from breakdesk.rules.claim import Claim
from breakdesk.rules.tags import shown as tag_words
from breakdesk.rules.wording import counted
from breakdesk.tui import masking
from breakdesk.tui.widgets.fields import Field
from breakdesk.tui.wording import day_words


def address_words(card: ShipCard, today: date) -> str:
    """Whether anything may go to the address."""
    if not card.address:
        return "none yet: ask for it"
    if not card.confirmed:
        return "to be confirmed first"
    known = day_words(card.confirmed_on, today) if card.confirmed_on else ""
    return f"confirmed {known}".rstrip()


def beside_the_cards(card: ShipCard) -> list[Field]:
    """What goes along with the cards, so that it is seen while they are packed."""
    if card.parcel is None:
        return []
    found = [
        Field("Goes to", masking.full_name(card.parcel.goes_to, "somebody else"), "a gift: no values on the slip"),
        Field("Note", masking.note(card.parcel.gift_note)),
        Field("Also in it", masking.note("; ".join(card.parcel.lines))),
    ]
    return [field for field in found if field.value]


def next_words(card: ShipCard, chosen: list[Claim]) -> str:
    """The one thing to do next."""
    if card.parcel is None:
        if not card.cards:
            return ""
        cards = counted(len(chosen), "card")
        return f"Enter starts the parcel with {cards}; e lets it wait for more."
    since = f" {counted(len(card.cards), 'card')} came since: e puts them in." if card.cards else ""
    waiting = card.parcel.open_steps
    if waiting:
        about = tag_words(waiting[0].tag) if waiting[0].tag else "the parcel"
        return f"Enter ticks “{waiting[0].name}” for {about}; {len(waiting)} open.{since or ' e: note, weight, gift.'}"
    return f"All steps are done. Enter takes the tracking number.{since}"

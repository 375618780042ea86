"""The fields of a claim's page about its card: linked claims, evidence, photos, the way from the maker."""

from __future__ import annotations

from datetime import date

from breakdesk.desk.card_facts import CardFacts
from breakdesk.desk.damage import EvidenceView
from breakdesk.desk.describing import what_of
from breakdesk.desk.settling import CLOSING_WORDS
from breakdesk.files.messages.wording import state_words
from breakdesk.rules.claim import Claim
from breakdesk.rules.parcel_states import STATE_WORDS
from breakdesk.rules.tags import shown
from breakdesk.tui import masking
from breakdesk.tui.widgets.fields import Field
from breakdesk.tui.wording import day_words


def where_words(claim: Claim) -> str:
    """Where a card is, in the desk's own voice: a trouble on its way is named, and nobody is called you."""
    if claim.lost_how is not None:
        return STATE_WORDS[claim.lost_how]
    if claim.state == "shipped":
        return STATE_WORDS["shipped"]
    if claim.state == "closed" and claim.closed_how is not None:
        return CLOSING_WORDS[claim.closed_how]
    return state_words(claim.state)


def card_fields(claim: Claim, facts: CardFacts, today: date) -> list[Field]:
    """What is known of the card; fields without a value are left out by whoever shows them."""
    is_direct = claim.ship_to == "participant"
    return [
        *(
            Field(
                "Linked",
                f"{link.how} {shown(link.claim.tag)}, {what_of(link.claim)}",
                where_words(link.claim),
            )
            for link in facts.links
        ),
        *_evidence_fields(facts.evidence, today),
        Field("Photos", f"{facts.photos} kept beside the desk" if facts.photos else ""),
        Field("Goes to", "straight from the maker to the participant" if is_direct else ""),
        Field("From maker", masking.reference(claim.inbound_tracking)),
    ]


def _evidence_fields(view: EvidenceView | None, today: date) -> list[Field]:
    if view is None:
        return []
    until = f"to be filed by {day_words(view.until, today)}" if view.until else ""
    back = f", and came back {day_words(view.came_back_on, today)}" if view.came_back_on else ""
    return [
        Field("Evidence", f"missing: {', '.join(view.missing)}" if view.missing else "all of it is here", until),
        Field("Sent back", f"{day_words(view.sent_back_on, today)}{back}" if view.sent_back_on else ""),
        Field("Back under", masking.reference(view.sent_back_tracking)),
    ]

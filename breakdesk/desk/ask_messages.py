"""What a maker would be written now: its claims in the house's order, rationed, as one polite message."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from breakdesk.desk.describing import what_of
from breakdesk.desk.desk import Desk
from breakdesk.desk.telling import house_templates
from breakdesk.files.messages.channels import Message
from breakdesk.files.messages.composing import ask_message
from breakdesk.files.messages.sources import Templates
from breakdesk.files.messages.views import AskReference, AskView
from breakdesk.rules.claim import Claim, Listed
from breakdesk.store import history, models
from breakdesk.store.claims import claims_with_keys
from breakdesk.store.parties import read_house


@dataclass(frozen=True, slots=True)
class AskDraft:
    """A message to a maker, before it is sent, and the claims that it names."""

    maker: str
    contact: str
    claims: tuple[Listed, ...]
    left_over: int
    """Claims that may be asked about but do not fit into one message."""
    message: Message


def ask_draft(desk: Desk, claims: Sequence[Listed], templates: Templates | None = None) -> AskDraft:
    """One message about as many of the claims as a message may name, the longest waiting first."""
    house = read_house()
    limit = house.terms.count_on("references_per_ask", house.today(desk.clock.as_of()))
    ordered = sorted(claims, key=lambda claim: (claim.submitted_on or date.max, claim.tag))
    named = tuple(ordered[:limit])
    maker = None if not named or named[0].maker_id is None else models.Maker.get_by_id(named[0].maker_id)
    view = AskView(
        maker=maker.name if maker else "",
        account=_account(named),
        house_name=house.name,
        references=tuple(
            AskReference(reference=claim.reference or claim.tag, what=what_of(claim), submitted_on=claim.submitted_on)
            for claim in named
        ),
    )
    tone = house.terms.on("tone", house.today(desk.clock.as_of()))
    message = ask_message(view, tone, templates=templates or house_templates(desk))
    return AskDraft(view.maker, maker.contact if maker else "", named, len(ordered) - len(named), message)


def _account(claims: Sequence[Listed]) -> str:
    ids = {claim.account_id for claim in claims if claim.account_id is not None}
    return models.Account.get_by_id(ids.pop()).name if len(ids) == 1 else ""


@dataclass(frozen=True, slots=True)
class HeldAsk:
    """A message that waits for its maker's office to open."""

    id: int
    maker_id: int | None
    maker: str
    written_on: date
    text: str
    claims: tuple[Claim, ...]
    contact: str = ""


def held_asks(desk: Desk) -> list[HeldAsk]:
    """Every message that is held, the oldest first."""
    table, links = models.Ask, models.AskClaim
    held = []
    for row in table.select().where(table.held == True, table.dropped == False).order_by(table.id):  # noqa: E712
        ids = [link.claim_id for link in links.select().where(links.ask == row.id)]
        maker = None if row.maker_id is None else models.Maker.get_by_id(row.maker_id)
        held.append(
            HeldAsk(
                row.id,
                row.maker_id,
                maker.name if maker else "",
                row.written_on,
                history.text_of(row.text_id) or "",
                tuple(claims_with_keys(desk.database, ids)),
                maker.contact if maker else "",
            )
        )
    return held

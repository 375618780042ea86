"""What the submit round shows of one claim, and the other readings of a code that could not be read whole."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from breakdesk.desk.codes import read_code
from breakdesk.desk.desk import Desk
from breakdesk.desk.problems import Problem
from breakdesk.desk.viewing import ClaimView, claim_view
from breakdesk.rules import clocks
from breakdesk.rules.codes import is_partial, lookalike_readings
from breakdesk.store import models
from breakdesk.store.parties import read_makers
from breakdesk.store.sealing import NoKey

READINGS_AT_MOST = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class SubmitCard:
    """One claim to be submitted, with its clocks. `days_left` counts days in the maker's zone, 0 on the last day."""

    view: ClaimView
    maker: str
    accounts: tuple[str, ...]
    code: str
    code_problem: str
    is_partial: bool
    house_zone: str
    submit_by: datetime | None
    expiry_end: datetime | None
    days_left: int | None
    now: datetime


def submit_card(desk: Desk, tag: str) -> SubmitCard | None:
    """A claim as the submit round shows it; None where there is none."""
    view = claim_view(desk, tag)
    if view is None:
        return None
    claim, now = view.claim, desk.clock.as_of()
    maker, house = view.parties.maker_of(claim), view.parties.house
    found = read_code(desk, claim.id)
    code = found if isinstance(found, str) else ""
    return SubmitCard(
        view=view,
        maker=maker.name or "",
        accounts=accounts_of(desk, claim.maker_id),
        code=code,
        code_problem=found.sentence if isinstance(found, Problem) else "",
        is_partial=is_partial(code),
        house_zone=house.zone_at(now),
        submit_by=clocks.submit_by(claim, house, maker),
        expiry_end=clocks.expiry_end(claim, maker),
        days_left=clocks.days_to_expiry(claim, maker, now),
        now=now,
    )


def accounts_of(desk: Desk, maker_id: int | None) -> tuple[str, ...]:
    """The names of the house's accounts with a maker."""
    table = models.Account
    return tuple(row.name for row in table.select().where(table.maker == maker_id).order_by(table.id))


def maker_names(desk: Desk) -> tuple[tuple[int, str], ...]:
    """Every maker's key and name, by name."""
    makers = ((key, maker.name or "") for key, maker in read_makers(desk.database).items())
    return tuple(sorted(makers, key=lambda item: item[1].casefold()))


def readings_to_try(desk: Desk, code: str, limit: int = READINGS_AT_MOST) -> tuple[str, ...]:
    """Other readings of a code, the likeliest first, without those that another claim of the desk has."""
    readings = lookalike_readings(code, limit)
    table = models.ClaimCode
    try:
        digests = {reading: desk.sealer.code_digests(reading)[0] for reading in readings}
    except NoKey:
        return readings
    rows = table.select(table.digest).where(table.digest.in_([digest for digest in digests.values() if digest]))
    taken = {row.digest for row in rows}
    return tuple(reading for reading in readings if digests[reading] not in taken)

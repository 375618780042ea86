"""The ask round: claims whose makers may be asked about them, by maker."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime
from operator import attrgetter

from breakdesk.rules import clocks
from breakdesk.rules.claim import Listed
from breakdesk.rules.days import Age, age, band
from breakdesk.rules.names import name_order
from breakdesk.rules.parties import NO_MAKER, Maker, Parties
from breakdesk.rules.rounds.items import MakerToAsk, Parked, ToAsk


def to_ask(claims: Iterable[Listed], parties: Parties, now: datetime, parked: Parked) -> tuple[MakerToAsk, ...]:
    """Makers with at least one claim that they may be asked about, open or not."""
    house_today = parties.house.today(now)
    line = parties.house.start_line
    dates: dict[int | None, date] = {}
    ages: dict[date, tuple[Age, str]] = {}
    by_maker: dict[int | None, list[ToAsk]] = {}
    for claim in claims:
        if claim.state != "submitted" or claim.submitted_on is None or claim.ask_held:
            continue
        maker = parties.maker_of(claim)
        start = clocks.ask_from(claim, maker, line)
        if maker.id not in dates:
            dates[maker.id] = maker.today(now)
        if start is None or start > dates[maker.id] or parked.has("ask", claim.id):
            continue
        if claim.submitted_on not in ages:
            waited = age(min(claim.submitted_on, house_today), house_today)
            ages[claim.submitted_on] = waited, band(waited.days)
        by_maker.setdefault(maker.id, []).append(ToAsk(claim, start, *ages[claim.submitted_on]))
    makers = [
        _maker_to_ask(parties.makers[maker_id] if maker_id is not None else NO_MAKER, items, now)
        for maker_id, items in by_maker.items()
    ]
    return tuple(sorted(makers, key=lambda item: name_order(item.maker.name)))


def _maker_to_ask(maker: Maker, items: list[ToAsk], now: datetime) -> MakerToAsk:
    open_now = maker.is_open(now)
    ordered = tuple(sorted(items, key=attrgetter("claim.tag")))
    return MakerToAsk(maker, open_now, None if open_now else maker.opening_after(now), ordered)

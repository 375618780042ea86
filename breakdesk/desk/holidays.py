"""Keeps the makers' public holidays known some years ahead; a desk that is used for years would run out of them."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.problems import Result
from breakdesk.desk.terms import YEARS_AHEAD, holidays_over
from breakdesk.rules.parties import Maker
from breakdesk.rules.wording import counted
from breakdesk.store import terms as store_terms
from breakdesk.store.parties import read_house, read_makers
from breakdesk.store.projecting import refresh_due_days

YEARS_AT_LEAST = 1
"""Whole years after this one for which holidays have to be known, so that no day of an ask is reckoned without them."""


def makers_running_out(desk: Desk) -> tuple[Maker, ...]:
    """Makers whose stored public holidays end too soon; those without any, as of no known country, are left out."""
    last_year = read_house().today(desk.clock.as_of()).year + YEARS_AT_LEAST
    makers = read_makers(desk.database).values()
    return tuple(maker for maker in makers if maker.holidays and max(maker.holidays).year < last_year)


def look_ahead(desk: Desk, key: int | None = None) -> Result | None:
    """Notes the public holidays of the coming years where they run out; None where none does, or none is known."""
    coming = {maker.id or 0: found for maker in makers_running_out(desk) if (found := _coming(desk, maker))}
    if not coming:
        return None

    def work(a: Act) -> str:
        for maker_id, found in coming.items():
            store_terms.replace_holidays(desk.database, maker_id, found, min(found))
            a.line("maker", maker_id, "holidays noted", {"days": len(found)})
        refresh_due_days(desk.database)
        added = counted(sum(map(len, coming.values())), "public holiday")
        return f"{added} of {counted(len(coming), 'maker')} noted for the coming years."

    return act(desk, "holidays", work, key)


def _coming(desk: Desk, maker: Maker) -> dict[date, str]:
    """The public holidays after the last year that is noted; none where its country is named no more."""
    year = read_house().today(desk.clock.as_of()).year
    return holidays_over(maker.terms, max(maker.holidays).year + 1, year + YEARS_AHEAD)


def holidays_that_differ(desk: Desk) -> Iterator[str]:
    """A sentence for each maker whose stored holidays of this year and the next are not those that are known now."""
    year = read_house().today(desk.clock.as_of()).year
    for maker in read_makers(desk.database).values():
        stored = {day for day in maker.holidays if year <= day.year <= year + 1}
        known = {day for day in holidays_over(maker.terms, year, year + 1) if day.year <= year + 1}
        different = stored ^ known
        if maker.holidays and different:
            days = ", ".join(day.isoformat() for day in sorted(different)[:5])
            yield f"The public holidays noted for {maker.name} are not those that are known now: {days}."

"""When a notice of delay falls due."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from breakdesk.rules.claim import Claim
from breakdesk.rules.delay import delay_notices, notice_due_on
from breakdesk.rules.parties import House, Parties, Person
from breakdesk.rules.terms import HOUSE_DEFAULTS, terms_from

PULLED = date(2026, 1, 5)


def house(*rows: tuple[str, str, date | None]) -> House:
    return House("Corner Table Breaks", terms_from(HOUSE_DEFAULTS, rows))


ON = house(("delay_notice", "on", None))


def claim(**facts: object) -> Claim:
    given = {"owner_kind": "person", "owner_id": 1, "pull_day": PULLED, "last_event_on": PULLED, **facts}
    return Claim(id=1, tag="T", **given)  # type: ignore[arg-type]


def test_off_by_default() -> None:
    assert notice_due_on(claim(), House()) is None


def test_so_many_days_after_the_pull() -> None:
    assert notice_due_on(claim(), ON) == date(2026, 2, 4)
    assert notice_due_on(claim(), house(("delay_notice", "on", None), ("delay_notice_days", "50", None))) == date(
        2026, 2, 24
    )


def test_each_notice_starts_the_days_anew() -> None:
    assert notice_due_on(claim(noticed_on=date(2026, 2, 4)), ON) == date(2026, 3, 6)


def test_switched_on_from_a_day_it_leaves_earlier_pulls_alone() -> None:
    later = house(("delay_notice", "on", PULLED + timedelta(days=1)))
    assert notice_due_on(claim(), later) is None
    assert notice_due_on(claim(pull_day=PULLED + timedelta(days=1)), later) == date(2026, 2, 5)


@pytest.mark.parametrize(
    "facts",
    [
        {"owner_kind": "house", "owner_id": None},
        {"owner_kind": "several", "owner_id": None},
        {"state": "shipped", "shipped_on": date(2026, 1, 20)},
        {"state": "closed", "closed_on": date(2026, 1, 20), "closed_how": "delivered"},
        {"state": "void"},
    ],
    ids=["the house's own", "several owners", "shipped", "closed", "void"],
)
def test_nobody_is_told_of_what_is_not_late(facts: dict[str, object]) -> None:
    assert notice_due_on(claim(**facts), ON) is None


def test_listed_from_the_day_on_in_the_house_zone_even_on_hold() -> None:
    parties = Parties(house=ON, makers={}, people={1: Person(id=1, name="Wren")})
    # 06:00 in UTC is midnight in Chicago.
    due = datetime(2026, 2, 4, 6, tzinfo=UTC)
    assert delay_notices([claim()], parties, due - timedelta(minutes=1)) == ()
    (notice,) = delay_notices([claim(on_hold=True)], parties, due)
    assert notice.due_on == date(2026, 2, 4)
    assert delay_notices([claim(noticed_on=date(2026, 2, 4))], parties, due) == ()

"""The days of the delay notice against those of a regulation. Whether it applies to a claim card is not settled."""

from __future__ import annotations

from datetime import date

import pytest

from breakdesk.rules.claim import Claim
from breakdesk.rules.delay import notice_due_on
from breakdesk.rules.parties import House
from breakdesk.rules.terms import HOUSE_DEFAULTS, terms_from

ORDERED = date(2026, 1, 5)


@pytest.mark.parametrize(("days", "given_on", "expected"), [
    ("30", None, date(2026, 2, 4)),
    ("50", None, date(2026, 2, 24)),
    ("30", date(2026, 2, 4), date(2026, 3, 6)),
], ids=["30 days", "50 days where the buyer asked for credit", "30 days after the first notice"])  # fmt: skip
@pytest.mark.outside(
    rule="a notice of delay falls due 30 or 50 days after the order, and 30 days after the one before",
    source="computed from 16 CFR 435.2(a)(1) and 435.2(b)(1)(ii)",
)
def test_days_of_a_notice(days: str, given_on: date | None, expected: date) -> None:
    settled = [("delay_notice", "on", None), ("delay_notice_days", days, None)]
    house = House("Corner Table Breaks", terms_from(HOUSE_DEFAULTS, settled))
    claim = Claim(
        id=1, tag="T", owner_kind="person", owner_id=1, pull_day=ORDERED, last_event_on=ORDERED, noticed_on=given_on
    )
    assert notice_due_on(claim, house) == expected

"""Debts as periods: every day they add up, whatever happens to the claims."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.rules.claim import Claim
from breakdesk.rules.days import BANDS
from breakdesk.rules.debts import SIDES, debts_of
from breakdesk.rules.totals import Names, by_month, months, movement, totals_of

TODAY = date(2026, 6, 15)
NAMES = Names(makers={1: "Pellwether"}, accounts={}, people={1: "Odalys", 2: "Wren"}, breaks={})


@st.composite
def claims(draw: st.DrawFn, claim_id: int = 1) -> Claim:
    """A claim in any state, its days in order."""
    days = sorted(draw(st.lists(st.integers(0, 900), min_size=5, max_size=5)))
    pulled, submitted, third, fourth, last = (TODAY - timedelta(days=900 - day) for day in days)
    facts: dict[str, object] = {"last_event_on": last}
    state = draw(st.sampled_from(("pulled", "submitted", "in_hand", "shipped", "closed", "refused", "void")))
    if state != "pulled":
        facts["submitted_on"] = submitted
    if state in ("in_hand", "shipped"):
        facts |= {"in_hand_on": third, "shipped_on": fourth if state == "shipped" else None}
    if state == "refused":
        facts["refused_on"] = third
    if state == "closed":
        how = draw(st.sampled_from(("delivered", "given", "terms", "unclaimed", "refunded")))
        facts |= {"closed_on": fourth, "closed_how": how, "in_hand_on": draw(st.sampled_from((None, third)))}
    owner = draw(st.sampled_from(("person", "house", "several", "settled")))
    if owner == "person":
        facts |= {"owner_kind": "person", "owner_id": draw(st.sampled_from((1, 2))), "first_owner_id": 1}
    elif owner == "settled":
        facts |= {"owner_kind": "house", "first_owner_id": 1, "owner_since": third}
        facts |= {"settled_on": third, "settled_how": "bought_out"}
    else:
        facts["owner_kind"] = owner
    if draw(st.booleans()):
        facts |= {"value": draw(st.integers(0, 10**6)), "currency": draw(st.sampled_from(("USD", "EUR")))}
    plan = draw(st.sampled_from(("submit", "give")))
    return Claim(id=claim_id, tag=f"T{claim_id}", pull_day=pulled, state=state, plan=plan, maker_id=1, **facts)  # type: ignore[arg-type]


@st.composite
def desks(draw: st.DrawFn) -> list[Claim]:
    """Up to a dozen claims."""
    return [draw(claims(claim_id)) for claim_id in range(1, draw(st.integers(0, 12)) + 1)]


def _balanced(opening: dict[str, int], added: dict[str, int], closed: dict[str, int]) -> Iterator[tuple[str, int]]:
    for currency in {*opening, *added, *closed}:
        left = opening.get(currency, 0) + added.get(currency, 0) - closed.get(currency, 0)
        yield currency, left


@given(desks(), st.integers(0, 900), st.integers(0, 400))
@settings(max_examples=200, deadline=None)
def test_opening_and_added_less_closed_is_closing(known: list[Claim], start: int, length: int) -> None:
    first = TODAY - timedelta(days=start)
    last = first + timedelta(days=length)
    debts = [debt for claim in known for debt in debts_of(claim)]
    for side in SIDES:
        found = movement(debts, side, first, last)
        assert found.opening.count + found.added.count - found.closed.count == found.closing.count
        assert sum(line.count for line in found.closed_by_how) == found.closed.count
        assert found.opening.no_value + found.added.no_value - found.closed.no_value == found.closing.no_value
        for currency, left in _balanced(found.opening.value, found.added.value, found.closed.value):
            assert found.closing.value.get(currency, 0) == left


@given(desks())
@settings(max_examples=100, deadline=None)
def test_each_month_opens_with_what_the_one_before_closed_with(known: list[Claim]) -> None:
    debts = [debt for claim in known for debt in debts_of(claim)]
    for side in SIDES:
        found = months(debts, side, TODAY)
        assert len(found) == 12
        assert found[-1].last == TODAY
        for earlier, later in pairwise(found):
            assert earlier.last + timedelta(days=1) == later.first
            assert earlier.closing.tags == later.opening.tags


@given(desks())
@settings(max_examples=100, deadline=None)
def test_every_grouping_adds_up_to_the_whole(known: list[Claim]) -> None:
    debts = [debt for claim in known for debt in debts_of(claim)]
    for side in totals_of(debts, TODAY, NAMES):
        for lines in (side.by_band, side.by_maker, side.by_account, side.by_participant, side.by_break):
            assert sorted(tag for line in lines for tag in line.tags) == sorted(side.whole.tags)
        assert [line.name for line in side.by_band] == list(BANDS)


@given(claims())
@settings(max_examples=200, deadline=None)
def test_what_is_owed_today_follows_from_state_and_owner(claim: Claim) -> None:
    owed = {debt.side: debt.owed_at_end_of(TODAY) for debt in debts_of(claim)}
    assert owed.get("house", False) == (claim.is_open and claim.owner_kind != "house")
    waits = claim.plan == "submit" and claim.state in ("pulled", "submitted")
    assert owed.get("makers", False) == waits


@settings(max_examples=100, deadline=None)
@given(st.lists(st.dates(date(2025, 1, 1), date(2026, 12, 31)), max_size=30))
def test_what_came_is_counted_once_in_the_month_of_its_day(days):
    dated = [
        (day, Claim(id=number, tag=f"T{number}", pull_day=day, last_event_on=day)) for number, day in enumerate(days)
    ]
    lines = by_month(dated, TODAY)
    assert [line.name for line in lines][::11] == ["Jul 2025", "Jun 2026"]
    for line in lines:
        assert all(f"{claim.pull_day:%b %Y}" == line.name and claim.pull_day <= TODAY for claim in line.claims)
    assert sum(line.count for line in lines) == sum(date(2025, 7, 1) <= day <= TODAY for day in days)

"""What is owed: "over claims not closed or void, ages from the pull day; `value` minor units per currency"."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.rules.claim import Claim, Event
from breakdesk.rules.owed import owed_list
from breakdesk.rules.parties import House, Parties, Person
from breakdesk.rules.story import fold

DAY = date(2026, 3, 2)
NOW = datetime(2026, 4, 6, 18, tzinfo=UTC)
PARTIES = Parties(
    house=House("The Corner"), makers={}, people={key: Person(key, name) for key, name in ((1, "Bo"), (2, "ada"))}
)
ENDS = {
    "open": [],
    "void": [Event("void", DAY, {})],
    "closed": [Event("closed", DAY, {"how": "terms"})],
    "settled": [Event("submitted", DAY, {}), Event("closed", DAY, {"how": "refunded"})],
    "refused": [Event("refused", DAY, {})],
}


@st.composite
def claims(draw: st.DrawFn) -> list[Claim]:
    found = []
    for key in range(draw(st.integers(0, 8))):
        owner = draw(st.sampled_from(["Bo", "ada", "house", "nobody", "several"]))
        body = {"tag": f"T{9 - key}", "owner_kind": owner if owner in ("house", "nobody", "several") else "person"}
        if body["owner_kind"] == "person":
            body["owner_id"] = 1 if owner == "Bo" else 2
        money = draw(st.none() | st.tuples(st.integers(0, 10**6), st.sampled_from(["USD", "JPY"])))
        if money:
            body["value"], body["currency"] = money
        claim = fold(key, [Event("pulled", DAY, body), *ENDS[draw(st.sampled_from(sorted(ENDS)))]])
        assert claim is not None
        found.append(claim)
    return found


@settings(max_examples=150, deadline=None)
@given(claims())
def test_everything_open_once_and_money_adds_up(found: list[Claim]) -> None:
    owed = owed_list(found, PARTIES, NOW)
    waiting = [claim for claim in found if claim.state not in ("closed", "void")]
    assert sorted(line.claim.id for item in owed for line in item.claims) == sorted(claim.id for claim in waiting)
    for currency in ("USD", "JPY"):
        whole = sum(claim.value or 0 for claim in waiting if claim.currency == currency)
        assert sum(item.value.get(currency, 0) for item in owed) == whole
    assert sum(item.no_value for item in owed) == sum(claim.value is None for claim in waiting)
    names = [item.participant for item in owed]
    assert names == sorted(names, key=lambda name: (name or "").casefold())
    assert len(set(names)) == len(names)
    for item in owed:
        assert [line.claim.tag for line in item.claims] == sorted(line.claim.tag for line in item.claims)
        assert {line.claim.owner_kind for line in item.claims} <= (
            {"several", "nobody"} if item.participant is None else {"house" if item.person_id is None else "person"}
        )


def test_ages_count_from_the_pull_day_and_the_next_telling_is_named() -> None:
    history = [Event("pulled", DAY, {"tag": "A", "owner_kind": "person", "owner_id": 1}), Event("submitted", DAY, {})]
    claim = fold(1, history)
    assert claim is not None
    ((line,),) = (item.claims for item in owed_list([claim], PARTIES, NOW))
    assert (line.age.days, line.age.months, line.band) == (35, 1, "31-60")
    assert line.next_tell == DAY + timedelta(days=3)


def test_no_value_is_counted_and_never_nothing() -> None:
    free = fold(1, [Event("pulled", DAY, {"tag": "A", "owner_kind": "house"})])
    worthless = fold(2, [Event("pulled", DAY, {"tag": "B", "owner_kind": "house", "value": 0, "currency": "USD"})])
    assert free is not None
    assert worthless is not None
    (item,) = owed_list([free, worthless], PARTIES, NOW)
    assert (item.value, item.no_value) == ({"USD": 0}, 1)

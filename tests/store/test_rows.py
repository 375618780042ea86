"""Claims as rows, and the words by which they are found."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from breakdesk.rules.claim import Claim, News
from breakdesk.store import models, projecting, words
from breakdesk.store.claims import claim_with_tag, claims_with_keys, read_claims
from breakdesk.store.opening import OpenDesk
from breakdesk.store.parties import read_parties

SHARED = settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
DAYS = st.dates(date(1990, 1, 1), date(2099, 12, 31))
TEXT = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=12)
COUNT = st.none() | st.integers(0, 2**63 - 1)
BY_TYPE: dict[str, st.SearchStrategy[Any]] = {
    "str": TEXT, "str | None": st.none() | TEXT, "int | None": COUNT, "bool": st.booleans(),
    "date | None": st.none() | DAYS, "date": DAYS, "tuple[date, ...]": st.lists(DAYS, max_size=3).map(tuple),
    "tuple[int, ...]": st.lists(st.integers(1, 99), max_size=3).map(tuple),
}  # fmt: skip
ELSEWHERE = {"id", "tag", "news", "state", "owner_kind", "owner_id", "break_id", "product_id", "maker_id", "account_id"}
FACTS = st.fixed_dictionaries(
    {name: BY_TYPE[str(kind)] for name, kind in Claim.__annotations__.items() if name not in ELSEWHERE}
)


@pytest.fixture
def people(desk_file: OpenDesk) -> list[int]:
    names = ("Zoë Ångström", "Ana García-López", "Al Bo")
    keys = []
    for name in names:
        row = models.Participant.create(name=name, folded=name.casefold())
        words.rewrite_words(desk_file.database, "participant", int(row.id), words.words_of(name))
        keys.append(int(row.id))
    return keys


@SHARED
@given(FACTS, st.none() | st.tuples(st.sampled_from(["owner", "offered"]), DAYS, st.booleans(), st.none() | DAYS))
def test_a_claim_is_read_as_it_was_written(
    desk_file: OpenDesk, people: list[int], facts: dict[str, Any], told: tuple[Any, ...] | None
) -> None:
    news = (
        () if told is None else (News(told[0], told[1], people[0], told[2], (told[1],), (told[3],) if told[3] else ()),)
    )
    claim = Claim(id=1, tag="ABC 1", state="closed", owner_kind="person", owner_id=people[0], news=news, **facts)
    database = desk_file.database
    with database.atomic() as transaction:
        parties = read_parties(database)
        projecting.insert_claims(database, [claim], parties)
        assert list(read_claims(database)) == [claim]
        changed = replace(claim, subject="Ana Moor", news=(), last_event_on=date(2026, 1, 1))
        projecting.write_claims(database, [changed], ())
        assert claims_with_keys(database, [1, 1]) == [changed]
        assert models.Claim.get_by_id(1).version == 2
        assert claim_with_tag(" abc-1 ") == 1
        transaction.rollback()


@pytest.mark.parametrize(
    ("typed", "found"),
    [
        ("zo", [0]), ("ZOË", [0]), ("ang", [0]), ("garcia", [1]), ("lop gar", [1]), ("a", [0, 1, 2]), ("al bo", [2]),
        ("bo al", [2]), ("zoe garcia", []), ("", []), ("%", []), ("a_", [0, 1, 2]), ("'; --", []),
    ],
)  # fmt: skip
def test_every_word_typed_begins_a_word(desk_file: OpenDesk, people: list[int], typed: str, found: list[int]) -> None:
    keys = words.find(desk_file.database, typed, "participant", 10)
    assert sorted(keys) == [people[place] for place in found]
    assert words.find(desk_file.database, typed, "claim", 10) == []


@SHARED
@given(st.text(max_size=30))
def test_nothing_typed_is_ever_a_query(desk_file: OpenDesk, people: list[int], typed: str) -> None:
    assert set(words.find(desk_file.database, typed, "participant", 10)) <= set(people)


def test_a_changed_name_is_found_anew(desk_file: OpenDesk, people: list[int]) -> None:
    words.rewrite_words(desk_file.database, "participant", people[0], words.words_of("Kim Vale"))
    assert words.find(desk_file.database, "zoe", "participant", 10) == []
    assert words.find(desk_file.database, "kim", "participant", 10) == [people[0]]


def test_instants_and_days_come_back_as_they_were(desk_file: OpenDesk) -> None:
    instant = datetime(2026, 3, 2, 18, 0, 0, 123456, tzinfo=UTC)
    row = models.Break.create(name="B", folded="b", format="team", starts_at=instant, night=date(2026, 3, 2))
    again = models.Break.get_by_id(row.id)
    assert (again.starts_at, again.night, again.running) == (instant, date(2026, 3, 2), False)

"""Steps of packing as a house words them, evidence as makers want it, and the carrier's days for a report of loss."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.rules.claim import Claim
from breakdesk.rules.evidence import file_until, missing_pieces, read_pieces, wanted_pieces
from breakdesk.rules.loss_window import is_abroad, loss_window, next_step
from breakdesk.rules.packing_steps import CARD_STEPS, PARCEL_STEPS, PackingStep, read_steps, written_steps
from breakdesk.rules.parties import House, Maker, Person
from breakdesk.rules.term_values import check_value
from breakdesk.rules.terms import HOUSE_DEFAULTS, MAKER_DEFAULTS, terms_from

RULE = settings(max_examples=150, deadline=None)
DAY = date(2026, 3, 2)
NAMES = st.text("abcdefgh ", min_size=1, max_size=20).map(lambda text: " ".join(text.split())).filter(bool)
STEPS = st.lists(
    st.builds(PackingStep, NAMES, st.booleans(), st.integers(0, 9_999_999)),
    max_size=10,
    unique_by=lambda step: step.name,
)


@RULE
@given(STEPS)
def test_steps_are_read_as_they_were_written(steps: list[PackingStep]) -> None:
    assert read_steps(written_steps(tuple(steps))) == tuple(steps)


@RULE
@given(st.text(max_size=200))
def test_any_text_gives_steps_or_a_sentence(written: str) -> None:
    try:
        steps = read_steps(written)
    except ValueError as error:
        said = str(error)
    else:
        said = "."
        assert read_steps(written_steps(steps)) == steps
    assert said.endswith(".")


def test_a_step_may_be_optional_or_begin_with_a_value() -> None:
    (step,) = read_steps(" second  photo from 250 (Optional);; ")
    assert step == PackingStep("second photo", False, 250)
    assert [step.is_due(worth) for worth in (0, 249, 250)] == [False, False, True]
    assert len(read_steps(CARD_STEPS)) == len(read_steps(PARCEL_STEPS)) == 5


@pytest.mark.parametrize("name", ["card_steps", "parcel_steps", "damage_evidence", "shortage_evidence"])
def test_the_shipped_lists_are_kept_as_they_are(name: str) -> None:
    of_maker = name in MAKER_DEFAULTS
    default = (MAKER_DEFAULTS if of_maker else HOUSE_DEFAULTS)[name]
    assert check_value(name, default, of_maker=of_maker) == default


def claim(kind: str = "damage", **facts: Any) -> Claim:
    return Claim(id=1, tag="K1", kind=kind, pull_day=DAY, last_event_on=DAY, **facts)


def maker(**terms: str) -> Maker:
    return Maker(1, "Tern", terms_from(MAKER_DEFAULTS, [(name, value, None) for name, value in terms.items()]))


@RULE
@given(st.lists(NAMES, max_size=8), st.lists(NAMES, max_size=8))
def test_missing_is_what_is_wanted_and_not_here(wanted: list[str], got: list[str]) -> None:
    missing = missing_pieces(wanted, got)
    assert set(missing) == set(wanted) - set(got)
    assert missing_pieces(wanted, [*got, *missing]) == ()


def test_each_kind_has_its_own_evidence_and_window() -> None:
    tern = maker(damage_evidence="photo; photo;wrapper", damage_within_days="10", shortage_within_days="0")
    assert wanted_pieces(claim(), tern) == ("photo", "wrapper")
    assert wanted_pieces(claim("redemption"), tern) == ()
    assert file_until(claim(), tern) == DAY + timedelta(days=10)
    assert file_until(claim("shortage"), tern) is None
    assert file_until(claim("redemption"), tern) is None
    with pytest.raises(ValueError, match="at most 20"):
        read_pieces(";".join(map(str, range(21))))


def test_a_window_is_that_of_the_day_of_the_pull() -> None:
    rows = [("damage_within_days", "10", None), ("damage_within_days", "3", DAY + timedelta(days=1))]
    assert file_until(claim(), Maker(1, "Tern", terms_from(MAKER_DEFAULTS, rows))) == DAY + timedelta(days=10)


@RULE
@given(st.integers(0, 365), st.integers(1, 730), st.integers(0, 900))
def test_a_loss_can_be_reported_from_the_first_to_the_last_day(opens: int, closes: int, after: int) -> None:
    terms = [("loss_opens_after_days", str(opens), None), ("loss_closes_after_days", str(closes), None)]
    window = loss_window(DAY, House(terms=terms_from(HOUSE_DEFAULTS, terms)), abroad=False)
    assert window.is_open(DAY + timedelta(days=after)) == (opens <= after <= max(opens, closes))


@RULE
@given(st.sampled_from(["shipped", "lost", "returned"]), st.integers(0, 400))
def test_there_is_always_something_next(state: str, after: int) -> None:
    step = next_step(state, DAY, Person(1, "Ada"), House(), DAY + timedelta(days=after))
    assert step.words
    if state == "lost" and 7 <= after <= 60:
        assert step.by == DAY + timedelta(days=60)
    if state == "lost" and after > 60:
        assert step.phase == "closed"


def test_abroad_needs_both_countries() -> None:
    house = House(terms=terms_from(HOUSE_DEFAULTS, [("country", "US", None)]))
    assert [is_abroad(code, house, DAY) for code in ("", "us", "CA")] == [False, False, True]
    assert not is_abroad("CA", House(), DAY)

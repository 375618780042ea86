"""Settling terms: from a day on, in one action, with everything that follows from it."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import TYPE_CHECKING

import pytest

from breakdesk.desk.problems import Done, Problem
from breakdesk.desk.terms import Settle, TermsView, drop_closed_day, note_closed_day, settle, terms_of
from breakdesk.store.claims import claim_with_tag, claims_with_keys
from breakdesk.store.engine import run
from breakdesk.store.parties import read_makers

if TYPE_CHECKING:
    from conftest import Filled

MAKER = "Pellwether Issue"


def settled(filled: Filled, **given: object) -> Done:
    result = settle(filled.desk, Settle(**given))  # type: ignore[arg-type]
    assert isinstance(result, Done), result
    return result


def due_days(filled: Filled, tag: str) -> tuple[str | None, str | None]:
    row = run(filled.desk.database, "SELECT submit_by, ask_from FROM claim WHERE id = ?", (claim_with_tag(tag),))
    return tuple(row.fetchone())


def ask_from(filled: Filled, tag: str) -> str | None:
    return due_days(filled, tag)[1]


def test_a_maker_that_changes_its_mind_does_not_rewrite_the_past(filled: Filled) -> None:
    filled.load(
        {"tag": "BEFORE", "pulled_at": "2026-05-01", "submitted_on": "2026-05-01"},
        {"tag": "AFTER", "pulled_at": "2026-06-10", "submitted_on": "2026-06-12"},
    )
    done = settled(filled, maker=MAKER, name="ask_after_months", value="6", from_day=date(2026, 6, 1))
    assert done.said.endswith("1 claim falls due on other days now.")
    assert (ask_from(filled, "BEFORE"), ask_from(filled, "AFTER")) == ("2026-09-01", "2026-12-12")
    settled(filled, maker=MAKER, name="ask_after_months", value="5", since_always=True)
    assert (ask_from(filled, "BEFORE"), ask_from(filled, "AFTER")) == ("2026-10-01", "2026-12-12")


def test_the_house_settles_its_own_terms(filled: Filled) -> None:
    filled.load({"tag": "PULLED", "pulled_at": "2026-06-15"})
    before = due_days(filled, "PULLED")[0]
    settled(filled, name="submit_within_days", value="7")
    after = due_days(filled, "PULLED")[0]
    assert before is not None
    assert after is not None
    assert int(after) - int(before) == 4 * 24 * 3600 * 1_000_000


def test_the_history_tells_of_it_and_nothing_else_changes(filled: Filled) -> None:
    filled.load({"tag": "PULLED", "pulled_at": "2026-06-15"})
    (claim,) = claims_with_keys(filled.desk.database, [claim_with_tag("PULLED") or 0])
    versions = run(filled.desk.database, "SELECT version FROM claim").fetchall()
    settled(filled, name="submit_within_days", value="7")
    lines = run(filled.desk.database, "SELECT thing, kind, body FROM history_line ORDER BY id DESC LIMIT 1").fetchone()
    assert tuple(lines) == ("house", "settled", '{"from":"2026-06-15","name":"submit_within_days","value":"7"}')
    assert run(filled.desk.database, "SELECT version FROM claim").fetchall() == versions
    assert claims_with_keys(filled.desk.database, [claim.id]) == [claim]


@pytest.mark.parametrize(
    ("given", "word"),
    [
        ({"name": "zone", "value": "America/Chicagoo"}, "time zone"),
        ({"name": "country", "value": "United States"}, "two letters"),
        ({"name": "currency", "value": "BTC"}, "currency"),
        ({"name": "submit_within_days", "value": "-1"}, "from 0 to 365"),
        ({"name": "submit_within_days", "value": "three"}, "from 0 to 365"),
        ({"name": "update_every_days", "value": "0"}, "from 1 to 365"),
        ({"name": "delay_notice", "value": "perhaps"}, "on or off"),
        ({"name": "colour", "value": "red"}, "no term of the house"),
        ({"name": "zone", "value": "America/Denver", "from_day": date(9000, 1, 1)}, "outside the years"),
        ({"maker": MAKER, "name": "country", "value": "XZ"}, "not known"),
        ({"maker": MAKER, "name": "subdivision", "value": "ZZZ"}, "ZZZ in US"),
        ({"maker": MAKER, "name": "opens", "value": "9 am"}, "HH:MM"),
        ({"maker": MAKER, "name": "opens", "value": "24:00"}, "close after it opens"),
        ({"maker": MAKER, "name": "closes", "value": "08:00"}, "close after it opens"),
        ({"maker": MAKER, "name": "expired_policy", "value": "shrugs"}, "accepts, ask_first"),
        ({"maker": MAKER, "name": "ask_after_months", "value": "99"}, "from 0 to 36"),
        ({"maker": "Nobody", "name": "opens", "value": "09:00"}, "No maker is called"),
    ],
)
def test_what_cannot_hold_is_refused_with_a_sentence(filled: Filled, given: dict[str, object], word: str) -> None:
    before = run(filled.desk.database, "SELECT count(*) FROM term").fetchone()
    result = settle(filled.desk, Settle(**given))  # type: ignore[arg-type]
    assert isinstance(result, Problem)
    assert word in result.sentence
    assert run(filled.desk.database, "SELECT count(*) FROM term").fetchone() == before


def test_hours_must_hold_together_on_every_later_day(filled: Filled) -> None:
    settled(filled, maker=MAKER, name="closes", value="12:00", from_day=date(2026, 9, 1))
    result = settle(filled.desk, Settle(maker=MAKER, name="opens", value="13:00"))
    assert isinstance(result, Problem)
    assert "from 1 September 2026 on" in result.sentence


def test_another_country_brings_its_holidays_from_its_day_on(filled: Filled) -> None:
    settled(filled, maker=MAKER, name="country", value="se", from_day=date(2026, 7, 1))
    (maker,) = [maker for maker in read_makers(filled.desk.database).values() if maker.name == MAKER]
    # Memorial Day before the move; the Swedish All Saints' Day after it, and no Thanksgiving any more.
    assert date(2026, 5, 25) in maker.holidays
    assert date(2026, 10, 31) in maker.holidays
    assert date(2026, 11, 26) not in maker.holidays
    assert maker.terms.on("country", date(2026, 8, 1)) == "SE"


def test_a_zone_without_a_known_country_drops_the_default_one(filled: Filled) -> None:
    filled.load({"maker": "Ildefors Kortverk", "pulled_at": "2026-06-15"})
    done = settled(filled, maker="Ildefors Kortverk", name="zone", value="Europe/Stockholm", since_always=True)
    assert "country" in done.warnings[0]
    view = terms_of(filled.desk, "Ildefors Kortverk")
    assert isinstance(view, TermsView)
    assert {term.name: term.today for term in view.terms}["country"] == ""
    assert view.holidays == ()


def test_closed_days_are_noted_and_dropped(filled: Filled) -> None:
    filled.load(
        {"tag": "ASKED", "pulled_at": "2026-01-02", "submitted_on": "2026-01-02", "last_asked_on": "2026-06-12"}
    )
    column = "SELECT decide_from FROM claim"
    assert run(filled.desk.database, column).fetchone()[0] == "2026-06-22"
    assert isinstance(note_closed_day(filled.desk, MAKER, date(2026, 6, 16), "stocktaking"), Done)
    view = terms_of(filled.desk, MAKER)
    assert isinstance(view, TermsView)
    assert view.noted == ((date(2026, 6, 16), "stocktaking"),)
    # Five business days after 12 June: Juneteenth was counted as closed before, 16 June is now.
    assert run(filled.desk.database, column).fetchone()[0] == "2026-06-23"
    assert isinstance(drop_closed_day(filled.desk, MAKER, date(2026, 6, 16)), Done)
    assert run(filled.desk.database, column).fetchone()[0] == "2026-06-22"
    assert isinstance(drop_closed_day(filled.desk, MAKER, date(2026, 6, 16)), Problem)


def test_the_list_shows_every_value_over_time(filled: Filled) -> None:
    settled(filled, maker=MAKER, name="ask_every_days", value="45", from_day=date(2026, 3, 1))
    settled(filled, maker=MAKER, name="ask_every_days", value="60", from_day=date(2026, 9, 1))
    view = terms_of(filled.desk, MAKER)
    assert isinstance(view, TermsView)
    (term,) = [term for term in view.terms if term.name == "ask_every_days"]
    assert term.today == "45"
    assert [(value.value, value.from_day) for value in term.values] == [
        ("30", None), ("45", date(2026, 3, 1)), ("60", date(2026, 9, 1)),
    ]  # fmt: skip
    assert [value.recorded_at for value in term.values] == [None, *[datetime(2026, 6, 15, 18, tzinfo=UTC)] * 2]


def test_a_house_that_moves_its_zone_keeps_its_past(filled: Filled) -> None:
    filled.load({"tag": "OLD", "pulled_at": "2026-06-14"}, {"tag": "NEW", "pulled_at": "2026-06-15"})
    settled(filled, name="zone", value="Pacific/Auckland", from_day=date(2026, 6, 15))
    old, new = (int(due_days(filled, tag)[0] or 0) / 3.6e9 % 24 for tag in ("OLD", "NEW"))
    # The end of the day in Denver is 06:00 in UTC, in Auckland 12:00.
    assert (old, new) == (6.0, 12.0)

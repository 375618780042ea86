"""A desk that is used for years keeps knowing the makers' public holidays."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import TYPE_CHECKING

from breakdesk.desk.holidays import holidays_that_differ, look_ahead, makers_running_out
from breakdesk.desk.problems import Done
from breakdesk.desk.terms import Settle, settle
from breakdesk.store.chain import head_of
from breakdesk.store.engine import run
from breakdesk.store.parties import read_makers

if TYPE_CHECKING:
    from conftest import Filled

MAKER, OTHER = "Pellwether Issue", "Nagisora Card Company"


def last_days(filled: Filled) -> dict[str | None, date]:
    return {maker.name: max(maker.holidays) for maker in read_makers(filled.desk.database).values()}


def test_holidays_are_noted_anew_before_they_run_out(filled: Filled) -> None:
    assert {day.year for day in last_days(filled).values()} == {2029}
    assert look_ahead(filled.desk) is None
    filled.clock[0] = datetime(2028, 12, 31, 12, tzinfo=UTC)
    assert look_ahead(filled.desk) is None
    filled.clock[0] = datetime(2029, 1, 2, 12, tzinfo=UTC)
    assert {maker.name for maker in makers_running_out(filled.desk)} == {MAKER, OTHER}
    done = look_ahead(filled.desk)
    assert isinstance(done, Done), done
    assert done.said.endswith("of 2 makers noted for the coming years.")
    assert {day.year for day in last_days(filled).values()} == {2032}
    maker = next(maker for maker in read_makers(filled.desk.database).values() if maker.name == MAKER)
    assert {date(2026, 11, 26), date(2030, 11, 28), date(2031, 7, 4)} <= maker.holidays
    assert look_ahead(filled.desk) is None
    filled.check()


def test_a_maker_whose_country_is_named_no_more_writes_nothing(filled: Filled) -> None:
    for maker in (MAKER, OTHER):
        assert isinstance(settle(filled.desk, Settle(name="country", value="", maker=maker)), Done)
    filled.clock[0] = datetime(2029, 1, 2, 12, tzinfo=UTC)
    before = head_of(filled.desk.database)
    assert makers_running_out(filled.desk)
    assert look_ahead(filled.desk) is None
    assert head_of(filled.desk.database) == before


def test_what_was_noted_is_compared_with_what_is_known_now(filled: Filled) -> None:
    assert list(holidays_that_differ(filled.desk)) == []
    run(filled.desk.database, "DELETE FROM closed_day WHERE day = '2026-11-26'")
    assert list(holidays_that_differ(filled.desk)) == [
        f"The public holidays noted for {MAKER} are not those that are known now: 2026-11-26."
    ]

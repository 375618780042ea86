"""The house's and the makers' terms come from files, each version with the day from which it holds."""

from __future__ import annotations

from datetime import date, timedelta

from breakdesk.files.headers import Kind
from breakdesk.store.parties import read_house, read_makers
from tests.desk.loading.conftest import Bench

HOUSE = {"house": "Juniper Kettle Breaks", "zone": "America/Denver", "currency": "EUR", "submit_within_days": 5}
MAKER = {"maker": "Nagisora Card Company", "zone": "Asia/Tokyo", "country": "JP", "opens": "10:00", "closes": "18:00"}


def test_the_house_and_its_terms_hold_since_always(bench: Bench) -> None:
    report = bench.loaded(house=[HOUSE])
    assert (report.counts[Kind.HOUSE].new, report.number) == (1, 1)
    house = read_house()
    assert house.name == "Juniper Kettle Breaks"
    assert house.terms.on("currency", date(2000, 1, 1)) == "EUR"
    assert house.terms.count_on("submit_within_days", date(2000, 1, 1)) == 5
    assert house.terms.on("country", date(2026, 6, 15)) == ""


def test_an_empty_cell_keeps_the_term(bench: Bench) -> None:
    bench.loaded(house=[HOUSE])
    bench.loaded(house=[{"house": "Juniper Kettle Breaks", "zone": "", "submit_within_days": 4}])
    terms = read_house().terms
    assert terms.on("zone", date(2026, 6, 15)) == "America/Denver"
    assert terms.count_on("submit_within_days", date(2026, 6, 14)) == 5
    assert terms.count_on("submit_within_days", date(2026, 6, 15)) == 4


def test_a_changed_term_moves_what_counts_from_today_and_the_report_says_so(bench: Bench) -> None:
    claim = {"tag": "OLD1", "maker": "Nagisora Card Company", "subject": "Ivo Radoslavec", "submitted_on": ""}
    bench.loaded(
        house=[HOUSE],
        makers=[MAKER],
        claims=[claim | {"pulled_at": "2026-06-10"}, claim | {"tag": "NEW1", "pulled_at": "2026-06-15"}],
    )
    before = bench.rows("SELECT submit_by FROM claim ORDER BY id")
    report = bench.loaded(house=[HOUSE | {"submit_within_days": 2}])
    after = bench.rows("SELECT submit_by FROM claim ORDER BY id")
    assert before[0] == after[0]
    assert before[1][0] - after[1][0] == timedelta(days=3) // timedelta(microseconds=1)
    assert "1 claim falls due on other days by the new terms." in report.said
    assert report.counts[Kind.HOUSE].changed == 1


def test_a_zone_without_country_has_no_holidays_and_neither_gives_the_defaults(bench: Bench) -> None:
    bench.loaded(makers=[{"maker": "Ildefors Kortverk", "zone": "Europe/Stockholm"}, {"maker": "Pellwether Issue"}])
    ildefors, pellwether = read_makers(bench.desk.database).values()
    day = date(2026, 6, 15)
    assert (ildefors.zone_on(day), ildefors.terms.on("country", day), ildefors.holidays) == (
        "Europe/Stockholm",
        "",
        frozenset(),
    )
    assert (pellwether.zone_on(day), pellwether.terms.on("country", day)) == ("America/Chicago", "US")
    assert date(2026, 7, 3) in pellwether.holidays


def test_holidays_run_from_last_year_to_three_years_ahead(bench: Bench) -> None:
    bench.loaded(makers=[MAKER | {"closed_days": "2026-08-12;2026-08-13"}])
    (maker,) = read_makers(bench.desk.database).values()
    assert {day.year for day in maker.holidays} == {2025, 2026, 2027, 2028, 2029}
    assert maker.closed_days == {date(2026, 8, 12), date(2026, 8, 13)}


def test_another_country_brings_its_own_holidays(bench: Bench) -> None:
    bench.loaded(makers=[MAKER])
    bench.loaded(makers=[MAKER | {"country": "US"}])
    (maker,) = read_makers(bench.desk.database).values()
    assert date(2026, 7, 3) in maker.holidays
    assert date(2026, 5, 5) not in maker.holidays


def test_a_noted_day_is_added_and_what_was_asked_before_falls_due_anew(bench: Bench) -> None:
    claim = {
        "tag": "A1", "maker": MAKER["maker"], "subject": "X Y", "pulled_at": "2026-01-02", "submitted_on": "2026-01-03",
        "last_asked_on": "2026-06-08",
    }  # fmt: skip
    bench.loaded(makers=[MAKER], claims=[claim])
    assert bench.rows("SELECT decide_from FROM claim") == [("2026-06-15",)]
    bench.loaded(makers=[MAKER | {"closed_days": "2026-06-10"}])
    assert bench.rows("SELECT decide_from FROM claim") == [("2026-06-16",)]


def test_what_cannot_be_a_maker_is_said_with_its_place(bench: Bench) -> None:
    rows: list[dict[str, object]] = [
        {"maker": "One", "zone": "Mars/Olympus", "country": "", "subdivision": "", "opens": "", "closes": ""},
        {"maker": "Two", "zone": "Asia/Tokyo", "country": "XX"},
        {"maker": "Three", "zone": "America/Chicago", "country": "US", "subdivision": "QQ"},
        {"maker": "Four", "zone": "America/Chicago", "country": "US", "opens": "25:00"},
        {"maker": "Five", "zone": "America/Chicago", "country": "US", "opens": "17:00", "closes": "09:00"},
        {"maker": "Six", "zone": "Europe/Stockholm", "subdivision": "AB"},
        {"maker": "?!", "zone": "Asia/Tokyo", "country": "JP"},
    ]
    report = bench.load(makers=rows)
    found = [(problem.line, problem.column, problem.value) for problem in report.errors]
    assert found == [
        (2, "zone", "Mars/Olympus"),
        (3, "country", "XX"),
        (4, "subdivision", "QQ"),
        (5, "opens", "25:00"),
        (6, "closes", "09:00"),
        (7, "subdivision", "AB"),
        (8, "maker", "?!"),
    ]
    assert all(problem.remedy for problem in report.errors)
    assert not report.saved
    assert bench.rows("SELECT * FROM maker") == bench.rows("SELECT * FROM action") == []


def test_hours_are_measured_with_those_that_hold_already(bench: Bench) -> None:
    bench.loaded(makers=[MAKER | {"opens": "06:00", "closes": "08:00"}])
    report = bench.load(makers=[{"maker": MAKER["maker"], "opens": "10:00"}])
    assert [problem.column for problem in report.errors] == ["closes"]


def test_two_rows_of_one_maker_are_taken_together_or_disagree(bench: Bench) -> None:
    bench.loaded(makers=[{"maker": "Nagisora Card Company", "zone": "Asia/Tokyo", "country": "JP"},
                         {"maker": "NAGISORA card company", "opens": "11:00"}])  # fmt: skip
    (maker,) = read_makers(bench.desk.database).values()
    assert maker.terms.on("opens", date(2026, 6, 15)) == "11:00"
    report = bench.load(makers=[{"maker": "One", "opens": "09:00"}, {"maker": "one", "opens": "08:00"}])
    assert [(problem.line, problem.column) for problem in report.errors] == [(3, "opens")]

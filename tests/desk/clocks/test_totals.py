"""The two totals and the year sheet of a real desk, on the screen's side and in a workbook."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from openpyxl import load_workbook

from breakdesk.desk.problems import Done, Problem
from breakdesk.desk.settling import Close, change_owner, close, refuse_claim, void
from breakdesk.desk.totals import YearView, totals, year
from breakdesk.desk.viewing import owed
from breakdesk.files.writing import write_xlsx
from breakdesk.files.year_sheets import year_json, year_workbook
from breakdesk.rules.year_sheet import YearSheet
from breakdesk.store import models

if TYPE_CHECKING:
    from conftest import Filled

ODALYS, WREN = {"participant": "Odalys Brumal"}, {"participant": "Wren Abernackle"}


def fill(filled: Filled) -> None:
    """Two years of claims in all sorts of states."""
    filled.load(
        {**ODALYS, "tag": "OLD", "pulled_at": "2025-03-01", "submitted_on": "2025-03-02", "value": "100.00"},
        {**ODALYS, "tag": "CAME", "pulled_at": "2025-04-01", "submitted_on": "2025-04-02", "in_hand_on": "2026-02-01",
         "shipped_on": "2026-02-03", "closed_on": "2026-02-10", "closed_how": "delivered", "value": "40.00"},
        {**WREN, "tag": "PAID", "pulled_at": "2025-05-01", "submitted_on": "2025-05-02", "closed_on": "2026-03-01",
         "closed_how": "bought_out", "closed_amount": "55.00", "value": "60.00", "fault": "nobody"},
        {**WREN, "tag": "CREDIT", "pulled_at": "2026-01-10", "submitted_on": "2026-01-11", "closed_on": "2026-03-02",
         "closed_how": "credited", "closed_amount": "20.00 EUR", "value": "30.00 EUR", "fault": "maker"},
        {**WREN, "tag": "GIVE", "plan": "give", "pulled_at": "2026-06-01", "value": "10.00"},
        {**WREN, "tag": "NOVALUE", "pulled_at": "2026-06-10", "account": "main"},
        {"tag": "OWN", "pulled_at": "2026-06-01", "submitted_on": "2026-06-02", "value": "5.00"},
        {**ODALYS, "tag": "HAND", "pulled_at": "2025-12-01", "submitted_on": "2025-12-01", "in_hand_on": "2026-06-12"},
    )  # fmt: skip


def sheet(filled: Filled, number: int = 2026) -> YearSheet:
    found = year(filled.desk, number)
    assert isinstance(found, YearView)
    return found.sheet


def test_the_two_totals(filled: Filled) -> None:
    fill(filled)
    view = totals(filled.desk)
    assert view.house.whole.tags == ("GIVE", "HAND", "NOVALUE", "OLD")
    assert (view.house.whole.value, view.house.whole.no_value) == ({"USD": 11000}, 2)
    assert view.makers.whole.tags == ("CREDIT", "NOVALUE", "OLD", "OWN", "PAID")
    assert view.makers.whole.value == {"EUR": 3000, "USD": 16500}
    assert {line.name: line.tags for line in view.makers.by_account} == {
        "Pellwether Issue, main": ("NOVALUE",),
        "Pellwether Issue, no account": ("CREDIT", "OLD", "OWN", "PAID"),
    }
    assert {line.name: line.count for line in view.house.by_band if line.count} == {
        "0-30": 2, "181-365": 1, "over 365": 1,
    }  # fmt: skip
    assert {line.name: line.count for line in view.makers.by_participant} == {
        "Odalys Brumal": 1, "the house": 3, "Wren Abernackle": 1,
    }  # fmt: skip


def test_the_total_is_what_the_owed_list_shows(filled: Filled) -> None:
    fill(filled)
    for desk in (filled.desk, filled.at(2026, 2, 20, 18), filled.at(2025, 6, 1, 18)):
        listed = [
            line.claim.tag for item in owed(desk) if item.participant != "Corner Table Breaks" for line in item.claims
        ]
        assert totals(desk).house.whole.tags == tuple(sorted(listed))


def test_the_year_sheet(filled: Filled) -> None:
    fill(filled)
    found = sheet(filled)
    assert found.last == date(2026, 6, 15)
    house, makers = found.house, found.makers
    assert house.opening.tags == ("CAME", "HAND", "OLD", "PAID")
    assert house.added.tags == ("CREDIT", "GIVE", "NOVALUE")
    assert {line.name: line.tags for line in house.closed_by_how} == {
        "bought_out": ("PAID",), "credited": ("CREDIT",), "delivered": ("CAME",),
    }  # fmt: skip
    assert house.closing.tags == ("GIVE", "HAND", "NOVALUE", "OLD")
    assert {line.name: line.tags for line in makers.closed_by_how} == {"came": ("CAME", "HAND")}
    assert makers.closing.tags == ("CREDIT", "NOVALUE", "OLD", "OWN", "PAID")
    assert found.cash_paid.sums == {"USD": 5500}
    assert found.credited.sums == {"EUR": 2000}
    assert (found.bought_out.tags, found.held.tags) == (("PAID",), ("PAID",))


def test_a_card_bought_out_once_it_was_here_is_bought_out_in_the_year(filled: Filled) -> None:
    fill(filled)
    assert isinstance(close(filled.desk, Close(tag="HAND", how="bought_out", amount="12", fault="nobody")), Done)
    found = sheet(filled)
    closed = {line.name: line.tags for line in found.house.closed_by_how}
    assert closed["bought_out"] == found.bought_out.tags == ("HAND", "PAID")
    assert sheet(filled, 2025).bought_out.tags == ()


def test_last_years_closing_is_this_years_opening(filled: Filled) -> None:
    fill(filled)
    before, after = sheet(filled, 2025), sheet(filled)
    assert before.last == date(2025, 12, 31)
    assert before.house.closing.tags == after.house.opening.tags
    assert before.makers.closing.tags == after.makers.opening.tags
    assert (before.house.opening.count, before.held.count) == (0, 0)


def test_everything_that_ends_a_debt_is_in_the_sheet(filled: Filled) -> None:
    fill(filled)
    results = [
        void(filled.desk, "NOVALUE", "entered twice"),
        refuse_claim(filled.desk, "OLD"),
        refuse_claim(filled.desk, "PAID"),
        change_owner(filled.desk, "GIVE", "house", "bought by the house at the break"),
        close(filled.desk, Close(tag="HAND", how="refunded", amount="12", fault="house")),
    ]
    assert all(isinstance(result, Done) for result in results), results
    found = sheet(filled)
    assert {line.name: line.tags for line in found.house.closed_by_how} == {
        "bought_out": ("PAID",), "credited": ("CREDIT",), "delivered": ("CAME",), "refunded": ("HAND",),
        "to_the_house": ("GIVE",), "void": ("NOVALUE",),
    }  # fmt: skip
    assert {line.name: line.tags for line in found.makers.closed_by_how} == {
        "came": ("CAME", "HAND"), "refused": ("OLD", "PAID"), "void": ("NOVALUE",),
    }  # fmt: skip
    assert found.house.closing.tags == ("OLD",)
    assert found.cash_paid.sums == {"USD": 6700}
    assert (found.bought_out.tags, found.held.tags) == (("PAID",), ())


def test_postage_is_what_parcels_cost(filled: Filled) -> None:
    fill(filled)
    person = models.Participant.get(models.Participant.name == "Odalys Brumal")
    for day, cost in ((date(2026, 2, 3), 480), (date(2026, 3, 3), None), (date(2025, 3, 3), 100)):
        models.Parcel.create(participant=person.id, state="delivered", shipped_on=day, cost=cost, currency="USD")
    assert sheet(filled).postage.sums == {"USD": 480}
    assert sheet(filled).postage.without_amount == 1


def test_the_workbook_holds_the_claims_behind_each_line(filled: Filled) -> None:
    fill(filled)
    found = year(filled.desk, 2026)
    assert isinstance(found, YearView)
    path = filled.folder / "year.xlsx"
    write_xlsx(path, year_workbook(found.sheet, found.names))
    book = load_workbook(path)
    figures, claims, payments = book.worksheets
    assert figures.title == "Year 2026"
    listed: dict[tuple[str, str], int] = {}
    for side, line, *_ in claims.iter_rows(min_row=2, values_only=True):
        listed[str(side), str(line)] = listed.get((str(side), str(line)), 0) + 1
    for side, line, count, *_ in figures.iter_rows(min_row=2, values_only=True):
        if side != "money" and count is not None:
            assert listed.get((str(side), str(line)), 0) == count, (side, line)
    rows = list(payments.iter_rows(min_row=2, values_only=True))
    assert [(row[0], row[2], Decimal(str(row[3])), row[4]) for row in rows] == [
        ("cash paid out", "PAID", Decimal(55), "USD"), ("credited", "CREDIT", Decimal(20), "EUR"),
    ]  # fmt: skip


def test_the_json_names_every_tag(filled: Filled) -> None:
    fill(filled)
    found = year_json(sheet(filled))
    assert found["house"]["opening"]["tags"] == ["CAME", "HAND", "OLD", "PAID"]
    assert found["makers"]["closed: came"]["claims"] == 2
    assert found["money"]["cash paid out"]["sums"] == {"USD": 5500}


def test_a_year_to_come_has_no_sheet(filled: Filled) -> None:
    assert isinstance(year(filled.desk, 2027), Problem)
    assert isinstance(year(filled.desk, 1), Problem)

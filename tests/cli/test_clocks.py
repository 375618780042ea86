"""Outlook, totals, terms, notices, makers and pages as they are typed."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

ON = ("--on", "2026-06-15T12:00")
KEYS = ["maker", "pooled", "submitted", "waiting", "filled", "refused", "median_days", "curve"]


@pytest.fixture
def loaded(done: Callable[..., Any], sample: Callable[..., list[Path]]) -> None:
    """The sample desk."""
    done("load", *sample("house.csv", "makers.csv", "participants.csv", "spots-*", "checklist-*", "claims.csv"))


@pytest.mark.usefixtures("loaded")
def test_outlook_as_json(done: Callable[..., Any]) -> None:
    items = done("outlook", "--json", *ON).json
    assert [item["maker"] for item in items] == [
        "Ildefors Kortverk", "Nagisora Card Company", "Pellwether Issue", "Quarrowby Card Works", None,
    ]  # fmt: skip
    assert all(list(item) == KEYS for item in items)
    assert sum(item["submitted"] for item in items[:-1]) == items[-1]["submitted"]
    (one,) = done("outlook", "--maker", "quarrowby card works", "--json", *ON).json
    assert one == items[3]


@pytest.mark.usefixtures("loaded")
def test_outlook_of_one_claim(done: Callable[..., Any], shell: Callable[..., Any]) -> None:
    found = done("outlook", "PNWN37", "--json", *ON).json
    assert list(found) == ["tag", "waited_days", "half_within_days", "most_within_days", "share_within_90_days"]
    assert found["waited_days"] == 469
    missing = shell("outlook", "NOSUCH", *ON)
    assert (missing.code, missing.out) == (1, "")
    assert "no claim" in missing.err
    assert shell("outlook", "PNWN37", "--maker", "x").code == 2


@pytest.mark.usefixtures("loaded")
@pytest.mark.parametrize(
    ("command", "words"),
    [
        (("outlook",), ("all makers", "no promise", "#")),
        (("outlook", "PNWN37"), ("has waited 469 days",)),
        (("totals",), ("The house owes people", "Makers owe the house", "never a promise")),
        (("totals", "--by", "maker"), ("Pellwether Issue", "PNWN37")),
        (("year", "2026"), ("opening", "closing", "cash paid out")),
        (("year", "2026", "--lists"), ("tags", "cash paid out", "payment")),
        (("terms",), ("submit_within_days",)),
        (("terms", "Pellwether Issue"), ("ask_after_months", "public holidays")),
        (("notices",), ("switched off", "not legal advice")),
        (("maker",), ("No maker is marked",)),
    ],
)
def test_texts(done: Callable[..., Any], command: tuple[str, ...], words: tuple[str, ...]) -> None:
    out = done(*command, *ON).out
    assert all(word in out for word in words), out


@pytest.mark.usefixtures("loaded")
def test_year_as_a_workbook(done: Callable[..., Any], shell: Callable[..., Any], tmp_path: Path) -> None:
    done("year", "2025", "--out", tmp_path / "year.xlsx")
    assert (tmp_path / "year.xlsx").read_bytes()[:2] == b"PK"
    assert shell("year", "2025", "--out", tmp_path / "year.txt").code == 2
    assert shell("year", "2999").code == 1


@pytest.mark.usefixtures("loaded")
def test_settling_terms(done: Callable[..., Any], shell: Callable[..., Any]) -> None:
    assert "14:00" in done("settle", "Pellwether Issue", "opens", "14:00", "--from", "2027-01-01").out
    assert "14:00 from 1 Jan 2027" in done("terms", "Pellwether Issue").out
    done("settle", "Pellwether Issue", "closed_day", "2027-05-05")
    done("settle", "Pellwether Issue", "closed_day", "2027-05-05", "--drop")
    wrong = shell("settle", "house", "zone", "Mars/Olympus")
    assert (wrong.code, wrong.out) == (1, "")
    assert shell("settle", "house", "zone", "Asia/Tokyo", "--from", "2026-01-01", "--since-always").code == 2
    assert done("verify").code == 0


@pytest.mark.usefixtures("loaded")
def test_marking_a_maker_and_undoing_it(done: Callable[..., Any], shell: Callable[..., Any]) -> None:
    assert shell("maker", "Pellwether Issue", "has closed").code == 2
    done("maker", "Pellwether Issue", "has closed", "--review", "2099-01-01", "--text", "We are on it.")
    assert "has closed" in done("maker").out
    done("undo")
    assert "No maker is marked" in done("maker").out
    assert done("verify").code == 0


@pytest.mark.usefixtures("loaded")
def test_comparing_a_pasted_page(done: Callable[..., Any]) -> None:
    out = done("look", "Pellwether Issue", "--page", "-", typed="PI 002207 shipped\nPI 999999 pending\n").out
    assert "1 found on the page, 1 seem to have moved. Nothing is saved." in out
    assert "PI 999999" in out


@pytest.mark.usefixtures("loaded")
def test_a_clock_that_went_backwards_is_said_beside_the_output(
    done: Callable[..., Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert done("today", "--json").err == ""
    monkeypatch.setattr("breakdesk.desk.clock.Clock.now", lambda _: datetime(2020, 1, 1, tzinfo=UTC))
    ran = done("today", "--json", *ON)
    assert "clock says 31 December 2019, 17:00" in ran.err
    assert ran.json["as_of"].startswith("2026-06-15")


@pytest.mark.usefixtures("loaded")
def test_a_command_that_writes_notes_public_holidays_that_run_out(done: Callable[..., Any], tmp_path: Path) -> None:
    def known_until() -> int:
        with closing(sqlite3.connect(tmp_path / "desk.db")) as database:
            return int(database.execute("SELECT MAX(day) FROM closed_day WHERE source = 'holiday'").fetchone()[0][:4])

    this_year = datetime.now(UTC).year
    with closing(sqlite3.connect(tmp_path / "desk.db")) as database, database:
        database.execute("DELETE FROM closed_day WHERE day > ?", (f"{this_year}-12-31",))
    done("today")
    assert known_until() == this_year
    done("settle", "house", "remind_every_days", "6")
    assert known_until() == this_year + 3
    assert "remind_every_days" in done("terms").out
    done("verify")

"""Exit codes, `--on`, where the desk stands, and what is refused with a sentence."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Shell = Callable[..., Any]


@pytest.mark.parametrize("command", [("today",), ("owed", "--json"), ("verify",), ("search", "x"), ("undo",), ("ask",)])
def test_no_desk_is_one_plain_sentence(shell: Shell, tmp_path: Path, command: tuple[str, ...]) -> None:
    ran = shell(*command)
    assert (ran.code, ran.out, ran.err.count("\n")) == (1, "", 1)
    assert ran.err.startswith(f"There is no desk at {tmp_path / 'desk.db'}.")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    "command",
    [
        ("nothing",),
        ("today", "--nothing"),
        ("claim",),
        ("load",),
        ("today", "--on", "yesterday"),
        ("today", "--on", "2026-13-01"),
        ("today", "--on", "1815-06-18"),
        ("close", "X", "burnt"),
        ("submit", "X", "--failed", "rain"),
        ("void", "X"),
        ("look", "M", "TAG"),
        ("answer", "TAG"),
        ("tell", "--all"),
        ("tell", "--told"),
        ("ask", "--sent"),
        ("ask", "M", "--sent", "--release"),
        ("promise", "X", "call"),
    ],
)
def test_wrong_usage_is_2(full: Shell, shell: Shell, command: tuple[str, ...]) -> None:
    ran = shell(*command)
    assert (ran.code, ran.out) == (2, "")
    assert "Traceback" not in ran.err
    assert "--help" in ran.err


@pytest.mark.parametrize(
    "command",
    [
        ("claim", "NOPE"),
        ("submit", "NOPE"),
        ("owed", "Nobody Known"),
        ("pull", "No such break", "somebody"),
        ("ask", "No such maker"),
        ("in-hand", "NOPE"),
        ("ship", "999", "--delivered"),
        ("ship", "nobody"),
        ("close", "RWCFJP", "refunded"),
        ("note", "RWCFJP", " "),
        ("decide", "RWCFJP", "retry"),
        ("decide", "77", "kept"),
        ("hold", "NOPE", "--reason", "x"),
        ("release", "RWCFJP"),
        ("park", "ask", "RWCFJP", "--until", "2020-01-01", "--reason", "x"),
        ("end", "118 Hoops pick your team"),
        ("undo", "1"),
    ],
)
def test_something_to_correct_is_1(full: Shell, shell: Shell, command: tuple[str, ...]) -> None:
    ran = shell(*command)
    assert ran.code == 1, ran
    assert ran.err.count("\n") == 1
    assert ran.err.endswith((".\n", "?\n"))
    assert "foresee" not in ran.err


def test_on_reads_house_time_offsets_and_days(full: Shell, shell: Shell) -> None:
    def as_of(written: str) -> str:
        text: str = full("today", "--json", "--on", written).json["as_of"]
        return text

    assert as_of("2026-06-15") == "2026-06-15T00:00:00-06:00"
    assert as_of("2026-06-15T20:30") == "2026-06-15T20:30:00-06:00"
    assert as_of("2026-06-15T20:30+02:00") == "2026-06-15T12:30:00-06:00"
    assert as_of("2026-06-15T20:30:00Z") == "2026-06-15T14:30:00-06:00"
    assert as_of("2026-11-01T01:30") == "2026-11-01T01:30:00-06:00", "of two, the first"
    gap = shell("today", "--on", "2026-03-08T02:30")
    assert gap.code == 2
    assert "01:59 on 8 March 2026 and 03:00 on 8 March 2026" in gap.err


def test_action_happens_on_its_day_and_not_before_the_last_event(full: Shell, shell: Shell) -> None:
    early = shell("note", "RWCFJP", "late", "--on", "2026-06-08")
    assert early.code == 1
    assert "9 June 2026" in early.err
    full("note", "RWCFJP", "came", "well", "--on", "2026-06-10")
    assert full("claim", "RWCFJP", "--json").json["history"][-1] == {
        "day": "2026-06-10", "said": "noted", "text": "came well", "by": "JK", "taken_back": False,
    }  # fmt: skip


def test_failed_load_leaves_no_desk_and_says_everything(shell: Shell, tmp_path: Path) -> None:
    spots = tmp_path / "spots.csv"
    spots.write_text("break,product,format,spot,participant,price_paid\nB,P,teem,Reds,A,x\n", encoding="utf-8")
    ran = shell("load", spots)
    assert (ran.code, ran.out) == (1, "")
    assert "spots.csv, line 2, column format" in ran.err
    assert "spots.csv, line 2, column price_paid" in ran.err
    assert [path.name for path in tmp_path.iterdir()] == ["spots.csv"]
    assert shell("load", tmp_path / "missing.csv").code == 1
    assert [path.name for path in tmp_path.iterdir()] == ["spots.csv"]


def test_check_writes_nothing(shell: Shell, sample: Shell, tmp_path: Path) -> None:
    files = sample("house.csv", "makers.csv")
    ran = shell("load", *files, "--check")
    assert (ran.code, list(tmp_path.iterdir())) == (0, [])
    assert ran.out.startswith("Nothing was written.")
    shell("load", *files)
    assert shell("load", *files, "--check").out.startswith("Nothing was written.")


def test_a_mistyped_folder_makes_no_second_desk(
    shell: Shell, done: Shell, sample: Shell, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    files = sample("house.csv")
    missing = tmp_path / "dseks"
    for more in ((), ("--check",)):
        ran = shell("--desk", missing / "desk.db", "load", *files, *more)
        assert (ran.code, ran.out) == (1, "")
        assert ran.err.startswith(f"There is no folder {missing}.")
    assert not missing.exists()
    monkeypatch.delenv("BREAKDESK_DESK")
    monkeypatch.setattr("platformdirs.user_data_path", lambda *_given, **_more: missing)
    done("load", *files)
    assert (missing / "desk.db").exists()


def test_desk_option_wins_over_the_environment(full: Shell, shell: Shell, tmp_path: Path) -> None:
    elsewhere = tmp_path / "other.db"
    assert shell("--desk", elsewhere, "today").code == 1
    assert shell("--desk", tmp_path, "today").code == 2


def test_default_desk_stands_in_the_users_data_folder(
    shell: Shell, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("BREAKDESK_DESK")
    monkeypatch.setattr("platformdirs.user_data_path", lambda *_given, **_more: tmp_path / "data")
    ran = shell("today")
    assert ran.err.startswith(f"There is no desk at {tmp_path / 'data' / 'desk.db'}.")


def test_holds_and_parked_items_are_in_no_list(full: Shell) -> None:
    on = ("--on", "2026-06-15")
    lists = full("today", "--json", *on).json
    held, parked = lists["submit"][0]["tag"], lists["submit"][1]["tag"]
    full("hold", held, "--reason", "disputed", *on)
    full("park", "submit", parked, "--until", "2026-06-20", "--reason", "site down", *on)
    left = [item["tag"] for item in full("today", "--json", *on).json["submit"]]
    assert held not in left
    assert parked not in left
    full("release", held, *on)
    later = [item["tag"] for item in full("today", "--json", "--on", "2026-06-20").json["submit"]]
    assert held in later
    assert parked in later


def test_promise_to_a_person_waits_until_kept(full: Shell) -> None:
    full("promise", "zoeq", "call", "back", "--by", "2026-06-17", "--on", "2026-06-15")
    due = full("today", "--json", "--on", "2026-06-17").json["decide"]
    assert {"tag": None, "participant": "Zoë Quarlesby", "why": "follow_up", "since": "2026-06-17"} in due
    assert "promise 1" in full("decide", "--on", "2026-06-17").out
    full("decide", "promise 1", "kept", "--on", "2026-06-17")
    assert [item for item in full("today", "--json", "--on", "2026-06-17").json["decide"] if item["tag"] is None] == []


def test_lost_card_without_parcel(full: Shell) -> None:
    full("ship", "F3JYMH", "--lost", "--on", "2026-06-15")
    decide = full("today", "--json", "--on", "2026-06-15").json["decide"]
    assert ("F3JYMH", "lost") in [(item["tag"], item["why"]) for item in decide]
    full("decide", "F3JYMH", "back", "--on", "2026-06-16")
    assert full("claim", "F3JYMH", "--json").json["state"] == "in_hand"


def test_code_comes_from_standard_input_only(full: Shell, shell: Shell) -> None:
    tag = full("today", "--json", "--on", "2026-06-15").json["submit"][0]["tag"]
    assert shell("submit", tag, "--code", "secret").code == 2
    full("submit", tag, "--code", "--on", "2026-06-15", typed="pippin-77-teal\n")
    other = full("today", "--json", "--on", "2026-06-15").json["submit"][0]["tag"]
    again = shell("submit", other, "--code", "--on", "2026-06-15", typed="PIPPIN 77 TEAL\n")
    assert again.code == 1
    assert f"That code is on claim {tag} already." in again.err
    assert "pippin" not in again.err.lower()


def test_unforeseen_error_is_a_sentence(full: Shell, shell: Shell, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_given: object) -> None:
        raise ZeroDivisionError("boom")

    monkeypatch.setattr("breakdesk.desk.viewing.today", broken)
    ran = shell("today")
    assert (ran.code, ran.err.count("\n")) == (1, 1)
    assert "Nothing was changed" in ran.err
    assert "boom" not in ran.err, "what an error says may name somebody"
    (report,) = re.findall(r"/\S+\.txt", ran.err)
    assert "ZeroDivisionError" in Path(report).read_text(encoding="utf-8")

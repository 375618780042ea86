"""Messages to many, participants and wording, by commands alone."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Shell = Callable[..., Any]
ON = ("--on", "2026-06-15T12:00")
ALGY, GUS = "Algernon Tripp-Mallory", "Augustin Delacroisière"


@pytest.fixture
def desk(done: Shell, sample: Shell) -> Shell:
    """The whole sample."""
    done("load", *sample("*.csv"), *sample("*.xlsx"), *ON)
    return done


def test_files_are_written_told_once_and_hold_what_is_recorded(desk: Shell, tmp_path: Path) -> None:
    listed = desk("send", "--due", *ON).out
    assert "would be written" in listed
    out = tmp_path / "out"
    said = desk("send", "--due", "--out", out, *ON).out
    count = len(list(out.glob("*.txt")))
    assert f"{count} messages written" in said
    for _ in range(2):
        assert f"{count} participants told." in desk("send", "--told", out, *ON).out
    first = min(out.glob("*.txt")).read_text(encoding="utf-8").strip()
    who = first.split("Hi ", 1)[1].split(",", 1)[0]
    assert first.splitlines()[-1] in desk("people", "told", who, *ON).out
    assert desk("send", "--due", *ON).out == "Nobody fits.\n"
    assert "All agree" in desk("verify").out


def test_drafts_and_a_table_and_a_preview(desk: Shell, shell: Shell, tmp_path: Path) -> None:
    assert "written" in desk("send", "--out", tmp_path / "m", "--as", "eml", "--from", "d@c.example", *ON).out
    assert list((tmp_path / "m").glob("*.eml"))
    assert "written" in desk("send", "--out", tmp_path / "m.csv", "--as", "csv", *ON).out
    assert f"To {ALGY}" in desk("send", ALGY, "--preview", *ON).out
    again = shell("send", "--out", tmp_path / "m.csv", "--as", "csv", *ON)
    assert (again.code, "already" in again.err) == (1, True)


@pytest.mark.parametrize(
    "arguments",
    [
        ("--news", "weather"),
        ("--channel", "pigeon"),
        ("--dry-run",),
        ("--mail", "--out", "x"),
        ("--arrived",),
        ("--silent", "0"),
    ],
)
def test_wrong_usage(desk: Shell, shell: Shell, arguments: tuple[str, ...]) -> None:
    assert shell("send", *arguments, *ON).code == 2


def test_mail_without_settings_is_a_sentence(
    desk: Shell, shell: Shell, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("BREAKDESK_MAIL", str(tmp_path / "none.toml"))
    assert shell("send", "--mail", *ON).code == 2
    ran = shell("send", "--mail")
    assert (ran.code, ran.err.count("\n")) == (1, 1)
    assert "no mail settings" in ran.err
    assert desk("send", "--in-doubt").out == "No message is in doubt.\n"
    assert shell("send", ALGY, "--not-arrived").code == 1


def test_messages_as_of_a_day_before_what_is_known_are_refused(desk: Shell, shell: Shell, tmp_path: Path) -> None:
    early = ("--on", "2026-05-08")
    for command in (("send",), ("send", "--out", tmp_path / "m"), ("tell", ALGY), ("tell", "--all", "--out", tmp_path)):
        ran = shell(*command, *early)
        assert (ran.code, "after the day that --on names" in ran.err) == (1, True), command
    assert not (tmp_path / "m").exists()


def test_quiet_hours_and_who_opted_out_are_said_beside_the_message(desk: Shell, shell: Shell, tmp_path: Path) -> None:
    desk("settle", "house", "quiet_email", "00:01-23:59", *ON)
    said = desk("tell", ALGY, *ON).err
    assert "where they are, quiet until 23:59. It is held until then, unless you write on purpose." in said
    desk("people", "opt-out", ALGY, *ON)
    ran = desk("tell", ALGY, *ON)
    assert (ran.out, "opted out of messages: none is written." in ran.err) == ("", True)
    assert ALGY in desk("tell", "--all", "--out", tmp_path / "out", *ON).err
    assert not any(ALGY in path.read_text(encoding="utf-8") for path in (tmp_path / "out").glob("*.txt"))
    assert desk("tell", ALGY, "--told", *ON).out.startswith(f"{ALGY} is told about")
    assert "settled without a message" in desk("people", "told", ALGY, *ON).out


def test_files_that_did_not_go_out_after_all_are_taken_back(desk: Shell, tmp_path: Path) -> None:
    due = desk("tell", *ON).out
    desk("tell", "--all", "--out", tmp_path / "out", "--told", *ON)
    assert "to be told again." in desk("send", "--told", tmp_path / "out", "--undo", *ON).out
    assert desk("tell", *ON).out == due
    assert "All agree" in desk("verify").out


def test_participants(desk: Shell, shell: Shell, tmp_path: Path) -> None:
    assert "written to by        e-mail" in desk("people", "show", "algytm", *ON).out
    desk("people", "set", "algytm", "--channel", "sms", "--fallback", "email", *ON)
    desk("people", "wish", "algytm", "take", *ON)
    desk("people", "opt-out", "algytm", *ON)
    shown = desk("people", "show", "algytm", *ON).out
    assert ("short message" in shown, "take" in shown, "opted out" in shown) == (True, True, True)
    desk("people", "opt-out", "algytm", "--back", *ON)
    assert "went over" in desk("people", "merge", "gusdela", "algytm", *ON).out
    assert "gusdela" in desk("people", "show", "gusdela", *ON).out
    assert "two again" in desk("people", "split", "gusdela", *ON).out
    tag = desk("owed", ALGY, "--json", *ON).json[0]["claims"][0]["tag"]
    assert shell("people", "transfer", tag, GUS, "--sold", *ON).code == 2
    assert "both are to be told" in desk("people", "transfer", tag, GUS, "--sold", "--knew-code", *ON).out
    assert "no offer" in desk("people", "unanswered", *ON).out.lower()
    assert shell("people", "unanswered", "--settle", *ON).code == 1
    assert "doertew" in desk("people", "public-list", *ON).out
    assert shell("people", "public-list", "--posted", *ON).code == 1
    assert "All agree" in desk("verify").out


def test_a_message_is_told_again_by_its_number(desk: Shell, shell: Shell) -> None:
    desk("tell", ALGY, "--told", *ON)
    number = desk("people", "told", ALGY, *ON).out.split()[0]
    assert "told again" in desk("people", "told", ALGY, "--again", number, *ON).out
    assert shell("people", "told", ALGY, "--again", "99999", *ON).code == 1


def test_what_is_held_is_given_out_then_erased(desk: Shell, shell: Shell, tmp_path: Path) -> None:
    path = tmp_path / "held.json"
    desk("people", "held", ALGY, "--out", path, *ON)
    assert json.loads(path.read_text(encoding="utf-8"))["records"][0]["name"] == ALGY
    assert shell("people", "erase", ALGY, *ON, typed="n\n").code == 1
    assert shell("people", "erase", ALGY, "--yes", *ON).code == 1
    assert "Erased participant" in desk("people", "erase", ALGY, "--although-owed", *ON, typed="y\n").out
    assert shell("people", "show", ALGY, *ON).code == 1
    desk("people", "tidy")
    assert "All agree" in desk("verify").out


def test_wording(desk: Shell, shell: Shell, tmp_path: Path) -> None:
    assert "All is well" in desk("templates", "check").out
    own = tmp_path / "own.txt"
    own.write_text("{{ cards }}: hooray!\n")
    assert "is saved" in desk("templates", "save", "news_pulled", own).out
    assert "yours" in desk("templates", "list").out
    assert desk("templates", "show", "news_pulled").out == "{{ cards }}: hooray!\n"
    assert "hooray!" in desk("templates", "try", "news_pulled", ALGY, *ON).out
    own.write_text("Hello\n{{ code }}\n")
    for ran in (
        shell("templates", "save", "news_pulled", own),
        shell("templates", "try", "news_pulled", "--file", own),
    ):
        assert (ran.code, "line 2" in ran.err) == (1, True)
    (folder,) = list(tmp_path.glob("* files/templates"))
    (folder / "news_shipped.txt").write_text("{% if %}")
    ran = shell("templates", "check")
    assert ran.code == 1
    assert "news_shipped.txt, line 1" in ran.err
    assert "shipped text again" in desk("templates", "shipped", "news_pulled").out
    assert shell("templates", "show", "nothing").code == 1


def test_a_calendar(desk: Shell, shell: Shell, tmp_path: Path) -> None:
    path = tmp_path / "desk.ics"
    assert "entries written" in desk("calendar", path, *ON).out
    assert path.read_bytes().startswith(b"BEGIN:VCALENDAR\r\n")
    assert shell("calendar", tmp_path / "none" / "x.ics", *ON).code == 1


def test_messages_to_makers_are_written_and_are_no_ask(desk: Shell, shell: Shell, tmp_path: Path) -> None:
    due = [item["maker"] for item in desk("today", "--json", *ON).json["ask"]]
    out = tmp_path / "asks"
    assert "None of it is an ask yet." in desk("ask", "--out", out, *ON).out
    assert len(list(out.glob("*.txt"))) == len(due)
    drafts = desk("ask", due[0], "--out", tmp_path / "one", "--as", "eml", "--from", "d@c.example", *ON)
    assert f"{1 if not drafts.err else 0} message" in drafts.out
    assert [item["maker"] for item in desk("today", "--json", *ON).json["ask"]] == due
    assert shell("ask", due[0], "--mail", *ON).code == 2
    assert shell("ask", due[0], "--mail", "--sent").code == 2
    assert shell("ask", "--not-arrived").code == 1

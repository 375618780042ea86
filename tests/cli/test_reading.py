"""The commands that print: what they say of the sample desk, as of any instant."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

Shell = Callable[..., Any]
ON = ("--on", "2026-06-15T12:00")


def test_today_as_text_and_as_json_tell_the_same(full: Shell) -> None:
    text = full("today", *ON).out
    lists = full("today", "--json", *ON).json
    assert list(lists) == ["as_of", "house_zone", "submit", "ask", "tell", "ship", "decide"]
    assert (lists["as_of"], lists["house_zone"]) == ("2026-06-15T12:00:00-06:00", "America/Denver")
    tags = [item["tag"] for item in lists["submit"]]
    tags += [claim["tag"] for maker in lists["ask"] for claim in maker["claims"]]
    tags += [tag for person in lists["ship"] for tag in person["claims"]]
    tags += [item["tag"] for item in lists["decide"]]
    assert len(tags) > 60
    assert [tag for tag in tags if tag not in text] == []
    for person in lists["tell"]:
        assert person["participant"] in text


def test_owed_names_everybody_and_totals(full: Shell) -> None:
    lists = full("owed", "--json", *ON).json
    text = full("owed", *ON).out
    names = {item["participant"] for item in lists if item["participant"]}
    assert [name for name in names if name not in text] == []
    house = "Juniper Kettle Breaks"
    claims = sum(len(item["claims"]) for item in lists if item["participant"] != house)
    dollars = sum(item["value"].get("USD", 0) for item in lists if item["participant"] != house)
    assert f"{house} owes people: {claims} claims, " in text
    assert f"{dollars / 100:.2f} USD" in text
    one = full("owed", "zoeq", "--json", *ON).json
    assert one == [item for item in lists if item["participant"] == "Zoë Quarlesby"]
    assert full("owed", "house", "--json", *ON).json == [item for item in lists if item["participant"] == house]


def test_ages_are_months_and_days(full: Shell) -> None:
    assert "13 months, 30 days" in full("claim", "RWCFJP", "--on", "2026-06-15").out
    assert "2 months" in full("claim", "RWCFJP", "--on", "2025-06-16").out


def test_claim_in_the_past_knows_nothing_later(full: Shell, shell: Shell) -> None:
    past = full("claim", "RWCFJP", "--json", "--on", "2026-04-01").json
    assert (past["state"], past["participant"], past["settled_on"]) == ("submitted", "Makoa Keliʻihana", None)
    assert [line["day"] for line in past["history"]] == ["2025-04-16", "2025-04-17"]
    before = shell("claim", "RWCFJP", "--on", "2025-04-15")
    assert (before.code, before.out) == (1, "")


def test_owed_in_the_past(full: Shell) -> None:
    then = full("owed", "--json", "--on", "2025-04-16").json
    assert {line["tag"] for item in then for line in item["claims"]} < {
        line["tag"] for item in full("owed", "--json", "--on", "2025-06-01").json for line in item["claims"]
    }


def test_answer_is_worded(full: Shell) -> None:
    answer = full("owed", "zoeq", "--answer", *ON).out
    assert "Kazuma Shirotsubo" in answer
    tag = full("owed", "zoeq", "--json", *ON).json[0]["claims"][0]["tag"]
    assert "here is where your card stands:" in full("claim", tag, "--answer", *ON).out


def test_search_finds_by_beginnings(full: Shell) -> None:
    found = full("search", "zo", "quar", "--json").json
    assert [row["participant"] for row in found["participants"]] == ["Zoë Quarlesby"]
    by_reference = full("search", "QW-02233", "--json").json
    assert [row["tag"] for row in by_reference["claims"]] == ["RWCFJP"]
    assert full("search", "qqqqqq").out == "Nothing was found.\n"


def test_lists_of_the_rounds(full: Shell) -> None:
    assert "Quarrowby Card Works" in full("ask", *ON).out
    assert "PI 002207" in full("look", "Pellwether Issue").out
    assert full("ask", "--print", *ON).out.count("Subject: ") == 4
    assert "Everard Limehouse" in full("tell", *ON).out
    assert "to be confirmed" in full("ship", *ON).out
    assert "owner to be settled" in full("decide", *ON).out
    assert "118 Hoops pick your team" in full("breaks").out
    assert "Brindlecote Otters" in full("breaks", "124 Hoops pick your team").out
    assert "Gannet Falls" in full("address", "minatarq").out


def test_messages_are_written_and_only_then_told(full: Shell, tmp_path: Path) -> None:
    due = full("today", "--json", *ON).json["tell"]
    full("tell", "--all", "--out", tmp_path / "letters", *ON)
    letters = sorted((tmp_path / "letters").glob("*.txt"))
    assert len(letters) == len(due)
    assert len(full("today", "--json", *ON).json["tell"]) == len(due)
    full("tell", "--all", "--out", tmp_path / "more", "--told", *ON)
    assert full("today", "--json", *ON).json["tell"] == []


def test_messages_hold_no_codes(full: Shell, tmp_path: Path) -> None:
    full("tell", "--all", "--out", tmp_path / "letters", *ON)
    full("export", "desk", "--out", tmp_path / "desk", *ON)
    written = [
        path.read_text(encoding="utf-8") for folder in ("letters", "desk") for path in (tmp_path / folder).iterdir()
    ]
    said = [
        full(*command).out
        for command in (("today", *ON), ("owed", *ON), ("claim", "MHHWHH"), ("export", "--out", tmp_path))
    ]
    for text in [*written, *said]:
        assert "mossbank-1000-quartz" not in text.lower()


def test_exported_desk_loads_as_the_same_desk(full: Shell, shell: Shell, tmp_path: Path) -> None:
    commands = [("today", "--json", *ON), ("owed", "--json", *ON), ("today", "--json", "--on", "2026-12-01")]
    before = [full(*command).out for command in commands]
    for form in ("csv", "xlsx"):
        out = tmp_path / form
        full("export", "desk", "--out", out, "--format", form, *ON)
        other = ("--desk", tmp_path / f"{form}.db")
        full(*other, "load", *sorted(out.iterdir()))
        assert [full(*other, *command).out for command in commands] == before
        again = shell(*other, "load", *sorted(out.iterdir()))
        assert again.out.startswith("Nothing is new: ")


def test_owed_list_is_exported(full: Shell, tmp_path: Path) -> None:
    full("export", "--out", tmp_path / "out", *ON)
    lines = (tmp_path / "out" / "owed.csv").read_text(encoding="utf-8").splitlines()
    owed = full("owed", "--json", *ON).json
    assert len(lines) == 1 + sum(len(item["claims"]) for item in owed)


def test_one_table_is_printed_for_a_pipe_as_it_would_be_written(full: Shell, shell: Shell, tmp_path: Path) -> None:
    full("export", "--out", tmp_path / "out", *ON)
    full("export", "desk", "--out", tmp_path / "out", *ON)
    for table in ("owed", "claims", "participants"):
        written = (tmp_path / "out" / f"{table}.csv").read_text(encoding="utf-8")
        assert full("export", table, *ON).out.splitlines() == written.splitlines()
    assert shell("export", "desk").code == 2
    assert shell("export", "owed", "--format", "xlsx").code == 2


def test_text_from_outside_never_reaches_the_terminal_as_a_command(full: Shell, shell: Shell) -> None:
    hostile = "a \x1b]0;title\x07 \x9b31m\u202e \x85 word"
    full("pull", "-", f"Evil \x1b[31m Person {hostile}", "--anyway", *ON)
    tag = full("search", "evil", "--json").json["claims"][0]["tag"]
    texts = [full("note", tag, hostile, "--news", *ON).out]
    full("decide", tag, "maker", "Pellwether Issue", *ON)
    texts.append(full("submit", tag, "--reference", hostile, "--account", hostile, *ON).out)
    texts.append(full("promise", "zoeq", hostile, "--by", "2026-06-15", *ON).out)
    texts += [full("hold", "zoeq", "--reason", hostile, *ON).out, shell("owed", hostile).err, shell(hostile).err]
    for command in (
        ("today",),
        ("owed",),
        ("search", "evil"),
        ("breaks",),
        ("decide",),
        ("owed", "zoeq"),
        ("claim", tag),
    ):
        texts.append(full(*command, *(() if command[0] in ("search", "breaks") else ON)).out)
    for command in (("today",), ("owed",), ("search", "evil"), ("claim", tag)):
        texts.append(full(*command, "--json").out)
        json.loads(texts[-1])
    for text in texts:
        assert [character for character in text if character != "\n" and not character.isprintable()] == []

"""A whole night and the months after it, by commands alone."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest

Shell = Callable[..., Any]
NIGHT = "124 Hoops pick your team"
MAKER = "Quarrowby Card Works"
ANNI, NACHO = "Anneliese Vorhölzling", "Ignacio Belmontes-Urrutial"


@pytest.fixture
def night(done: Shell, sample: Shell) -> Shell:
    """A desk with tonight's spot list and nothing else."""
    done("load", *sample("house.csv", "makers.csv", "participants.csv", "checklist-quarrowby-2025-26*", "spots-124*"))
    done("start", NIGHT, "--on", "2026-06-15T19:00")
    return done


def tag_in(said: str) -> str:
    """The tag of a claim that was just written down."""
    found = re.search(r"^([0-9A-Z]{6}): ", said, re.MULTILINE)
    assert found, said
    return found[1]


def states(shell: Shell, *tags: str) -> list[str]:
    """The states of some claims."""
    return [shell("claim", tag, "--json").json["state"] for tag in tags]


def test_night_by_command_line(night: Shell, shell: Shell) -> None:
    pulls = [
        ("deshon varnhollow gold 3/10", "19:10"),
        ("emeka okonjabe silver /75 exp 2027-03-31", "19:12"),
        ("jules brackenrow", "23:40"),
    ]
    first, second, third = (tag_in(night("pull", NIGHT, line, "--on", f"2026-06-15T{at}").out) for line, at in pulls)
    night("end", NIGHT, "--counted", "3", "--on", "2026-06-16T00:30")

    today = night("today", "--json", "--on", "2026-06-16").json
    assert [item["tag"] for item in today["submit"]] == sorted([first, second, third])
    assert {item["submit_by"] for item in today["submit"]} == {"2026-06-19T00:00:00-06:00"}

    submitted = night(
        "submit", first, "--reference", "QW-9", "--code", "--on", "2026-06-16T10:00", typed="pip-7-quill\n"
    )
    assert submitted.out == f"{first} is submitted, reference QW-9.\n"
    night("submit", second, "--reference", "QW-10", "--account", "main", "--on", "2026-06-16T10:05")
    assert "waits for your decision" in night("submit", third, "--failed", "already-used", "--on", "2026-06-16").out
    assert [item["why"] for item in night("today", "--json", "--on", "2026-06-17").json["decide"]] == [
        "failed_submission"
    ]
    night("decide", third, "retry", "--on", "2026-06-17")
    night("submit", third, "--reference", "QW-11", "--on", "2026-06-17")

    told = night("tell", ANNI, "--told", "--on", "2026-06-18")
    assert "Emeka Okonjabe" in told.out
    assert "is told about 1 claim." in told.out

    early = shell("ask", "--tag", first, "--sent", "--on", "2026-10-15T12:00")
    assert (early.code, early.err) == (
        1,
        f"{first} may be asked about from 16 October 2026. Looking at the maker's page is free.\n",
    )
    assert "QW-9" in night("ask", MAKER, "--on", "2026-10-19T12:00").out
    assert night("claim", first, "--json").json["last_asked_on"] is None, "printing a message is no ask"
    asked = night("ask", MAKER, "--sent", "--on", "2026-10-19T12:00")
    assert f"{MAKER} was asked about 3 claims." in asked.out
    assert night("claim", first, "--json").json["last_asked_on"] == "2026-10-19"

    night("close", second, "refunded", "--amount", "40", "--fault", "maker", "--on", "2026-10-20")
    night("look", MAKER, first, "being_made", "--unchanged", "--on", "2026-10-26")
    night("in-hand", first, "--serial", "3", "--condition", "clean", "--on", "2026-11-02")
    night("in-hand", second, "--serial", "41", "--on", "2026-11-02")
    refunded = night("claim", second, "--json").json
    assert (refunded["state"], refunded["participant"]) == ("in_hand", "Juniper Kettle Breaks")
    assert (refunded["settled_how"], refunded["settled_amount"], refunded["fault"]) == ("refunded", 4000, "maker")

    night("address", NACHO, "--confirmed", "--on", "2026-11-02")
    assert [item["claims"] for item in night("today", "--json", "--on", "2026-11-03").json["ship"]] == [[first]]
    packed = night("ship", NACHO, "--on", "2026-11-03")
    assert "address read back" in packed.out
    refused = shell("ship", NACHO, "--tracking", "KT00001JK", "--on", "2026-11-03")
    assert refused.code == 1
    assert refused.err.startswith("Open steps: is the card of the claim, serial read")
    night("ship", NACHO, "--tracking", "KT00001JK", "--steps-done", "--on", "2026-11-03")
    assert "KT00001JK" in night("tell", NACHO, "--told", "--on", "2026-11-03").out
    night("ship", "1", "--delivered", "--on", "2026-11-09")
    night("close", second, "kept", "--on", "2026-11-09")
    assert states(night, first, second, third) == ["closed", "closed", "submitted"]

    assert night("verify").out.startswith("All agree: ")
    story = night("claim", first).out
    for said in (
        "submitted to the maker as QW-9",
        "asked the maker",
        "in hand, serial 3",
        "shipped, tracking KT00001JK",
    ):
        assert said in story
    assert "pip-7-quill" not in story
    owed = night("owed", "--json", "--on", "2026-06-16").json
    assert [line["tag"] for item in owed for line in item["claims"] if item["participant"] == ANNI] == [second]


def test_doubtful_line_needs_anyway(night: Shell, shell: Shell) -> None:
    unsure = shell("pull", NIGHT, "varnhollow gold 3/10", "--on", "2026-06-15T19:10")
    assert unsure.code == 1
    assert "WHICH PLAYER" in unsure.out
    assert night("today", "--json", "--on", "2026-06-16").json["submit"] == []
    night("pull", NIGHT, "varnhollow gold 3/10", "--anyway", "--on", "2026-06-15T19:10")
    assert len(night("today", "--json", "--on", "2026-06-16").json["submit"]) == 1


def test_check_shows_reading_and_writes_nothing(night: Shell) -> None:
    shown = night("pull", NIGHT, "emeka okonjabe silver /75", "--check", "--on", "2026-06-15T19:10")
    assert re.search(rf"^for +{ANNI}$", shown.out, re.MULTILINE)
    assert re.search(r"^print run +/75$", shown.out, re.MULTILINE)
    assert night("breaks", NIGHT).out.count("pulled") == 0


def test_pull_past_midnight_belongs_to_the_night(night: Shell) -> None:
    tag = tag_in(night("pull", NIGHT, "emeka okonjabe", "--on", "2026-06-16T01:10").out)
    claim = night("claim", tag, "--json").json
    assert (claim["pull_day"], claim["pulled_at"]) == ("2026-06-15", "2026-06-16T01:10:00-06:00")


def test_claim_needs_no_break(night: Shell) -> None:
    tag = tag_in(night("pull", "-", "emeka okonjabe silver", "--anyway", "--for", "anni", "--on", "2026-06-15").out)
    claim = night("claim", tag, "--json").json
    assert (claim["break"], claim["participant"]) == (None, ANNI)


def test_message_is_held_while_the_office_is_closed(night: Shell, shell: Shell) -> None:
    tag = tag_in(night("pull", NIGHT, "emeka okonjabe", "--on", "2026-06-15T19:10").out)
    night("submit", tag, "--reference", "QW-1", "--on", "2026-06-16")
    held = night("ask", MAKER, "--sent", "--on", "2026-11-01T12:00")
    assert "The message is held until it opens, Monday 08:00 your time." in held.out
    assert tag in night("ask", "--on", "2026-11-01T12:00").out
    closed = shell("ask", "--release", "--on", "2026-11-02T07:59")
    assert (closed.code, closed.err) == (
        1,
        f"The office of {MAKER} is still closed. The message waits until it opens.\n",
    )
    assert night("ask", "--release", "--on", "2026-11-02T08:00").out == f"{MAKER} was asked about 1 claim.\n"


def test_offer_is_answered_and_passed_on(night: Shell) -> None:
    tag = tag_in(night("pull", NIGHT, "emeka okonjabe", "--on", "2026-06-15T19:10").out)
    night("submit", tag, "--on", "2026-06-16")
    night("answer", tag, "offers", "--offer", "another card", "--reply-by", "2026-07-10", "--on", "2026-06-20")
    assert "another card" in night("tell", ANNI, "--on", "2026-06-20").out
    night("decide", tag, "take", "--on", "2026-06-22")
    assert [item["why"] for item in night("today", "--json", "--on", "2026-06-22").json["decide"]] == ["offer"]
    night("decide", tag, "passed-on", "--on", "2026-06-23")
    assert states(night, tag) == ["submitted"]


def test_undo_takes_the_last_action_back(night: Shell, shell: Shell) -> None:
    tag = tag_in(night("pull", NIGHT, "emeka okonjabe", "--on", "2026-06-15T19:10").out)
    night("submit", tag, "--reference", "QW-1", "--on", "2026-06-16")
    night("note", tag, "a", "note", "--on", "2026-06-16")
    assert night("undo").out == f"Undone: note {tag}.\n"
    assert night("undo").out == f"Undone: submit {tag}.\n"
    assert states(night, tag) == ["pulled"]
    number = re.search(r"^ *(\d+) +undo", night("undo", "--list").out, re.MULTILINE)
    assert number
    night("undo", number[1])
    assert states(night, tag) == ["submitted"]
    assert shell("undo", "99").code == 1
    assert night("verify").code == 0


def test_more_than_ten_actions_are_taken_back_one_after_another(night: Shell) -> None:
    tag = tag_in(night("pull", NIGHT, "emeka okonjabe", "--on", "2026-06-15T19:10").out)
    for word in "abcdefghijkl":
        night("note", tag, word, "--on", "2026-06-16")
    for _ in range(12):
        assert night("undo").out == f"Undone: note {tag}.\n"
    assert night("undo").out == f"Undone: pull {tag}.\n"


def test_a_break_and_a_maker_are_found_by_a_beginning_that_only_one_has(night: Shell, shell: Shell) -> None:
    assert night("end", "hoops team").out.startswith(f"{NIGHT} has ended")
    assert night("start", "124").out == f"{NIGHT} is running.\n"
    assert shell("start", "oops").err.startswith("No break is called oops.")
    assert shell("start", " ").code == 1
    assert shell("ask", "quarr").err.startswith("There is nothing to ask quarr about now.")
    ran = shell("ask", "card")
    assert (ran.code, ran.err) == (1, f"No maker is called card. Did you mean: {MAKER}, Nagisora Card Company?\n")


def test_a_closed_claim_says_how_long_it_took(night: Shell) -> None:
    tag = tag_in(night("pull", NIGHT, "emeka okonjabe", "--on", "2026-06-15T19:10").out)
    assert re.search(r"^age +1 month, 2 days$", night("claim", tag, "--on", "2026-07-17").out, re.MULTILINE)
    night("close", tag, "given", "--on", "2026-06-25")
    said = night("claim", tag, "--on", "2026-09-01").out
    assert re.search(r"^closed after +10 days$", said, re.MULTILINE)
    assert not re.search(r"^age ", said, re.MULTILINE)

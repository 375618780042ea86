"""A claim's history as evidence: its hashes computed anew from what is printed, by the words that say how."""

from __future__ import annotations

import hashlib
import io
import json
import sys
from collections.abc import Callable
from typing import Any

import pytest

from breakdesk.cli.running import run as run_command
from breakdesk.desk.evidence import evidence_of
from breakdesk.desk.following import note
from breakdesk.desk.submitting import Submit, submit
from breakdesk.desk.undoing import undo
from breakdesk.store.engine import run

World = Any


def sha256(*parts: str) -> str:
    return hashlib.sha256("\n".join(parts).encode()).hexdigest()


@pytest.fixture
def printed(world: World, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Callable[..., Any]:
    """Prints the evidence of a claim on the command line and opens the world again."""
    from breakdesk.desk.desk import open_desk

    def do(*arguments: str) -> tuple[int, str, str]:
        world.desk.close()
        monkeypatch.setattr(sys, "stdin", io.StringIO())
        code = run_command(["--desk", str(world.desk.path), "evidence", *arguments])
        said = capsys.readouterr()
        world.desk = open_desk(world.desk.path, world.desk.clock)
        return code, said.out, said.err

    return do


def test_the_hashes_can_be_computed_from_what_is_printed(world: World, printed: Callable[..., Any]) -> None:
    tag = world.pull("Ada", code="MOSS-1-QUARTZ")
    other = world.pull("Bo", subject="Wren Hollow")
    world.done(submit(world.desk, Submit(tag=tag, reference="R 17")))
    noted = world.done(note(world.desk, tag, "They said it is on its way. \x1b[2J"))
    world.done(undo(world.desk, noted.key))
    code, out, _ = printed(tag, "--json")
    assert code == 0
    found = json.loads(out)
    assert found["holds"] is True
    assert [action["number"] for action in found["actions"]] == [1, 3, 4, 5]
    for action in found["actions"]:
        head = sha256(
            str(action["number"]), action["previous"], action["key"], action["kind"], action["who"], action["machine"],
            action["day"], action["recorded_at"], *action["line_digests"],
        )  # fmt: skip
        assert head == action["hash"]
        for line in action["lines"]:
            digest = sha256(line["thing"], str(line["thing_id"]), line["kind"], line["day"], line["body"])
            assert digest in action["line_digests"]
    assert found["actions"][2]["previous"] == found["actions"][1]["hash"]
    assert found["actions"][3]["hash"] == found["head"]["hash"]
    (written,) = [entry for entry in found["entries"] if entry["text"]]
    salted = hashlib.sha256(bytes.fromhex(written["salt"]) + written["text"].encode()).hexdigest()
    assert json.loads(written["body"])["text_digest"] == salted
    assert written["taken_back"] is True
    assert "MOSS" not in out
    assert other not in out
    assert "Wren" not in out


def test_as_text_it_names_numbers_instants_and_hashes_and_nothing_runs(
    world: World, printed: Callable[..., Any]
) -> None:
    tag = world.pull("Ada")
    world.done(note(world.desk, tag, "red \x1b[31m"))
    code, out, err = printed(tag)
    assert (code, err) == (0, "")
    assert f"History of claim {tag}, kept by The Corner" in out
    assert "action 2, recorded 2026-03-02 17:00:00 UTC by T" in out
    assert out.count("   after  ") == 2
    assert "HOW TO CHECK" in out
    assert "\x1b" not in out
    assert printed("NOSUCH")[0] == 1


def test_an_edited_line_is_named_and_ends_with_1(world: World, printed: Callable[..., Any]) -> None:
    tag = world.pull("Ada")
    world.pull("Bo")
    (body,) = run(world.desk.database, "SELECT body FROM history_line WHERE id = 1").fetchone()
    run(world.desk.database, "UPDATE history_line SET body = replace(body, 'Kit', 'Kid') WHERE id = 1")
    code, out, err = printed(tag)
    assert code == 1
    assert "action 1" in err.lower()
    assert "it holds" not in out
    found = evidence_of(world.desk, tag)
    assert found is not None
    assert found.faults
    run(world.desk.database, "UPDATE history_line SET body = ? WHERE id = 1", (body,))


def test_what_was_erased_is_said_to_be_erased(world: World, printed: Callable[..., Any]) -> None:
    tag = world.pull("Ada")
    world.done(note(world.desk, tag, "a private matter"))
    run(world.desk.database, "UPDATE free_text SET text = NULL, salt = ? WHERE text = 'a private matter'", (b"",))
    code, out, _ = printed(tag)
    assert code == 0
    assert "what was written with it was erased" in out
    assert "private" not in out

"""What is typed or pasted on the command line: any text at all, in every place that takes text."""

from __future__ import annotations

from pathlib import Path

import pytest
from hostile_help import HOSTILE, LONGER, Attack, files_in
from hypothesis import HealthCheck, given, settings

SETTINGS = settings(
    max_examples=25 * LONGER,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
READING = (
    ("search", "?"), ("claim", "?"), ("claim", "?", "--json"), ("owed", "?"), ("evidence", "?"), ("breaks", "?"),
    ("pull", "-", "?", "--check"), ("pull", "?", "otters", "--check"), ("today", "--on", "?"), ("outlook", "?"),
    ("undo", "?"), ("?",), ("?", "?"), ("restore", "?", "?"), ("backup", "?", "--help"), ("unarchive", "?", "?"),
    ("terms", "?"), ("code", "?"), ("lock", "add", "?"), ("lock", "remove", "?"),
)  # fmt: skip
WRITING = (
    ("pull", "-", "?", "--anyway"), ("note", "TAG", "?"), ("hold", "TAG", "--reason", "?"),
    ("void", "?", "--reason", "?"),
    ("submit", "TAG", "--reference", "?", "--account", "?"), ("submit", "TAG", "--code"),
    ("promise", "?", "?", "?"),
    ("address", "?", "?"), ("close", "TAG", "?"), ("in-hand", "?"), ("ship", "?", "?"), ("start", "?", "--video", "?"),
    ("tell", "?"), ("look", "?"), ("answer", "TAG", "?"), ("park", "?", "?"), ("decide", "TAG", "?"),
    ("settle", "?", "?"),
)  # fmt: skip


@pytest.mark.parametrize("command", READING, ids=" ".join)
@SETTINGS
@given(text=HOSTILE)
def test_any_text_in_a_command_that_reads(attack: Attack, filled: Path, command: tuple[str, ...], text: str) -> None:
    before = files_in(filled.parent)
    attack.type(*(text if part == "?" else part for part in command))
    new = {name for name in files_in(filled.parent) - before if not name.startswith("desk")}
    assert new == set()


@pytest.mark.parametrize("command", WRITING, ids=" ".join)
@SETTINGS
@given(text=HOSTILE)
def test_any_text_in_a_command_that_writes(attack: Attack, tag: str, command: tuple[str, ...], text: str) -> None:
    attack.type(*({"?": text, "TAG": tag}.get(part, part) for part in command), typed=f"{text}\n")


def test_what_was_written_is_still_a_whole_desk(attack: Attack) -> None:
    code, said = attack.type("verify", seconds=20)
    assert code == 0, said
    for command in (("today",), ("owed",), ("search", "red"), ("undo", "--list"), ("breaks",)):
        assert attack.type(*command)[0] == 0

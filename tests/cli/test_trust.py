"""Backups, archives, locks and codes on the command line."""

from __future__ import annotations

import os
import re
import select
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest

Shell = Any


@pytest.fixture
def tag(full: Shell) -> str:
    """A claim of the sample with a code."""
    full("pull", "-", "Zev Quillon", "--anyway", "--code", typed="MOSS-1234-QUARTZ\n")
    found = re.search(r"\b([34679ACDEFGHJKMNPQRTWXY]{6})\b", full("search", "Quillon").out)
    assert found is not None
    return found[1]


def test_backups_are_made_listed_and_restored(full: Shell, shell: Shell, tmp_path: Path) -> None:
    assert "Written and proved" in full("backup").out
    listed = full("backups").out
    assert "sound" in listed
    assert str(tmp_path / "desk files" / "backups") in listed
    (newest, *_) = sorted((tmp_path / "desk files" / "backups").glob("*.backup"), reverse=True)
    made = full("restore", newest, tmp_path / "new.db")
    assert "copy the key file" in made.out
    assert "All agree" in full("--desk", tmp_path / "new.db", "verify").out
    again = shell("restore", newest, tmp_path / "new.db")
    assert again.code == 1
    assert "exists already" in again.err
    assert full("backup", tmp_path / "elsewhere" / "copy.db").code == 0
    assert shell("backup", tmp_path / "elsewhere" / "copy.db").code == 1


@pytest.mark.parametrize("form", [(), ("--format", "csv")])
def test_a_desk_becomes_open_files_and_a_desk_again(
    full: Shell, shell: Shell, tmp_path: Path, form: tuple[str, ...]
) -> None:
    assert "Written" in full("archive", tmp_path / "open", *form).out
    assert (tmp_path / "open" / ("claim.csv" if form else "claim.jsonl")).is_file()
    assert "no difference" in full("unarchive", tmp_path / "open", tmp_path / "new.db").out
    assert "All agree" in full("--desk", tmp_path / "new.db", "verify").out
    assert shell("archive", tmp_path / "open").code == 1
    assert shell("unarchive", tmp_path / "none", tmp_path / "other.db").code == 1


def test_without_a_desk_each_says_so(shell: Shell, tmp_path: Path) -> None:
    for command in (("backup",), ("archive", tmp_path / "open"), ("lock",), ("evidence", "A")):
        ran = shell(*command)
        assert ran.code == 1
        assert "There is no desk at" in ran.err
    assert shell("backups").code == 0


def test_a_passphrase_is_asked_for_and_never_an_argument(full: Shell, shell: Shell, tmp_path: Path) -> None:
    assert "key file" in full("lock").out
    assert "at least 12" in shell("lock", "add", "passphrase", typed="short\n").err
    full("lock", "add", "passphrase", typed="seven slow otters\n")
    full("lock", "remove", "key-file")
    assert not (tmp_path / "desk.db.key").exists()
    refused = shell("pull", "-", "Zev Quillon", "--anyway", "--code", typed="MOSS-1234-QUARTZ\n")
    assert refused.code == 1
    assert "locked" in refused.err
    assert "has no keyring" in shell("lock", "remove", "keyring").err


def test_a_code_is_shown_to_no_pipe(full: Shell, shell: Shell, tag: str) -> None:
    for command in (("code", tag), ("lock", "add", "recovery-key")):
        ran = shell(*command, typed="y\n")
        assert ran.code == 1
        assert "terminal" in ran.err
        assert "MOSS" not in ran.out + ran.err


def test_a_photo_of_a_code_is_kept_sealed(full: Shell, shell: Shell, tag: str, tmp_path: Path) -> None:
    picture = tmp_path / "in" / "card.png"
    picture.parent.mkdir()
    picture.write_bytes(b"\x89PNG\r\n\x1a\n and a code")
    assert "1 photo" in full("photo", tag, picture, "--shows-code").out
    assert "as kept" in full("photo", tag).out
    full("photo", tag, "--save", tmp_path / "out")
    (saved,) = (tmp_path / "out").iterdir()
    assert saved.read_bytes() == picture.read_bytes()
    assert shell("photo", tag, "--save", tmp_path / "out").code == 1
    assert shell("photo", "NOSUCH").code == 1
    assert shell("photo", tag, tmp_path / "none.png").code == 1


@pytest.mark.skipif(sys.platform == "win32", reason="needs a pseudo-terminal")
def test_at_a_terminal_a_code_is_shown_after_a_question(full: Shell, tag: str) -> None:
    import pty

    handle, end = pty.openpty()
    process = subprocess.Popen(
        [sys.executable, "-m", "breakdesk", "code", tag], stdin=end, stdout=end, stderr=end, start_new_session=True
    )
    os.close(end)
    said, answered, stop = b"", False, time.monotonic() + 20
    while time.monotonic() < stop and (process.poll() is None or select.select([handle], [], [], 0.1)[0]):
        if select.select([handle], [], [], 0.1)[0]:
            try:
                said += os.read(handle, 4096)
            except OSError:
                break
        if not answered and b"streaming" in said:
            assert b"MOSS" not in said
            os.write(handle, b"y\n")
            answered = True
    assert process.wait(10) == 0, said
    os.close(handle)
    assert b"MOSS1234QUARTZ" in said
    assert full("verify").code == 0


def test_a_desk_that_others_can_read_is_pointed_out(full: Shell, tmp_path: Path) -> None:
    if sys.platform == "win32":
        pytest.skip("Windows keeps rights elsewhere")
    assert "Others on this machine" not in full("today").err
    (tmp_path / "desk.db").chmod(0o644)
    (tmp_path / "desk.db.key").chmod(0o640)
    said = full("today").err
    assert said.count("Others on this machine can read") == 2
    assert "chmod 600" in said


def test_whatever_file_is_written_is_for_its_owner_only(full: Shell, tmp_path: Path) -> None:
    if sys.platform == "win32":
        pytest.skip("Windows keeps rights elsewhere")
    out = tmp_path / "out"
    for command in (("tell", "--all", "--out", out / "told"), ("export", "desk", "--out", out / "desk")):
        arguments = [sys.executable, "-m", "breakdesk", *map(str, command)]
        done = subprocess.run(arguments, capture_output=True, text=True, check=False, umask=0)
        assert done.returncode == 0, done.stderr
    written = [path for path in out.rglob("*") if path.is_file()]
    assert len(written) > 5
    assert {path.stat().st_mode & 0o077 for path in out.rglob("*")} == {0}


def test_a_damaged_desk_is_named_with_the_way_back(full: Shell, shell: Shell, tmp_path: Path) -> None:
    full("backup")
    path = tmp_path / "desk.db"
    path.write_bytes(b"\x00" * 4096 + path.read_bytes()[4096:])
    ran = shell("today")
    assert ran.code == 1
    assert "damaged" in ran.err
    newest = re.search(r'`breakdesk restore "(.+)" NEW`', ran.err)
    assert newest is not None, ran.err
    assert full("restore", newest[1], tmp_path / "back.db").code == 0


def test_a_load_that_fails_leaves_nothing_behind(shell: Shell, tmp_path: Path) -> None:
    (tmp_path / "in.csv").write_text("tag,subject,pulled_at\nA1,Kit Moor,soon\n")
    assert shell("load", tmp_path / "in.csv").code == 1
    assert {path.name for path in tmp_path.iterdir()} == {"in.csv"}

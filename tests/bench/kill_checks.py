"""What has to hold after a kill: everything acknowledged is there once, and nothing is half done."""

from __future__ import annotations

import json
import random
import shutil
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from kill_work import Work

from breakdesk.desk.checking import verify
from breakdesk.desk.codes import read_code
from breakdesk.desk.desk import Desk, open_desk
from breakdesk.store.backups import backups_of, faults_of
from breakdesk.store.engine import run
from breakdesk.store.kept_files import PHOTOS, files_folder
from breakdesk.store.sealing import key_path


@dataclass
class Tally:
    """What was tried and what came of it."""

    kills: Counter[str] = field(default_factory=Counter)
    acknowledged: int = 0
    unacknowledged_but_there: int = 0
    on_screen: int = 0
    cut_logs: int = 0
    faults: list[str] = field(default_factory=list)


def cut_log_faults(path: Path, chance: random.Random, tally: Tally) -> Iterator[str]:
    """What is wrong with a copy of the desk whose write-ahead log was cut off somewhere.

    What was copied from the log into the desk file already was on the disk before that began, so that no loss of power
    can take it: the log is cut off after it.
    """
    log = path.with_name(path.name + "-wal")
    if not log.exists() or not log.stat().st_size:
        return
    with tempfile.TemporaryDirectory(prefix="breakdesk-cut-") as folder:
        copy = Path(folder) / path.name
        shutil.copy2(path, copy)
        shutil.copy2(key_path(path), key_path(copy))
        files_folder(copy).mkdir()
        if (files_folder(path) / PHOTOS).is_dir():
            (files_folder(copy) / PHOTOS).symlink_to(files_folder(path) / PHOTOS)
        content = log.read_bytes()
        copied = min(copied_bytes(path), len(content))
        copy.with_name(log.name).write_bytes(content[: chance.randint(copied, len(content))])
        tally.cut_logs += 1
        desk = open_desk(copy)
        yield from (f"log cut off: {fault}" for fault in verify(desk))
        desk.close()


def copied_bytes(path: Path) -> int:
    """How much of a write-ahead log the engine began to copy into the desk file (SQLite, "WAL-mode File Format")."""
    index, log = path.with_name(path.name + "-shm"), path.with_name(path.name + "-wal")
    content = index.read_bytes() if index.exists() else b""
    if len(content) < 136:
        return 0
    page = int.from_bytes(log.read_bytes()[8:12], "big")
    frames = int.from_bytes(content[128:132], sys.byteorder)
    return 32 + frames * (24 + page) if frames else 0


def faults_after(path: Path, begun: list[Work], done: list[Work], tally: Tally) -> Iterator[str]:
    """What is wrong with the desk as the next start finds it."""
    desk = open_desk(path)
    try:
        yield from verify(desk)
        finished = {work.mark for work in done}
        for work in begun:
            there = _IS_THERE[work.kind](desk, work)
            if isinstance(there, str):
                yield f"{work.kind} {work.mark} is half done: {there}"
            elif work.mark in finished:
                tally.acknowledged += 1
                if not there:
                    yield f"{work.kind} {work.mark} was acknowledged and is lost"
            elif there:
                tally.unacknowledged_but_there += 1
    finally:
        desk.close()
    for backup in backups_of(path)[:2]:
        yield from (f"backup {backup.path.name}: {fault}" for fault in faults_of(backup.path))


def _one(desk: Desk, sql: str, *values: object) -> list[tuple[object, ...]]:
    return [tuple(row) for row in run(desk.database, sql, values)]


def _note_is_there(desk: Desk, work: Work) -> bool | str:
    texts = _one(desk, "SELECT id FROM free_text WHERE text = ?", work.mark)
    lines = [
        body
        for (body,) in _one(desk, "SELECT body FROM history_line WHERE thing = 'claim' AND kind = 'noted'")
        if texts and json.loads(str(body)).get("text") == texts[0][0]
    ]
    if len(texts) != len(lines) or len(texts) > 1:
        return f"{len(texts)} texts, {len(lines)} lines"
    return bool(texts)


def _pull_is_there(desk: Desk, work: Work) -> bool | str:
    digest, _ = desk.sealer.code_digests(work.mark)
    found = _one(
        desk,
        "SELECT claim.state, claim.subject FROM claim_code LEFT JOIN claim ON claim.id = claim_id WHERE digest = ?",
        digest,
    )
    if not found:
        return False
    return True if len(found) == 1 and found[0][0] and found[0][1] else f"the code is on {found}"


def _submission_is_there(desk: Desk, work: Work) -> bool | str:
    ((key, state, reference),) = _one(desk, "SELECT id, state, reference FROM claim WHERE tag = ?", work.tag)
    code, is_whole = read_code(desk, int(str(key))), work.mark.replace("REF-", "CODE")
    if state == "pulled" and not reference and str(code).startswith("PULL"):
        return False
    if state == "submitted" and reference == work.mark and code == is_whole:
        return True
    return f"{state}, reference {reference!r}, code {code!r}"


def _photo_is_there(desk: Desk, work: Work) -> bool | str:
    found = _one(desk, "SELECT file FROM photo WHERE what = ?", work.mark)
    lines = _one(desk, "SELECT id FROM history_line WHERE kind = 'photo' AND body LIKE ?", f"%{work.mark}%")
    if len(found) != len(lines) or len(found) > 1:
        return f"{len(found)} photos, {len(lines)} lines"
    # Whether it is whole, `verify` says.
    return bool(found)


_IS_THERE = {
    "note": _note_is_there,
    "pull": _pull_is_there,
    "submit": _submission_is_there,
    "photo": _photo_is_there,
}

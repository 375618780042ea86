"""The page about safety at the keyboard: backups, ways to unlock the codes, and nothing of a key on air."""

from __future__ import annotations

import asyncio
import re

from breakdesk.desk.locking import list_ways, must_be_typed, unlock
from breakdesk.store.backups import backups_of, faults_of_desk
from breakdesk.tui.widgets.long_list import LongList

KEY = re.compile(r"(?:[34679ACDEFGHJKMNPQRTWXY]{6}\s+){3}[34679ACDEFGHJKMNPQRTWXY]{6}")
PASSPHRASE = "seven slow otters"


async def go_to(player, label):
    """Put the cursor on a row."""
    rows = player.app.screen.query_one(LongList)
    for index in range(rows.count):
        rows.cursor = index
        await player.settle()
        if rows.current is not None and rows.current.cells[0] == label:
            return
    raise AssertionError(label)


async def until(player, words):
    """Wait for what a thread beside the desk's does."""
    for _ in range(200):
        await player.settle()
        if words in player.words:
            return
        await asyncio.sleep(0.02)
    raise AssertionError(player.words)


def ways(house):
    return {line.kind for line in house.do(list_ways)}


async def test_backups_are_made_read_and_restored(sample, tmp_path):
    async with sample.open() as player:
        await player.press("f8", "s")
        assert "▸ Newest backup none yet" in player.words
        await player.press("enter")
        await until(player, "Written and proved")
        assert "today 12:00, proved when made" in player.words
        (backup,) = backups_of(sample.thread.path)
        await go_to(player, "All backups")
        await player.press("enter")
        await until(player, "Every backup is whole.")
        assert "MB): whole" in player.words
        await player.press("escape")
        await go_to(player, "Restore")
        await player.press("enter", "enter")
        await player.paste(str(tmp_path / "new.db"), "enter")
        await until(player, "A new desk from a backup")
        assert "copy the key file" in player.words
        await player.press("escape")
        await go_to(player, "Copy elsewhere")
        await player.press("enter")
        await player.paste("stick.backup", "enter")
        stick = sample.thread.path.with_name("stick.backup")
        await until(player, f"Written and proved: {str(stick)[:20]}")
        await go_to(player, "Check the desk")
        await player.press("enter")
        await until(player, "All agree")
    assert [one.path for one in backups_of(sample.thread.path)] == [backup.path]
    assert stick.is_file()
    assert list(faults_of_desk(tmp_path / "new.db", whole_history=True)) == []


async def test_a_name_that_is_taken_or_impossible_is_said(sample, tmp_path):
    (tmp_path / "mine").write_text("mine")
    async with sample.open() as player:
        await player.press("f8", "s")
        await go_to(player, "Copy elsewhere")
        for typed, said in ((str(tmp_path / "mine"), "exists already"), ("x" * 300, "No file can have that name")):
            await player.press("enter")
            await player.paste(typed, "enter")
            await until(player, said)
    assert (tmp_path / "mine").read_text() == "mine"


async def test_on_air_no_key_is_changed_or_shown(sample):
    async with sample.open(on_air=True) as player:
        await player.press("f8", "s")
        for label in ("Codes", "Key file", "Passphrase", "Keyring", "Recovery key"):
            await go_to(player, label)
            await player.press("enter")
            assert "Keys are never changed or shown on air" in player.status
        assert ways(sample) == {"key file"}


async def test_a_passphrase_takes_the_place_of_the_key_file_and_locks(sample):
    async with sample.open(on_air=False) as player:
        await player.press("f8", "s")
        await go_to(player, "Codes")
        await player.press("enter")
        assert "open without asking anybody" in player.status
        await go_to(player, "Passphrase")
        await player.press("enter")
        await player.paste("short", "enter")
        assert "at least 12 characters" in player.words
        await player.press("ctrl+u")
        await player.paste(PASSPHRASE, "enter")
        await player.paste("another", "enter")
        assert "The two differ" in player.words
        await player.press("ctrl+u")
        await player.paste(PASSPHRASE)
        assert PASSPHRASE not in player.seen
        await player.press("enter")
        await until(player, "The passphrase unlocks this desk")
        await go_to(player, "Key file")
        await player.press("enter", "down", "enter")
        await until(player, "The key file unlocks this desk no more")
        await go_to(player, "Codes")
        await player.press("enter")
        await until(player, "Codes locked")
        await player.press("enter")
        await player.paste("not the passphrase", "enter")
        await until(player, "That is not the passphrase")
        await player.press("enter")
        await player.paste(PASSPHRASE, "enter")
        await until(player, "Codes open until you leave")
    assert ways(sample) == {"passphrase"}
    assert sample.do(must_be_typed)


async def test_a_recovery_key_is_shown_once_hidden_on_air_or_written_to_print(sample, tmp_path):
    async with sample.open(on_air=False, size=(120, 40)) as player:
        await player.press("f8", "s")
        await go_to(player, "Recovery key")
        await player.press("enter", "enter")
        await until(player, "kept nowhere")
        assert len(KEY.findall(player.seen)) == 2
        await player.press("f9")
        assert not KEY.search(player.seen)
        await player.press("escape", "f9", "down", "enter")
        await go_to(player, "Recovery key")
        assert "made Mon 15 Jun" in player.words
        await player.press("enter", "down", "enter")
        await player.paste(str(tmp_path / "page.txt"), "enter")
        await until(player, "The page is written")
        assert not KEY.search(player.seen)
    page = (tmp_path / "page.txt").read_text()
    assert (tmp_path / "page.txt").stat().st_mode & 0o077 == 0
    key = " ".join(found.group() for found in KEY.finditer(page))
    assert sample.do(lambda desk: unlock(desk, key)) is None

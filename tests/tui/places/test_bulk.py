"""Messages to many on screen: chosen, read, written, sent by a real server on this machine, stopped."""

from __future__ import annotations

import asyncio
import socket

import pytest
from aiosmtpd.controller import Controller

from breakdesk.desk.bulk import Wanted, choose, keys_of
from breakdesk.desk.following import hold
from breakdesk.desk.sending import make_ready
from breakdesk.desk.under_way import note_under_way
from breakdesk.desk.viewing import today
from breakdesk.files.mail_settings import MailSettings
from breakdesk.store import models


async def open_many(player):
    """Opens the screen from the palette."""
    await player.press("ctrl+p")
    await player.paste("to many", "enter")
    await player.settle()


async def until(player, words):
    for _ in range(200):
        await player.settle()
        if words in player.words:
            return
        await asyncio.sleep(0.05)
    raise AssertionError(player.words)


def chosen(house, **wanted):
    return keys_of(house.do(choose, Wanted(**wanted)))


def told(house):
    return house.do(lambda _desk: models.Telling.select().count())


async def test_everybody_is_chosen_narrowed_and_taken_out(sample):
    async with sample.open(size=(120, 40), on_air=False) as player:
        await open_many(player)
        everybody = len(chosen(sample))
        assert f"{everybody} messages" in player.words
        await player.press("x")
        assert f"{everybody - 1} messages" in player.words
        await player.press("a", "f", "down", "enter")
        assert f"{len(chosen(sample, due=True))} messages: whose telling is due" in player.words
        await player.press("f", "end", "enter")
        await player.press("9", "0", "enter")
        both = chosen(sample, due=True, silent_days=90)
        assert f"{len(both)} messages: whose telling is due, told nothing for 90 days" in player.words
        await player.press("f", "down", "down", "down", "enter", "enter")
        assert "told nothing for 90 days, who waits for Ildefors Kortverk" in player.words
        await player.press("f", "enter")
        assert f"{everybody} messages: everybody" in player.words
        await player.press("enter")
        assert "The message as it would be sent" in player.seen


async def test_on_air_nobody_is_named(sample):
    found = sample.do(choose, Wanted())
    async with sample.open(size=(120, 40)) as player:
        await open_many(player)
        assert all(item.name not in player.seen for item in found)
        await player.press("enter")
        assert "hidden on air" in player.words


async def test_files_are_written_and_marked_as_told_when_they_went_out(sample, tmp_path):
    before = told(sample)
    async with sample.open(size=(120, 40), on_air=False) as player:
        await open_many(player)
        await player.press("w", "down", "enter")
        player.app.focused.value = str(tmp_path / "out")
        await player.press("enter")
        await until(player, "Did they go out?")
        assert told(sample) == before
        count = len(chosen(sample))
        assert len(list((tmp_path / "out").glob("*.txt"))) == count
        await player.press("enter")
        assert told(sample) == before
        await player.press("t", "enter")
        await until(player, "marked as told")
    assert told(sample) == before + count


@pytest.fixture
def server(tmp_path, monkeypatch):
    """A mail server on this machine without encryption, and the settings that name it."""

    class Inbox:
        taken: list[str] = []

        async def handle_DATA(self, _server, _session, envelope):  # noqa: N802
            self.taken.append(envelope.rcpt_tos[0])
            return "250 taken"

    Inbox.taken = []
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    controller = Controller(Inbox(), hostname="127.0.0.1", port=port)
    controller.start()
    path = tmp_path / "mail.toml"
    path.write_text(
        f'host = "127.0.0.1"\nport = {port}\nsecurity = "none"\nfrom = "desk@corner.example"\nper_minute = 6000\n'
    )
    path.chmod(0o600)
    monkeypatch.setenv("BREAKDESK_MAIL", str(path))
    yield Inbox
    controller.stop()


async def test_sending_is_asked_first_and_each_that_is_taken_is_told(sample, server):
    before, wanted = told(sample), chosen(sample, channel="email")
    async with sample.open(size=(120, 40), on_air=False) as player:
        await open_many(player)
        await player.press("s", "enter")
        assert server.taken == []
        await player.press("s", "down", "enter")
        await until(player, "sent and marked as told")
    assert len(server.taken) == len(wanted)
    assert told(sample) == before + len(wanted)


async def test_without_settings_it_says_where_they_stand(sample, tmp_path, monkeypatch):
    monkeypatch.setenv("BREAKDESK_MAIL", str(tmp_path / "none.toml"))
    async with sample.open(size=(120, 40), on_air=False) as player:
        await open_many(player)
        await player.press("s")
        assert "There are no mail settings" in player.status


async def test_an_empty_desk_has_nobody(empty):
    async with empty.open() as player:
        await open_many(player)
        assert "Nobody fits." in player.seen
        await player.press("w")
        assert "Nobody is chosen." in player.status


@pytest.mark.parametrize(("keys", "tellings"), [(("enter",), 0), (("down", "enter"), 1)])
async def test_a_message_in_doubt_is_settled_here(sample, keys, tellings):
    before, key = told(sample), chosen(sample, channel="email")[0]
    settings = MailSettings(host="127.0.0.1", port=1, security="none", sender="desk@corner.example", sender_name="")
    ready = sample.do(make_ready, key, settings)
    assert sample.do(note_under_way, ready) is None
    async with sample.open(size=(120, 40), on_air=False) as player:
        await open_many(player)
        await player.press("d", "enter", *keys)
        await player.press("d")
        assert "No message is in doubt." in player.status
    assert told(sample) == before + tellings


async def test_the_calendar_is_written_from_today(sample, tmp_path):
    async with sample.open() as player:
        await player.press("c", "ctrl+u")
        await player.paste(str(tmp_path / "cards.ics"), "enter")
        assert "entries written to" in player.status
    assert (tmp_path / "cards.ics").read_bytes().startswith(b"BEGIN:VCALENDAR")


def test_who_is_due_is_who_stands_in_the_tell_round(sample):
    claim = next(item.claim for person in sample.do(today).today.tell for item in person.items)
    sample.do(hold, claim.tag, "a payment is disputed")
    in_round = {person.person.id for person in sample.do(today).today.tell}
    found = sample.do(choose, Wanted(due=True), again=True)
    assert {item.person_id for item in found if item.left_out not in ("on hold", "put aside")} == in_round

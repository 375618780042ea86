"""The message to a maker into a file, and by a real mail server on this machine."""

from __future__ import annotations

import socket
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from aiosmtpd.controller import Controller

from breakdesk.desk.submitting import Submit, submit


def submitted(stage: Any, **more: Any) -> str:
    """A claim that its maker may be asked about now."""
    tag: str = stage.pull("Ada", **more)
    stage.done(submit, Submit(tag=tag, reference=f"REF-{tag}"))
    stage.later(days=1)
    return tag


class Inbox:
    """What the server took."""

    def __init__(self) -> None:
        self.taken: list[str] = []

    async def handle_DATA(self, _server: Any, _session: Any, envelope: Any) -> str:  # noqa: N802
        self.taken.append(envelope.rcpt_tos[0])
        return "250 taken"


@pytest.fixture
def inbox(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Inbox]:
    """A mail server without encryption, and the settings that name it."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    held = Inbox()
    controller = Controller(held, hostname="127.0.0.1", port=port)
    controller.start()
    path = tmp_path / "mail.toml"
    path.write_text(f'host = "127.0.0.1"\nport = {port}\nsecurity = "none"\nfrom = "desk@corner.example"\n')
    path.chmod(0o600)
    monkeypatch.setenv("BREAKDESK_MAIL", str(path))
    yield held
    controller.stop()


async def test_it_is_sent_after_a_question_and_is_an_ask_then(stage: Any, inbox: Inbox) -> None:
    tag = submitted(stage)
    async with stage.open() as player:
        await player.press("a", "m", "enter")
        assert inbox.taken == []
        await player.press("m")
        assert "desk@tern.example. It is an ask once your mail server took it." in player.words
        await player.press("down", "enter")
        await player.until(lambda: "Tern Cards was asked about 1 claim." in player.status)
    assert inbox.taken == ["desk@tern.example"]
    assert stage.claim(tag).last_asked_on is not None


async def test_outside_office_hours_it_is_held_instead(stage: Any, inbox: Inbox) -> None:
    tag = submitted(stage, maker="Rising Press")
    async with stage.open() as player:
        await player.press("a", "m", "down", "enter")
        await player.until(lambda: "held until it opens" in player.status)
    assert (inbox.taken, stage.claim(tag).ask_held) == ([], True)


async def test_a_draft_is_written_and_is_no_ask(stage: Any, inbox: Inbox) -> None:
    tag = submitted(stage)
    async with stage.open() as player:
        await player.press("a", "f", "enter", "enter")
        assert "It is no ask yet" in player.status
    (draft,) = stage.folder.glob("asks */*.eml")
    assert b"desk@tern.example" in draft.read_bytes()
    assert stage.claim(tag).last_asked_on is None

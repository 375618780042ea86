"""What is done to the claims of a night afterwards: photos of a folder, and cards of a checklist that came later."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from textual.app import App
from textual.pilot import Pilot

from breakdesk.desk.photos import photos_of
from breakdesk.store.models import Card, Claim
from breakdesk.tui.screens.catch_photos import NightPhotosScreen
from breakdesk.tui.widgets.key_line import StatusLine

from .conftest import Stage, settled, to_catch, type_line

Seen = Callable[[App[Any]], str]


async def caught(pilot: Pilot[Any], *lines: str) -> None:
    """Write claims down."""
    screen = await to_catch(pilot)
    for number, line in enumerate(lines, start=1):
        await type_line(pilot, line)
        await pilot.press("enter")
        await pilot.press("enter")
        await settled(pilot, lambda wanted=number: len(screen.caught) == wanted)


async def step(pilot: Pilot[Any], seen: Seen, words: str) -> None:
    """Take a step of the break menu."""
    await pilot.press("ctrl+b")
    await settled(pilot, lambda: words in seen(pilot.app))
    for _ in range(12):
        if f"▸ {words}" in seen(pilot.app):
            break
        await pilot.press("down")
    await pilot.press("enter")


@pytest.fixture
def phone(tmp_path: Path, night: Stage) -> Path:
    """Three photos, taken ten seconds apart after the night's first claims."""
    folder = tmp_path / "phone"
    folder.mkdir()
    for number in range(3):
        path = folder / f"IMG_{number}.png"
        path.write_bytes(b"\x89PNG\r\n\x1a\n" + bytes([number]))
        moment = night.tell[0].timestamp() + 600 + 10 * number
        os.utime(path, (moment, moment))
    return folder


async def test_photos_are_shown_moved_along_and_kept(night: Stage, phone: Path, seen: Seen) -> None:
    app = night.app()
    async with app.run_test(size=(100, 30)) as pilot:
        await caught(pilot, "marl", "una")
        first, second = (row.id for row in night.ask(lambda _desk: list(Claim.select().order_by(Claim.id))))
        await step(pilot, seen, "Photos from a folder")
        await settled(pilot, lambda: "Which folder" in seen(app))
        await type_line(pilot, str(phone))
        assert str(phone.parent) not in seen(app)
        await pilot.press("enter")
        await settled(pilot, lambda: isinstance(app.screen, NightPhotosScreen) and "IMG_0.png" in seen(app))
        assert "3 photos, but 2 claims: look closely." in seen(app)
        await pilot.press("down", "b")
        assert seen(app).count("Kai Marlowe") == 2
        await pilot.press("down", "c")
        await settled(pilot, lambda: "What does IMG_2.png show?" in seen(app))
        await pilot.press("down", "enter")
        await settled(pilot, lambda: "none of the claims" not in seen(app))
        await pilot.press("k")
        await settled(pilot, lambda: "Keep 3 photos" in seen(app))
        await pilot.press("enter")
        await settled(pilot, lambda: "3 photos of 2 claims kept." in str(app.screen.query_one(StatusLine).text))
        assert [len(night.ask(photos_of, key)) for key in (first, second)] == [2, 1]


async def test_claims_are_linked_after_the_doubtful_ones_were_asked_about(night: Stage, seen: Seen) -> None:
    cards = night.ask(lambda _desk: list(Card.select().dicts()))
    night.ask(lambda _desk: Card.delete().execute())
    app = night.app()
    async with app.run_test(size=(100, 30)) as pilot:
        await caught(pilot, "kai marlowe au herons /10", "una dellamor wolves")
        await step(pilot, seen, "Link claims to a checklist")
        await settled(pilot, lambda: "is linked to it" in seen(app))
        night.ask(lambda _desk: Card.insert_many(cards).execute())
        await step(pilot, seen, "Link claims to a checklist")
        await settled(pilot, lambda: "Look at the 1 that fit one card" in seen(app))
        await pilot.press("enter")
        await settled(pilot, lambda: "adds Gold" in seen(app))
        await pilot.press("escape", "down", "enter")
        await settled(pilot, lambda: "1 of 1: which card is it?" in seen(app))
        assert "Una Dellamore" in seen(app)
        await pilot.press("enter")
        await settled(pilot, lambda: "Link 2 claims" in seen(app))
        await pilot.press("down", "enter")
        await settled(pilot, lambda: "2 claims are linked" in str(app.screen.query_one(StatusLine).text))
        subjects = night.ask(lambda _desk: [row.subject for row in Claim.select().order_by(Claim.id)])
        assert subjects == ["Kai Marlowe", "Una Dellamore"]

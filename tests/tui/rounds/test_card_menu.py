"""What else there is about a card, by keys on its page."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

import pytest

from breakdesk.desk import arriving, damage, submitting
from breakdesk.desk.photos import photos_of
from breakdesk.rules.tags import shown as tag_words
from breakdesk.tui.screens.claim import ClaimScreen


def in_hand(stage: Any, owner: str = "Ada", **more: Any) -> str:
    tag: str = stage.pull(owner, **more)
    stage.done(submitting.submit, submitting.Submit(tag=tag, reference="R1"))
    stage.done(arriving.in_hand, arriving.InHand(tag=tag))
    return tag


@asynccontextmanager
async def page_of(stage: Any, tag: str, **more: Any) -> AsyncIterator[Any]:
    async with stage.open(**more) as player:
        await player.app.push_screen(ClaimScreen(tag))
        await player.settle()
        yield player


async def choose(player: Any, words: str) -> None:
    """Opens the menu and picks the choice with these words."""
    await player.press("c")
    for _ in range(12):
        line = next((line for line in player.seen.splitlines() if words in line), "")
        assert line, player.seen
        if "›" in line or ">" in line or "▸" in line:
            break
        await player.press("down")
    await player.press("enter")


async def test_a_card_that_came_damaged_becomes_a_claim_with_its_evidence(stage: Any) -> None:
    tag = in_hand(stage)
    async with page_of(stage, tag) as player:
        await choose(player, "It came damaged")
        await player.type("a crease", "enter")
        assert f"{tag_words(tag)} came damaged" in player.status
    assert stage.claim(tag).closed_how == "replaced"
    new = next(item.claim.tag for item in stage.today().submit)
    async with page_of(stage, new) as player:
        await choose(player, "evidence")
        assert "No window is settled" in player.words
        await player.press("enter")
        assert "✔ photo of the front" in player.words
        await player.press("enter", "escape")
        assert "photo of the back is here" in player.status
        await player.press("c")
        assert "came back" not in player.words
        assert "Its claim card cannot be found" not in player.words
        await player.press("escape")
        await choose(player, "posted back")
        await player.type("RA473124829GB", "enter")
        await choose(player, "damaged card came back")
    view = stage.do(damage.evidence_view, new)
    assert view is not None
    assert (view.got, view.came_back_on is not None) == (("photo of the front", "photo of the back"), True)


async def test_a_photo_is_kept_as_the_piece_of_evidence_that_it_shows(stage: Any, tmp_path: Path) -> None:
    tag = in_hand(stage)
    stage.done(damage.came_damaged, tag, "a crease")
    new = next(item.claim.tag for item in stage.today().submit)
    picture = tmp_path / "front.png"
    picture.write_bytes(b"\x89PNG\r\n\x1a\n")
    async with page_of(stage, new) as player:
        await choose(player, "Keep a photo")
        await player.type(str(picture), "enter")
        await player.press("enter")
        assert "photo of the front is here" in player.status


async def test_kept_and_sold_for_its_participant(stage: Any) -> None:
    tag = in_hand(stage)
    async with page_of(stage, tag) as player:
        await choose(player, "sell it for its participant")
        await player.press("enter")
        assert "A few words are needed" in player.words
        await player.type("not below 20", "enter")
        assert stage.claim(tag).on_hold
        await choose(player, "It was sold")
        await player.type("18.50", "enter")
    assert (stage.claim(tag).closed_how, stage.claim(tag).closed_amount) == ("bought_out", 1850)


async def test_a_claim_card_lost_and_found(stage: Any) -> None:
    tag = stage.pull()
    async with page_of(stage, tag) as player:
        await choose(player, "cannot be found")
        await player.type("Jo at the table", "enter")
        assert stage.claim(tag).failed_how == "card_missing"
        await choose(player, "was found")
        await player.press("enter")
    assert stage.claim(tag).failed_how is None


async def test_straight_from_the_maker(stage: Any) -> None:
    tag = stage.pull()
    stage.done(submitting.submit, submitting.Submit(tag=tag))
    async with page_of(stage, tag) as player:
        await choose(player, "send it to the participant")
        await choose(player, "sent it straight")
        await player.press("enter")
        await choose(player, "Its participant has it")
    assert stage.claim(tag).closed_how == "delivered"


async def test_a_photo_by_its_path_and_what_is_none(stage: Any, tmp_path: Path) -> None:
    tag = in_hand(stage)
    picture = tmp_path / "a.png"
    picture.write_bytes(b"\x89PNG\r\n\x1a\n" + bytes(9))
    async with page_of(stage, tag) as player:
        await choose(player, "Keep a photo")
        await player.type(str(picture), "enter")
        assert "1 photo" in player.status
        await choose(player, "Keep a photo")
        await player.type("nothing.png", "enter")
        assert "cannot be read" in player.status
    assert len(stage.do(photos_of, stage.claim_id(tag))) == 1


@pytest.mark.parametrize("on_air", [False, True])
async def test_who_knew_a_code_names_nobody_on_air(stage: Any, on_air: bool) -> None:
    tag = stage.pull(plan="give", code="AB12CD34")
    from breakdesk.desk import shipping

    stage.done(shipping.start_parcel, [tag])
    stage.done(shipping.ship, shipping.Ship(parcel_id=1, reason="in a hurry"))
    async with page_of(stage, tag, on_air=on_air) as player:
        await choose(player, "Who saw")
        assert "the claim card was sent" in player.words
        assert ("Ada Fenn" in player.words) is not on_air


async def test_what_they_agreed_to(stage: Any) -> None:
    tag = in_hand(stage)
    async with page_of(stage, tag) as player:
        await choose(player, "agreed to something else")
        await player.press("enter")
        await player.type("on the phone", "enter")
        assert "is kept" in player.status
        await player.press("c", "escape")
    assert stage.claim(tag).state == "in_hand"

"""A maker's status page pasted into the look: what differs is seen first, and saved after a yes."""

from __future__ import annotations

from typing import Any

import pytest
from textual import events

from breakdesk.desk.submitting import Submit, submit
from breakdesk.store import models


@pytest.fixture
def three(stage: Any) -> list[str]:
    """Three claims with a maker, with references."""
    tags = [stage.pull("Ada", subject=f"Kit {letter}") for letter in "ABC"]
    for tag in tags:
        stage.done(submit, Submit(tag=tag, reference=f"REF-{tag}"))
    return tags


async def paste(player: Any, text: str) -> None:
    """Paste a text where the cursor is, and take it."""
    player.app.focused.post_message(events.Paste(text))
    await player.settle()
    await player.press("f12")


def page_of(first: str, second: str, third: str) -> str:
    """A page on which the first moved, the second stands, and the third says nothing that is known."""
    lines = (f"REF-{first}\tIn production", f"REF-{second}\tPending", f"REF-{third}\tsee the letter")
    return "\n".join(("Your orders", *lines))


class TestPastedPage:
    async def test_differences_are_seen_first_and_saved_after_a_yes(self, stage: Any, three: list[str]) -> None:
        moved, stands, unclear = three
        async with stage.open() as player:
            await player.press("l", "v")
            await paste(player, page_of(*three))
            assert "3 claims found on the page, 1 of them seems to have moved. Nothing is saved yet." in player.words
            assert "s saves 1 answer and that 1 claim stands as before." in player.words
            assert "not clear" in player.words
            assert stage.claim(moved).answer is None
            assert stage.do(lambda _: models.Look.select().count()) == 0
            await player.press("s", "enter")
            assert stage.claim(moved).answer is None
            await player.press("s", "down", "enter")
            assert "All makers were looked at." in player.words
            assert [stage.claim(tag).answer for tag in three] == ["being_made", None, None]
            look = stage.do(lambda _: models.Look.get())
            assert (look.claims, look.moved) == (2, 1)
            await player.press("u", "enter")
        assert stage.claim(moved).answer is None
        assert stage.claim(stands).last_asked_on is stage.claim(unclear).last_asked_on is None

    async def test_what_is_unmarked_is_not_saved_and_what_is_unclear_is_said(
        self, stage: Any, three: list[str]
    ) -> None:
        async with stage.open() as player:
            await player.press("l", "v")
            await paste(player, page_of(*three))
            await player.press("space", "enter", "down", "enter")
            assert "s saves 1 answer and that 1 claim stands as before." in player.words
            await player.press("s", "down", "enter")
        assert [stage.claim(tag).answer for tag in three] == [None, None, "waits_signer"]

    async def test_leaving_saves_nothing(self, stage: Any, three: list[str]) -> None:
        before = stage.do(lambda _: models.Action.select().count())
        async with stage.open() as player:
            await player.press("l", "v")
            await paste(player, page_of(*three))
            await player.press("escape")
            assert "3, by reference" in player.words
        assert stage.do(lambda _: models.Action.select().count()) == before

    async def test_on_air_no_reference_of_the_page_is_seen(self, stage: Any, three: list[str]) -> None:
        async with stage.open(on_air=True, size=(120, 40)) as player:
            await player.press("l", "v")
            player.app.focused.post_message(events.Paste(page_of(*three)))
            await player.settle()
            assert "REF" not in player.seen
            assert "letter" not in player.seen
            await player.press("f12")
            assert "1 of them seems to have moved" in player.words
            assert "REF" not in player.seen
            assert "letter" not in player.seen
            await player.press("s", "down", "enter")
        assert stage.claim(three[0]).answer == "being_made"


@pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=["80x24", "120x40"])
def test_how_it_looks(
    stage: Any, three: list[str], snap_compare: Any, player_class: Any, size: tuple[int, int]
) -> None:
    async def run_before(pilot: Any) -> None:
        player = player_class(stage, pilot.app, pilot)
        await player.settle()
        await player.press("l", "v")
        await paste(player, page_of(*three))

    assert snap_compare(stage.app(on_air=False), terminal_size=size, run_before=run_before)

"""A claim's page while its participant is on the phone, and a claim that changes hands."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from typing import Any

from breakdesk.desk.submitting import Submit, submit
from breakdesk.tui.screens.claim import ClaimScreen


@asynccontextmanager
async def page_of(stage: Any, tag: str, **more: Any) -> AsyncIterator[Any]:
    async with stage.open(**more) as player:
        await player.app.push_screen(ClaimScreen(tag))
        await player.settle()
        yield player


def news_for(stage: Any, tag: str) -> dict[int, str]:
    return {news.person_id: news.word for news in stage.claim(tag).news}


async def test_an_answer_and_a_promise_while_they_are_on_the_phone(stage: Any) -> None:
    tag = stage.pull()
    stage.done(submit, Submit(tag=tag, reference="R1"))
    async with page_of(stage, tag) as player:
        await player.press("y")
        assert "Kit Moor" in player.copied
        await player.press("p")
        await player.type("3 look for the Rose", "enter")
        assert "comes back on Thursday" in player.status
        assert "look for the Rose" in player.words
        await player.press("g")
        assert "Ada Fenn" in player.seen
    stage.later(days=3)
    assert [(item.claim.tag, item.why) for item in stage.today().decide] == [(tag, "follow_up")]


async def test_sold_to_somebody_and_both_are_told(stage: Any) -> None:
    tag = stage.pull()
    async with page_of(stage, tag) as player:
        await player.press("o", "enter")
        await player.type("larch", "enter")
        await player.press("enter")
        assert "Ada Fenn sold it to Bo Larch. Both are to be told." in player.words
        assert "its code was known before" in player.words
        await player.press("enter")
        assert stage.claim(tag).owner_id == stage.people["Ada"], "Enter alone changes nothing"
        await player.press("o", "enter")
        await player.type("larch", "enter")
        await player.press("enter", "down", "enter")
        assert "both are to be told" in player.status
        assert "Now for Bo Larch, sold; the earlier owner knew the code" in player.words
        assert news_for(stage, tag) == {stage.people["Ada"]: "owner", stage.people["Bo"]: "owner"}
        await player.press("u", "enter")
    assert stage.claim(tag).owner_id == stage.people["Ada"]
    assert news_for(stage, tag) == {stage.people["Ada"]: "pulled"}


async def test_given_and_never_known(stage: Any) -> None:
    tag = stage.pull()
    async with page_of(stage, tag, on_air=True) as player:
        await player.press("o", "down", "enter")
        await player.type("wolds", "enter")
        await player.press("down", "enter")
        assert "Fern gave it to Wolds. Both are to be told. u takes it back" in player.words
        await player.press("down", "enter")
        assert "Ada Fenn" not in player.seen
        assert "Cy Wold" not in player.seen.replace("Wolds", "")
    assert stage.claim(tag).owner_id == stage.people["Cy"]


async def test_set_right_and_made_the_houses_own(stage: Any) -> None:
    tag = stage.pull()
    async with page_of(stage, tag) as player:
        await player.press("o", "down", "down", "enter")
        await player.type("larch", "enter")
        await player.type("read wrongly", "enter")
        assert "now for Bo Larch" in player.status
        await player.press("o", "end", "enter")
        await player.type("unsold spot", "enter")
        assert "now for The Corner" in player.status
        await player.press("y")
        assert "there is nobody to answer" in player.status
    assert stage.claim(tag).owner_kind == "house"

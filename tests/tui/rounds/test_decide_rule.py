"""Offers that nobody answered, settled by wish or rule at the keyboard."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from breakdesk.desk.asking import Answer, answer
from breakdesk.desk.people import set_wish
from breakdesk.desk.submitting import Submit, submit
from breakdesk.desk.terms import Settle, settle


def offered(stage: Any, owner: str) -> str:
    """A claim whose maker offers another card, to be answered within three days."""
    tag: str = stage.pull(owner)
    stage.done(submit, Submit(tag=tag, reference=f"R-{tag}"))
    by = (stage.now + timedelta(days=3)).date()
    stage.done(answer, Answer(tags=[tag], word="offers", offer="The silver one", reply_by=by))
    return tag


async def test_the_wish_goes_before_the_rule_and_both_are_told(stage: Any) -> None:
    stage.done(settle, Settle(name="offer_unanswered", value="take"))
    ada, bo = offered(stage, "Ada"), offered(stage, "Bo")
    stage.done(set_wish, "Bo Larch", "wait")
    stage.later(days=4)
    async with stage.open() as player:
        await player.press("d", "r")
        assert "take the other card, as your rule says" in player.words
        assert "wait for the card that was promised, as they wished before" in player.words
        await player.press("enter")
        assert stage.claim(ada).offer_answer is None, "Enter alone changes nothing"
        await player.press("r", "down", "enter")
        assert "Answered by the rule" in player.status
        await player.press("r")
        assert "No offer is past its day without an answer" in player.status
    assert (stage.claim(ada).offer_answer, stage.claim(bo).offer_answer) == ("take", "wait")
    assert {item.why for item in stage.today().decide} == {"offer"}, "now to be passed on to the maker"
    assert {news.word for news in stage.claim(ada).news} == {"noted"}

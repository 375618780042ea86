"""Claims passed on, and offers that nobody answered."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

import pytest

from breakdesk.desk import asking, settling, submitting
from breakdesk.desk.retelling import story_of
from breakdesk.desk.telling import telling_for
from breakdesk.desk.transferring import Transfer, settle_unanswered, transfer, unanswered_offers
from breakdesk.desk.viewing import claim_view
from breakdesk.store import models
from tests.desk.conftest import World


def test_both_are_told_and_the_known_code_is_said(world: World) -> None:
    tag = world.pull("Ada")
    world.later(days=1)
    done = world.done(transfer(world.desk, Transfer(tag=tag, to="Bo Larch", how="sold", knew_code=True)))
    assert "submit it now" in done.warnings[0]
    assert world.news(tag) == {world.people["Ada"]: "owner", world.people["Bo"]: "owner"}
    assert "The owner before knew its code." in telling_for(world.desk, world.people["Bo"]).message.text
    assert "knew its code" not in telling_for(world.desk, world.people["Ada"]).message.text
    view = claim_view(world.desk, tag)
    assert view is not None
    assert "sold; the earlier owner knew the code" in story_of(world.desk, view.events)[-1].said


def test_an_unknown_code_is_not_said(world: World) -> None:
    tag = world.pull("Ada")
    assert (
        world.done(transfer(world.desk, Transfer(tag=tag, to="Bo Larch", how="given", knew_code=False))).warnings == ()
    )
    assert "code" not in telling_for(world.desk, world.people["Bo"]).message.text
    seen = world.pull("Ada", seen_on_camera=True)
    assert world.done(transfer(world.desk, Transfer(tag=seen, to="Bo Larch", how="given", knew_code=False))).warnings


@pytest.mark.parametrize(
    ("owner", "to", "how"),
    [
        ("Ada", "Ada Fenn", "sold"),
        ("Ada", "Nobody", "sold"),
        ("Ada", "Bo Larch", "lent"),
        ("house", "Bo Larch", "sold"),
    ],
)
def test_what_cannot_be_passed_on(world: World, owner: str, to: str, how: str) -> None:
    tag = world.pull(owner)
    world.refused(lambda: transfer(world.desk, Transfer(tag=tag, to=to, how=how, knew_code=False)))


@pytest.fixture
def offered(world: World) -> str:
    """A claim of Ada's with an offer to be answered by 9 March."""
    tag = world.pull("Ada")
    world.done(submitting.submit(world.desk, submitting.Submit(tag=tag, reference="R1")))
    offer = asking.Answer(tags=[tag], word="offers", offer="Another card", reply_by=date(2026, 3, 9))
    world.done(asking.answer(world.desk, offer))
    return tag


@pytest.mark.parametrize(
    ("term", "wish", "expected"),
    [("take", "", "take"), ("wait", "ask", "wait"), ("take", "wait", "wait"), ("decide", "take", "take")],
)
def test_nobody_answered_and_the_rule_says_so(
    world: World, offered: str, reach: Callable[..., int], term: str, wish: str, expected: str
) -> None:
    models.Term.create(name="offer_unanswered", value=term, recorded_at=world.now)
    reach("Ada", wish=wish)
    world.later(days=7)
    world.refused(lambda: settle_unanswered(world.desk))
    world.later(days=1)
    world.done(settle_unanswered(world.desk))
    claim = world.claim(offered)
    assert (claim.offer_answer, claim.offer_answered_on) == (expected, date(2026, 3, 10))
    assert "You did not answer by 9 March 2026" in telling_for(world.desk, world.people["Ada"]).message.text
    world.done(settling.pass_on_offer(world.desk, offered))
    world.refused(lambda: settle_unanswered(world.desk))


def test_without_a_rule_the_house_decides_each(world: World, offered: str) -> None:
    world.later(days=30)
    assert unanswered_offers(world.desk) == ()
    assert world.why(offered)
    world.refused(lambda: settle_unanswered(world.desk))


def test_what_an_offered_card_is_worth_is_told_in_the_participants_way(world: World, reach: Callable[..., int]) -> None:
    tag = world.pull("Ada")
    world.done(submitting.submit(world.desk, submitting.Submit(tag=tag, reference="R1")))
    wrong = asking.Answer(tags=[tag], word="offers", offer="The silver one", offer_value="about 40")
    assert "amount" in world.refused(lambda: asking.answer(world.desk, wrong)).what
    right = asking.Answer(tags=[tag], word="offers", offer="The silver one", offer_value="1240.50")
    world.done(asking.answer(world.desk, right))
    ada = world.people["Ada"]
    assert "The silver one (worth $1,240.50)" in telling_for(world.desk, ada).message.text
    reach("Ada", language="de")
    assert "The silver one (worth 1.240,50 $)" in telling_for(world.desk, ada).message.text
    view = claim_view(world.desk, tag)
    assert view is not None
    assert story_of(world.desk, view.events)[-1].said == "the maker offers a replacement, worth 1240.50 USD"
    assert "1240" not in telling_for(world.desk, ada, channel="public").message.text

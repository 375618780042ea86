"""The whole life of claims, by keyboard only: what the rounds do together, and that the desk holds after it."""

from __future__ import annotations

from breakdesk.desk.answering import person_view
from breakdesk.store import models

STEPS_FOR_ONE_CARD = 10


async def test_from_the_pull_to_the_participants_hands(stage):
    tag = stage.pull("Ada")
    async with stage.open() as player:
        await player.press("s", "enter")
        await player.type("AB12-CD34", "enter")
        await player.type("REF-1", "enter", "escape")
        stage.later(days=4)
        await player.press("a", "enter", "enter", "w", "enter", *["down"] * 3, "enter")
        await player.press("enter", "enter", "enter", "escape")
        await player.press("escape", "t", "y", "y", "escape")
        stage.later(days=10)
        await player.press("f6", "i")
        await player.type("moor", "enter", "enter", "enter")
        assert stage.claim(tag).state == "in_hand"
        await player.press("f2", "p", "enter", *["enter"] * STEPS_FOR_ONE_CARD, "enter")
        await player.type("RA123456785GB", "enter", "escape")
        stage.later(days=1)
        await player.press("t", "y", "y", "escape")
        stage.later(days=3)
        await player.press("f6", "d", "f2")
        assert "0  claims to submit" in player.seen
    claim = stage.claim(tag)
    assert (claim.state, claim.closed_how, claim.reference) == ("closed", "delivered", "REF-1")
    assert "RA123456785GB" in stage.do(person_view, stage.people["Ada"]).last_told_text
    today = stage.today()
    assert (today.submit, today.ask, today.tell, today.ship, today.decide) == ((), (), (), (), ())


async def test_one_that_fails_and_is_made_good(stage):
    tag = stage.pull("Bo")
    async with stage.open() as player:
        await player.press("s", "f", "enter", "enter", "escape")
        await player.press("d", "enter", "down", "down", "enter")
        await player.type("the code was used already", "enter")
        await player.press("enter", "enter")
        await player.type("30", "enter", "enter")
        await player.type("sorry", "enter", "escape")
        await player.press("t")
        stage.later(days=3)
        await player.press("escape", "t", "y", "y", "escape")
    claim = stage.claim(tag)
    assert (claim.state, claim.closed_how, claim.closed_amount) == ("closed", "refunded", 3000)
    assert claim.news == ()


async def test_a_refunded_one_that_then_arrives_is_the_houses(stage):
    from breakdesk.desk.settling import Close, close

    tag = stage.pull("Cy", code="AB12")
    async with stage.open() as player:
        await player.press("s", "enter")
        await player.type("REF-2", "enter", "escape")
        stage.done(close, Close(tag=tag, how="refunded", amount="12", fault="maker", reason="waited too long"))
        assert stage.claim(tag).owner_kind == "house"
        await player.press("f6", "i")
        await player.type("ref-2", "enter")
        assert "the card is the house's now" in player.words
        await player.press("enter", "enter")
        assert "It is the house's" in player.status
    assert stage.claim(tag).state == "in_hand"
    assert stage.today().ship == ()


async def test_forty_told_by_one_key(stage):
    def furnish(desk):
        from breakdesk.rules.names import folded

        with desk.database.atomic():
            for number in range(40):
                name = f"Person {number:03}"
                models.Participant.create(name=name, folded=folded(name), handle=f"@p{number:03}")

    stage.do(furnish)
    ids = stage.do(lambda _: {row.name: row.id for row in models.Participant.select()})
    for number in range(40):
        stage.people[f"P{number:03}"] = ids[f"Person {number:03}"]
        stage.pull(f"P{number:03}")
    stage.later(days=4)
    async with stage.open() as player:
        await player.press("t")
        assert "1 of 40" in player.seen
        for _ in range(41):
            await player.pilot.press("y")
        for _ in range(100):
            await player.settle()
            if "Nobody is left" in player.words:
                break
        assert "In this round: 40 done." in player.words
    assert stage.do(lambda _: models.Telling.select().count()) == 40

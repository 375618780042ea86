"""What participants want of messages, what they were told, and the public list."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from breakdesk.desk import answering, submitting, telling
from breakdesk.desk.arriving import InHand, in_hand
from breakdesk.desk.people import set_wish
from breakdesk.desk.preferences import Preferences, opt_out, prefer
from breakdesk.desk.public_list import posted, public_list
from breakdesk.desk.told import tell_again, tellings_of
from breakdesk.desk.undoing import undo
from breakdesk.store import models
from tests.desk.conftest import World


def settle(world: World, **terms: str) -> None:
    for name, value in terms.items():
        models.Term.create(name=name, value=value, recorded_at=world.now)


def test_preferences_are_kept_and_the_history_holds_no_address(world: World) -> None:
    wanted = Preferences(
        channel="email", fallback_channel="sms", language="pt-BR", zone="Asia/Tokyo", email="ada@mail.example",
        phone=" +81  3 5550 0100 ",
    )  # fmt: skip
    world.done(prefer(world.desk, "Ada Fenn", wanted))
    world.done(prefer(world.desk, "Ada Fenn", Preferences(phone="")))
    row = models.Participant.get_by_id(world.people["Ada"])
    assert (row.channel, row.fallback_channel, row.language, row.zone) == ("email", "sms", "pt-BR", "Asia/Tokyo")
    assert (models.Contact.get().email, models.Contact.get().phone) == ("ada@mail.example", "")
    bodies = " ".join(line.body for line in models.HistoryLine.select())
    assert "mail.example" not in bodies
    assert "5550" not in bodies


@pytest.mark.parametrize(
    "wanted",
    [
        Preferences(),
        Preferences(channel="pigeon"),
        Preferences(fallback_channel="public"),
        Preferences(language="xx-nowhere"),
        Preferences(zone="Nowhere/Else"),
        Preferences(email="ada@mail.example\r\nBcc: x@y.example"),
        Preferences(email="no address"),
        Preferences(phone="1" * 50),
        Preferences(phone="\x1b[31m"),
    ],
)
def test_what_cannot_be_is_refused(world: World, wanted: Preferences) -> None:
    world.refused(lambda: prefer(world.desk, "Ada Fenn", wanted))


def test_opting_out_and_in(world: World) -> None:
    world.done(opt_out(world.desk, "Ada Fenn", out=True))
    world.refused(lambda: opt_out(world.desk, "Ada Fenn", out=True))
    view = answering.person_view(world.desk, world.people["Ada"])
    assert view is not None
    assert view.opted_out
    world.pull("Ada")
    world.later(days=3)
    assert [item.person.name for item in world.today().tell] == ["Ada Fenn"]
    world.done(opt_out(world.desk, "Ada Fenn", out=False))


def test_a_standing_wish(world: World) -> None:
    world.done(set_wish(world.desk, "Ada Fenn", "take"))
    assert models.Participant.get_by_id(world.people["Ada"]).wish == "take"
    world.refused(lambda: set_wish(world.desk, "Ada Fenn", "perhaps"))


def test_when_did_i_last_hear_from_you(world: World) -> None:
    tag = world.pull("Ada")
    key = world.people["Ada"]
    told = telling.telling_for(world.desk, key)
    done = world.done(
        telling.mark_told(
            world.desk, key, told.claim_ids, told.message.channel, told.message.whole, told.message.templates
        )
    )
    view = answering.person_view(world.desk, key)
    assert view is not None
    assert (view.last_told_on, view.last_told_at) == (world.now.date(), world.now)
    assert (view.last_told_channel, view.last_told_text) == ("direct", told.message.whole)
    (past,) = tellings_of(world.desk, key)
    assert (past.tags, past.template, past.undone) == ((tag,), told.message.templates, False)
    assert told.message.templates
    assert told.message.whole.split("\n")[0] in answering.answer_for_claim(world.desk, key, tag)
    world.done(undo(world.desk, done.key))
    view = answering.person_view(world.desk, key)
    assert view is not None
    assert (view.last_told_on, view.last_told_text, view.last_told_channel) == (None, "", "")
    assert tellings_of(world.desk, key)[0].undone


def test_telling_again_keeps_the_same_words_and_never_swallows_news(world: World) -> None:
    tag = world.pull("Ada")
    key = world.people["Ada"]
    world.done(telling.mark_told(world.desk, key, [world.claim(tag).id], "direct", "We pulled it."))
    (first,) = tellings_of(world.desk, key)
    world.later(days=1)
    world.done(tell_again(world.desk, first.id, "email"))
    latest = tellings_of(world.desk, key)[0]
    assert (latest.text, latest.channel, latest.tags) == ("We pulled it.", "email", (tag,))
    world.done(submitting.submit(world.desk, submitting.Submit(tag=tag, reference="R1")))
    world.refused(lambda: tell_again(world.desk, first.id))
    assert world.news(tag) == {key: "submitted"}
    world.refused(lambda: tell_again(world.desk, 999))


def test_a_public_list_names_handles_and_tells_only_where_the_house_says_so(
    world: World, reach: Callable[..., int]
) -> None:
    reach("Ada", handle="@ada")
    reach("Bo", handle="Bo Larch", on_air_name="Larchy")
    reach("Cy", handle="@cy", opted_out=True)
    tags = {name: world.pull(name) for name in ("Ada", "Bo", "Cy")}
    world.done(submitting.submit(world.desk, submitting.Submit(tag=tags["Bo"], reference="R1")))
    shown = public_list(world.desk)
    assert "@ada" in shown.message.text
    assert "Larchy" in shown.message.text
    for hidden in ("Ada Fenn", "Bo Larch", "@cy", "R1"):
        assert hidden not in shown.message.text
    world.refused(lambda: posted(world.desk, shown))
    settle(world, public_list_tells="on")
    done = world.done(posted(world.desk, shown))
    assert [world.news(tags[name]) for name in ("Ada", "Bo")] == [{}, {}]
    assert world.news(tags["Cy"]) == {world.people["Cy"]: "pulled"}
    world.refused(lambda: posted(world.desk, shown))
    world.done(undo(world.desk, done.key))
    assert world.news(tags["Ada"]) == {world.people["Ada"]: "pulled"}


def test_urgent_news_is_never_told_by_a_public_list(world: World) -> None:
    settle(world, public_list_tells="on")
    tag, other = world.pull("Ada"), world.pull("Ada")
    world.done(submitting.submit(world.desk, submitting.Submit(tag=tag, reference="R1")))
    world.done(in_hand(world.desk, InHand(tag=tag)))
    world.done(posted(world.desk, public_list(world.desk)))
    assert world.news(tag) == {world.people["Ada"]: "in_hand"}
    assert world.news(other) == {}


def test_on_busy_days_routine_news_waits_for_the_weekly_day(world: World) -> None:
    settle(world, gather_routine_news="on", weekly_day="friday")
    world.pull("Ada")
    # The world begins on Monday 2 March 2026.
    world.later(days=3)
    assert world.today().tell == ()
    world.later(days=1)
    assert [item.due_on.isoformat() for item in world.today().tell] == ["2026-03-06"]
    world.pull("Bo")
    assert [item.person.name for item in world.today().tell] == ["Ada Fenn"]

"""The desk's days in a calendar: stable identities, what is done cancelled, nothing that a stream may not see."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from icalendar import Calendar as Parsed

from breakdesk.desk import asking, submitting
from breakdesk.desk.calendars import Calendar, write_calendar_file
from breakdesk.desk.makers import MarkMaker, mark_maker
from breakdesk.desk.people import promise
from breakdesk.desk.problems import Problem
from breakdesk.desk.telling import mark_told
from breakdesk.desk.undoing import undo
from breakdesk.store import models
from tests.desk.conftest import World


def events(world: World, path: Path) -> dict[str, Any]:
    """The events by the kind and key in their identity."""
    assert isinstance(write_calendar_file(world.desk, path), Calendar)
    found = Parsed.from_ical(path.read_bytes()).walk("VEVENT")
    return {str(event["uid"]).split("@")[0]: event for event in found}


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "desk.ics"


def test_deadlines_asks_and_tellings_stand_on_their_days(world: World, path: Path, reach: Callable[..., int]) -> None:
    reach("Ada", handle="@ada")
    tag = world.pull("Ada", code="SECRET-CODE-77")
    found = events(world, path)
    key = world.claim(tag).id
    # The world begins on Monday 2 March 2026; submit within 3 days, tell routine news within 3.
    assert found[f"submit-{key}"].decoded("dtstart").isoformat() == "2026-03-05"
    assert found[f"tell-{world.people['Ada']}"].decoded("dtstart").isoformat() == "2026-03-05"
    assert "by 23:59 in America/Chicago" in str(found[f"submit-{key}"]["description"])
    world.done(submitting.submit(world.desk, submitting.Submit(tag=tag, reference="REF-9")))
    content = path.read_bytes()
    found = events(world, path)
    assert [uid for uid in found if uid.startswith("ask-")]
    for hidden in (b"SECRET-CODE-77", b"REF-9", b"Ada Fenn"):
        assert hidden not in content + path.read_bytes()
    assert str(found[f"tell-{world.people['Ada']}"]["summary"]) == "Tell @ada"


def test_a_clipped_month_is_one_event_on_the_last_day(world: World, path: Path) -> None:
    models.Term.update(value="4").where(models.Term.name == "ask_after_months").execute()
    world.later(days=243)  # Saturday 31 October 2026
    tag = world.pull("house")
    world.done(submitting.submit(world.desk, submitting.Submit(tag=tag, reference="R1")))
    (ask,) = [event for uid, event in events(world, path).items() if uid.startswith("ask-")]
    assert ask.decoded("dtstart").isoformat() == "2027-02-28"


def test_writing_again_updates_and_cancels_instead_of_doubling(world: World, path: Path) -> None:
    tag = world.pull("Ada")
    key, ada = world.claim(tag).id, world.people["Ada"]
    first = events(world, path)
    again = events(world, path)
    assert set(first) == set(again) == {f"submit-{key}", f"tell-{ada}"}
    assert all(again[uid]["sequence"] > first[uid]["sequence"] for uid in first)
    assert all(str(again[uid]["uid"]) == str(first[uid]["uid"]) for uid in first)
    world.done(submitting.submit(world.desk, submitting.Submit(tag=tag, reference="R1")))
    world.done(mark_told(world.desk, ada, [key], "direct", "It is sent in."))
    later = events(world, path)
    assert (str(later[f"submit-{key}"]["status"]), str(later[f"submit-{key}"]["summary"])) == ("CANCELLED", "Done")
    assert later[f"submit-{key}"].decoded("dtstart") == first[f"submit-{key}"].decoded("dtstart")
    assert later[f"tell-{ada}"].decoded("dtstart") > first[f"tell-{ada}"].decoded("dtstart")
    assert str(later[f"tell-{ada}"]["status"]) == "CONFIRMED"
    assert f"submit-{key}" not in events(world, path)


def test_offers_have_their_days(world: World, path: Path) -> None:
    from datetime import date

    tag = world.pull("Ada")
    world.done(submitting.submit(world.desk, submitting.Submit(tag=tag, reference="R1")))
    offer = asking.Answer(tags=[tag], word="offers", offer="Another card", reply_by=date(2026, 3, 20))
    world.done(asking.answer(world.desk, offer))
    event = events(world, path)[f"offer-{world.claim(tag).id}"]
    assert event.decoded("dtstart") == date(2026, 3, 20)


def test_a_marked_maker_is_looked_at_again_and_its_asks_wait_for_that_day(world: World, path: Path) -> None:
    tag = world.pull("Ada")
    world.done(submitting.submit(world.desk, submitting.Submit(tag=tag, reference="R1")))
    day = (world.desk.clock.as_of() + timedelta(days=700)).date()
    maker = models.Maker.get_by_id(world.claim(tag).maker_id)
    request = MarkMaker(maker=maker.name, what="has closed, said Ada Fenn", review_on=day)
    marked = world.done(mark_maker(world.desk, request))
    found = events(world, path)
    review = found[f"review-{maker.id}"]
    assert (review.decoded("dtstart"), str(review["summary"])) == (day, f"Look again at {maker.name}")
    assert [event.decoded("dtstart") for uid, event in found.items() if uid.startswith("ask-")] == [day]
    assert b"Ada Fenn" not in path.read_bytes()
    world.done(undo(world.desk, marked.key))
    found = events(world, path)
    assert str(found[f"review-{maker.id}"]["status"]) == "CANCELLED"
    (ask,) = [event for uid, event in found.items() if uid.startswith("ask-") and str(event["status"]) == "CONFIRMED"]
    assert ask.decoded("dtstart") < day


def test_a_place_that_cannot_be_written_is_a_sentence(world: World, tmp_path: Path) -> None:
    assert isinstance(write_calendar_file(world.desk, tmp_path / "none" / "desk.ics"), Problem)
    assert models.Setting.get_or_none(models.Setting.name == "calendar") is None


def test_a_promise_to_somebody_stands_on_its_day_without_its_words(world: World, path: Path) -> None:
    world.done(promise(world.desk, "Ada Fenn", world.now.date() + timedelta(days=9), "Call about the Rose"))
    (entry,) = [event for uid, event in events(world, path).items() if uid.startswith("promised-")]
    assert entry.decoded("dtstart").isoformat() == "2026-03-11"
    assert b"Rose" not in path.read_bytes()
    assert b"Ada Fenn" not in path.read_bytes()


def test_a_desk_with_nothing_ahead_writes_no_calendar(world: World, path: Path) -> None:
    assert isinstance(write_calendar_file(world.desk, path), Problem)
    assert not path.exists()

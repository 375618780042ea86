"""Entry on air goes on while the line is down: kept on this machine, delivered once and in order."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

from engines import Server
from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.desk import entering, waiting
from breakdesk.desk.checking import verify
from breakdesk.desk.entering import Pull
from breakdesk.desk.problems import Done, Problem
from breakdesk.rules.entry import Reading
from breakdesk.rules.entry.reading import Field
from breakdesk.rules.money import Money
from breakdesk.rules.ownership import Owner
from breakdesk.store import local_queue, models
from tests.desk.conftest import World

WORDS = st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=8)
READINGS = st.builds(
    Reading,
    subjects=st.lists(WORDS, max_size=2).map(tuple).map(Field),
    serial=st.one_of(st.none(), st.integers(1, 999)).map(Field),
    expires_on=st.one_of(st.none(), st.dates(date(2020, 1, 1))).map(Field),
    value=st.one_of(st.none(), st.builds(Money, st.integers(0, 10**6), st.just("USD"))).map(Field),
    note=WORDS.map(Field),
    named=st.lists(st.integers(1, 9), max_size=2).map(tuple).map(Field),
)
OWNERS = st.one_of(st.none(), st.just(Owner.house()), st.just(Owner.several([2, 5])), st.just(Owner.person(3)))
PULLS = st.builds(
    Pull,
    break_id=st.one_of(st.none(), st.integers(1, 9)),
    reading=READINGS,
    owner=OWNERS,
    seen_on_camera=st.booleans(),
    pulled_at=st.datetimes(datetime(2020, 1, 1)).map(lambda at: at.replace(tzinfo=UTC)),  # noqa: DTZ001
)


@settings(max_examples=100, deadline=None)
@given(request=PULLS)
def test_what_is_kept_means_the_same_when_it_is_read(request: Pull) -> None:
    again = waiting._read(waiting._written(request))
    assert replace(again, reading=request.reading) == request
    assert again.reading.pull() == request.reading.pull()
    assert (again.reading.value, again.reading.note) == (request.reading.value, request.reading.note)


def entry(world: World, subject: str) -> Any:
    """A line that was read, for the house."""
    reading = Reading(subjects=Field((subject,)))
    return waiting.pull_or_keep(world.desk, Pull(break_id=None, reading=reading, owner=Owner.house()))


def subjects() -> list[str]:
    """The claims in the order in which they were written down."""
    return [row.subject for row in models.Claim.select().order_by(models.Claim.id)]


def test_entry_goes_on_and_comes_once_and_in_order(own_server: Server, far: World) -> None:
    entry(far, "Before")
    own_server.stop("fast")
    for name in ("One", "Two", "Three"):
        kept = entry(far, name)
        assert isinstance(kept, Done), kept
        assert kept.claims == ()
        assert "kept here" in kept.said
    assert waiting.waiting_count(far.desk) == 3
    assert local_queue.queue_path(far.desk.path).stat().st_mode & 0o077 == 0
    far.later(minutes=30)
    own_server.start()
    last = entry(far, "After")
    assert isinstance(last, Done)
    assert last.claims
    assert subjects() == ["Before", "One", "Two", "Three", "After"]
    assert waiting.deliver(far.desk) == waiting.Delivered()
    assert (
        models.Claim.get(models.Claim.subject == "One").pulled_at
        < models.Claim.get(models.Claim.subject == "After").pulled_at
    )
    assert list(verify(far.desk)) == []


def test_what_was_saved_without_an_answer_is_not_entered_twice(world: World) -> None:
    """The line dropped after the server saved it: the same entry waits, with the same key."""
    request = Pull(break_id=None, reading=Reading(subjects=Field(("Once",))), owner=Owner.house(), pulled_at=world.now)
    done = world.done(entering.pull(world.desk, request, 4711))
    assert done.claims
    local_queue.add(world.desk.path, 4711, waiting._written(request))
    assert waiting.deliver(world.desk).saved == 1
    assert subjects() == ["Once"]


def test_what_the_desk_refuses_is_kept_with_the_reason_and_holds_nothing_up(world: World) -> None:
    for key, break_id, name in ((1, 999, "No such break"), (2, None, "Fine")):
        request = Pull(break_id=break_id, reading=Reading(subjects=Field((name,))), owner=Owner.house())
        local_queue.add(world.desk.path, key, waiting._written(replace(request, pulled_at=world.now)))
    done = waiting.deliver(world.desk)
    assert done.saved == 1
    assert "That break is not in the desk" in done.refused[0]
    assert subjects() == ["Fine"]
    assert [bool(item.refused) for item in local_queue.waiting(world.desk.path)] == [True]
    assert waiting.waiting_count(world.desk) == 0


def test_a_code_is_never_kept_in_the_clear(own_server: Server, far: World) -> None:
    own_server.stop("fast")
    reading = Reading(subjects=Field(("One",)))
    request = Pull(break_id=None, reading=reading, owner=Owner.house(), code="KWMH4421")
    refused = waiting.pull_or_keep(far.desk, request)
    assert isinstance(refused, Problem)
    assert not local_queue.queue_path(far.desk.path).exists()
    own_server.start()


def test_in_a_desk_file_nothing_waits(tmp_path: Path) -> None:
    world = World(tmp_path)
    assert isinstance(entry(world, "One"), Done)
    assert not local_queue.queue_path(world.desk.path).exists()
    world.desk.close()

"""Undo and redo: what is taken back leaves no trace in the lists, the parcels, the messages and the codes."""

from __future__ import annotations

import ast
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from breakdesk.desk import (
    arriving,
    asking,
    codes,
    following,
    people,
    settling,
    shipping,
    submitting,
    telling,
    undoing,
    viewing,
)
from breakdesk.desk.action_words import ACTION_WORDS
from breakdesk.desk.checking import verify
from breakdesk.store import models


def state(world: Any) -> tuple[Any, ...]:
    """All that an undo must bring back."""
    people_rows = [(row.id, row.last_told_on, row.tell_due_on) for row in models.Participant.select()]
    asks = [(row.id, row.held, row.dropped, row.asked_on) for row in models.Ask.select()]
    parcels = [(row.id, row.state, row.shipped_on, row.ended_on) for row in models.Parcel.select()]
    tellings = [(row.id, bool(row.undone)) for row in models.Telling.select()]
    return viewing.today(world.desk).today, viewing.owed(world.desk), people_rows, asks, parcels, tellings


def submit(world: Any, tag: str) -> Any:
    return submitting.submit(world.desk, submitting.Submit(tag=tag, reference="R1"))


def arrive(world: Any, tag: str) -> Any:
    return arriving.in_hand(world.desk, arriving.InHand(tag=tag))


def split(world: Any, tag: str) -> Any:
    return arriving.in_hand(world.desk, arriving.InHand(tag=tag, still_owed="the rest"))


def ask(world: Any, tag: str) -> Any:
    return asking.ask(world.desk, [tag])


def ask_on_sunday(world: Any, tag: str) -> Any:
    world.later(6)
    return asking.ask(world.desk, [tag])


def send(world: Any, tag: str) -> Any:
    world.later(1)
    return asking.send_held(world.desk, models.Ask.get().id)


def drop(world: Any, tag: str) -> Any:
    return asking.drop_held(world.desk, models.Ask.get().id)


def offer(world: Any, tag: str) -> Any:
    return asking.answer(world.desk, asking.Answer(tags=[tag], word="offers"))


def tell(world: Any, tag: str) -> Any:
    return telling.mark_told(world.desk, world.people["Ada"], [world.claim(tag).id], "chat", "Hello.")


def pack(world: Any, tag: str) -> Any:
    return shipping.start_parcel(world.desk, [tag])


def ship(world: Any, tag: str) -> Any:
    return shipping.ship(world.desk, shipping.Ship(parcel_id=world.claim(tag).parcel_id, reason="x"))


def deliver(world: Any, tag: str) -> Any:
    return shipping.delivered(world.desk, world.claim(tag).parcel_id)


def lose(world: Any, tag: str) -> Any:
    return shipping.parcel_failed(world.desk, world.claim(tag).parcel_id, "lost")


def back(world: Any, tag: str) -> Any:
    return shipping.back_in_hand(world.desk, tag)


def refund(world: Any, tag: str) -> Any:
    return settling.close(world.desk, settling.Close(tag=tag, how="refunded", amount="5", fault="maker"))


def sell(world: Any, tag: str) -> Any:
    return settling.change_owner(world.desk, tag, "Bo Larch", "sold")


def void(world: Any, tag: str) -> Any:
    return settling.void(world.desk, tag, "typed twice")


def hold(world: Any, tag: str) -> Any:
    return following.hold(world.desk, tag, "disputed")


HISTORIES = (
    [submit], [submit, ask], [submit, ask_on_sunday], [submit, ask_on_sunday, send],
    [submit, ask_on_sunday, drop], [submit, offer], [submit, tell], [submit, arrive], [submit, split],
    [submit, arrive, pack], [submit, arrive, pack, ship], [submit, arrive, pack, ship, deliver],
    [submit, arrive, pack, ship, lose], [submit, arrive, pack, ship, lose, back], [submit, refund],
    [submit, arrive, refund], [submit, arrive, pack, refund], [submit, arrive, pack, sell], [submit, sell], [void],
    [hold],
)  # fmt: skip


@pytest.mark.parametrize("steps", HISTORIES, ids=lambda steps: "-".join(step.__name__ for step in steps))
def test_undo_redo_and_undo_again(world: Any, steps: list[Callable[[Any, str], Any]]) -> None:
    tag = world.pull(value=500)
    key = 0
    for step in steps:
        key = world.done(step(world, tag)).key
    after = state(world)
    undone = world.done(undoing.undo(world.desk, key))
    assert list(verify(world.desk)) == []
    taken_back = state(world)
    assert taken_back != after
    again = world.done(undoing.undo(world.desk, undone.key))
    assert "Done again" in again.said
    assert state(world) == after
    world.done(undoing.undo(world.desk, again.key))
    assert state(world) == taken_back


def test_the_step_can_be_taken_anew_after_its_undo(world: Any) -> None:
    tag = world.pull()
    for step in (submit, arrive, pack, ship, deliver):
        key = world.done(step(world, tag)).key
        if step is not pack:
            world.done(undoing.undo(world.desk, key))
            world.done(step(world, tag))
    assert world.claim(tag).closed_how == "delivered"


def test_a_packing_taken_back_leaves_no_parcel(world: Any) -> None:
    tag = world.pull()
    for step in (submit, arrive):
        world.done(step(world, tag))
    world.done(undoing.undo(world.desk, world.done(pack(world, tag)).key))
    world.refused(lambda: shipping.ship(world.desk, shipping.Ship(parcel_id=1, reason="x")))
    world.done(pack(world, tag))
    assert world.claim(tag).parcel_id == 2


def test_a_telling_taken_back_brings_the_news_and_the_last_telling_back(world: Any) -> None:
    tag = world.pull()
    ada = world.people["Ada"]
    world.done(tell(world, tag))
    first = models.Participant.get_by_id(ada).last_told_on
    world.later(2)
    world.done(submit(world, tag))
    key = world.done(tell(world, tag)).key
    assert world.news(tag) == {}
    world.done(undoing.undo(world.desk, key))
    assert world.news(tag) == {ada: "submitted"}
    assert models.Participant.get_by_id(ada).last_told_on == first


def test_refused_where_something_later_stands_on_it(world: Any) -> None:
    tag = world.pull()
    first = world.done(submit(world, tag))
    second = world.done(arrive(world, tag))
    assert "after that" in world.refused(lambda: undoing.undo(world.desk, first.key)).what
    world.done(undoing.undo(world.desk, second.key))
    undone = world.done(undoing.undo(world.desk, first.key))
    assert "undone already" in world.refused(lambda: undoing.undo(world.desk, first.key)).what
    world.done(hold(world, tag))
    assert "after that" in world.refused(lambda: undoing.undo(world.desk, undone.key)).what


def test_what_cannot_be_undone_says_so(world: Any) -> None:
    tag = world.pull()
    code = world.done(codes.enter_code(world.desk, tag, "KWMH4421")).key
    address = world.done(people.confirm_address(world.desk, "Ada Fenn", "1 Mill Lane")).key
    for key in (code, address, 987):
        world.refused(lambda key=key: undoing.undo(world.desk, key))


def test_a_code_is_free_once_its_pull_is_undone_and_taken_again_by_the_redo(world: Any) -> None:
    first = world.pull(code="KWMH4421")
    pulled = models.Action.select().order_by(models.Action.number.desc()).first().key
    undone = world.done(undoing.undo(world.desk, pulled))
    assert world.claim(first).state == "void"
    second = world.pull(code="KWMH4421")
    assert second in world.refused(lambda: undoing.undo(world.desk, undone.key)).what
    voided = world.done(void(world, second))
    world.done(undoing.undo(world.desk, undone.key))
    assert world.claim(first).state == "pulled"
    assert first in world.refused(lambda: undoing.undo(world.desk, voided.key)).what


def test_an_undone_held_message_is_not_sent(world: Any) -> None:
    tag = world.pull()
    world.done(submit(world, tag))
    key = world.done(ask_on_sunday(world, tag)).key
    world.done(undoing.undo(world.desk, key))
    world.later(1)
    world.refused(lambda: asking.send_held(world.desk, models.Ask.get().id))


@pytest.mark.parametrize("name", ["submit", "tell"])
def test_putting_aside_is_undone_once(world: Any, name: str) -> None:
    tag = world.pull()
    world.later(3)
    item = world.claim(tag).id if name == "submit" else world.people["Ada"]
    listed = getattr(world.today(), name)
    parked = world.done(following.park(world.desk, name, item, world.now.date() + timedelta(days=5), "later"))
    assert getattr(world.today(), name) == ()
    undone = world.done(undoing.undo(world.desk, parked.key))
    assert getattr(world.today(), name) == listed
    world.refused(lambda: undoing.undo(world.desk, parked.key))
    again = world.done(undoing.undo(world.desk, undone.key))
    assert getattr(world.today(), name) == ()
    world.done(undoing.undo(world.desk, again.key))
    assert getattr(world.today(), name) == listed


def test_the_last_actions_are_named_by_their_claims(world: Any) -> None:
    tag = world.pull()
    world.done(submit(world, tag))
    latest = undoing.last_actions(5)[0]
    assert (latest.kind, latest.names) == ("submit", tag)


def test_what_cannot_be_taken_back_is_not_offered_and_does_not_stand_in_the_way(world: Any) -> None:
    tag = world.pull()
    world.done(submit(world, tag))
    world.done(arrive(world, tag))
    world.done(pack(world, tag))
    world.done(shipping.tick(world.desk, models.ParcelStep.select().first().id))
    assert "tick" not in [item.kind for item in undoing.last_actions()]
    taken_back = []
    for _ in range(4):
        key = undoing.latest_that_counts(undoing.last_actions())
        assert key is not None
        world.done(undoing.undo(world.desk, key))
        taken_back.append(models.Action.get_by_id(key).kind)
    assert taken_back == ["pack", "in hand", "submit", "pull"]
    assert undoing.latest_that_counts(undoing.last_actions()) is None


def kinds_of_actions() -> set[str]:
    """Every kind that the package's own code gives an action."""
    kinds = set()
    for path in (Path(undoing.__file__).parent).rglob("*.py"):
        names: dict[str, str] = {}
        tree = ast.parse(path.read_text(encoding="utf-8"))
        for node in ast.walk(tree):
            match node:
                case ast.Assign(targets=[ast.Name(name)], value=ast.Constant(str(value))):
                    names[name] = value
                case ast.Assign(targets=[ast.Tuple(targets)], value=ast.Tuple(values)):
                    pairs = zip(targets, values, strict=True)
                    names |= {
                        t.id: v.value for t, v in pairs if isinstance(t, ast.Name) and isinstance(v, ast.Constant)
                    }
        for node in ast.walk(tree):
            match node:
                case ast.Call(func=ast.Name("act"), args=[_, ast.Constant(str(kind)), *_]):
                    kinds.add(kind)
                case ast.Call(func=ast.Name("act"), args=[_, ast.Name(name), *_]):
                    kinds.add(names[name])
    return kinds


def test_every_kind_of_action_has_its_plain_words() -> None:
    kinds = kinds_of_actions()
    assert {"pull", "mark maker", "combine", "start desk"} <= kinds
    assert kinds <= set(ACTION_WORDS)


def test_what_was_done_is_listed_and_taken_back_in_plain_words(world: Any) -> None:
    tag = world.pull()
    world.done(settling.change_owner(world.desk, tag, "house", "bought from Ada"))
    latest = undoing.last_actions(1)[0]
    assert (latest.kind, latest.words) == ("change owner", "new owner")
    assert world.done(undoing.undo(world.desk, latest.key)).said == f"Undone: new owner {tag}."

"""What every action shares: done once by its key, nothing of a refused one, never before the claim's last event."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

import pytest

from breakdesk.desk import arriving, asking, entering, following, people, settling, shipping, submitting, telling
from breakdesk.desk.checking import counted
from breakdesk.desk.problems import Done, Result
from breakdesk.rules.entry import Reading
from breakdesk.store import models

Do = Callable[[Any, str, int | None], Result]

ON_SUBMITTED: dict[str, Do] = {
    "ask": lambda desk, tag, key: asking.ask(desk, [tag], "Any news?", key),
    "answer": lambda desk, tag, key: asking.answer(desk, asking.Answer(tags=[tag], word="being_made"), key),
    "offer": lambda desk, tag, key: asking.answer(desk, asking.Answer(tags=[tag], word="offers", offer="blue"), key),
    "refuse": lambda desk, tag, key: settling.refuse_claim(desk, tag, "sold out", key),
    "in hand": lambda desk, tag, key: arriving.in_hand(desk, arriving.InHand(tag=tag, condition="mint"), key),
    "part in hand": lambda desk, tag, key: arriving.in_hand(
        desk, arriving.InHand(tag=tag, still_owed="the other"), key
    ),
    "refund": lambda desk, tag, key: settling.close(
        desk, settling.Close(tag=tag, how="refunded", amount="5", fault="maker", reason="late"), key
    ),
    "terms": lambda desk, tag, key: settling.close(desk, settling.Close(tag=tag, how="terms", fault="nobody"), key),
    "void": lambda desk, tag, key: settling.void(desk, tag, "typed twice", key),
    "owner": lambda desk, tag, key: settling.change_owner(desk, tag, "Bo Larch", "sold", key),
    "note": lambda desk, tag, key: following.note(desk, tag, "A word.", is_news=True, key=key),
    "hold": lambda desk, tag, key: following.hold(desk, tag, "disputed", key),
    "promise": lambda desk, tag, key: following.follow_up(desk, tag, date(2026, 9, 1), "call", key),
    "seen": lambda desk, tag, key: submitting.seen_on_camera(desk, tag, 75, key),
    "maker": lambda desk, tag, key: submitting.move_to_maker(desk, tag, "Rising Press", key),
}
ON_PULLED: dict[str, Do] = {
    "submit": lambda desk, tag, key: submitting.submit(
        desk, submitting.Submit(tag=tag, reference="R1", code="KWMH4421", account="main"), key
    ),
    "fail": lambda desk, tag, key: submitting.submission_failed(desk, tag, "invalid", "typed it twice", key),
    "given": lambda desk, tag, key: settling.close(desk, settling.Close(tag=tag, how="given"), key),
}


def prepared(world: Any, name: str) -> tuple[str, Do]:
    """A claim to which the action may happen, some days after the pull."""
    tag = world.pull()
    world.later(1)
    if name in ON_SUBMITTED:
        world.done(submitting.submit(world.desk, submitting.Submit(tag=tag)))
        world.later(1)
    return tag, {**ON_SUBMITTED, **ON_PULLED}[name]


@pytest.mark.parametrize("name", [*ON_SUBMITTED, *ON_PULLED])
class TestEveryAction:
    def test_twice_by_its_key_is_once(self, world: Any, name: str) -> None:
        tag, do = prepared(world, name)
        first = world.done(do(world.desk, tag, 4321))
        before = counted(world.desk), models.FreeText.select().count(), world.claim(tag)
        again = world.done(do(world.desk, tag, 4321))
        assert (counted(world.desk), models.FreeText.select().count(), world.claim(tag)) == before
        assert (first.key, again.key, again.claims) == (4321, 4321, ())

    def test_not_before_the_claims_last_event(self, world: Any, name: str) -> None:
        """ "On an action: when it happened, not before the claim's last event." """
        tag, do = prepared(world, name)
        earlier = world.on(world.now - timedelta(days=2))
        problem = world.refused(lambda: do(earlier, tag, None))
        assert tag in problem.sentence
        assert "last event" in problem.sentence
        assert isinstance(do(world.on(world.now - timedelta(days=1)), tag, None), Done)

    def test_a_claim_that_is_not_there(self, world: Any, name: str) -> None:
        problem = world.refused(lambda: {**ON_SUBMITTED, **ON_PULLED}[name](world.desk, "NOBODY", None))
        assert "NOBODY" in problem.what
        assert problem.remedy

    def test_a_void_claim_takes_no_step(self, world: Any, name: str) -> None:
        tag, do = prepared(world, name)
        world.done(settling.void(world.desk, tag, "typed twice"))
        result = do(world.desk, tag, None)
        if name in ("note", "hold", "seen", "maker"):
            assert isinstance(result, Done)
        else:
            world.refused(lambda: result)
        assert world.claim(tag).state == "void"


@pytest.mark.parametrize(
    ("do", "said"),
    [
        (lambda d, t: submitting.submission_failed(d, t, "eaten"), "outcomes"),
        (lambda d, t: submitting.try_again(d, t), "has failed"),
        (lambda d, t: submitting.choose_for_expired(d, t, "hope"), "choice"),
        (lambda d, t: submitting.choose_for_expired(d, t, "try"), "had not expired"),
        (lambda d, t: submitting.move_to_maker(d, t, "Nobody Press"), "No maker"),
        (lambda d, t: asking.ask(d, []), "No claim"),
        (lambda d, t: asking.ask(d, [t]), "not yet submitted"),
        (lambda d, t: asking.answer(d, asking.Answer(tags=[], word="no_news")), "No claim"),
        (lambda d, t: asking.answer(d, asking.Answer(tags=[t], word="perhaps")), "answers"),
        (lambda d, t: asking.answer(d, asking.Answer(tags=[t], word="no_news", days=0)), "no time to wait"),
        (lambda d, t: asking.send_held(d, 99), "not held"),
        (lambda d, t: asking.drop_held(d, 99), "not held"),
        (lambda d, t: settling.close(d, settling.Close(tag=t, how="eaten")), "not a way"),
        (lambda d, t: settling.close(d, settling.Close(tag=t, how="delivered")), "cannot be closed as delivered"),
        (lambda d, t: settling.close(d, settling.Close(tag=t, how="kept")), "participant's"),
        (lambda d, t: settling.close(d, settling.Close(tag=t, how="refunded")), "whose fault"),
        (lambda d, t: settling.close(d, settling.Close(tag=t, how="refunded", fault="maker", amount="-5")), "negative"),
        (lambda d, t: settling.void(d, t, " "), "reason"),
        (lambda d, t: settling.answer_offer(d, t, "take"), "cannot be answered for"),
        (lambda d, t: settling.answer_offer(d, t, "perhaps"), "not an answer"),
        (lambda d, t: settling.pass_on_offer(d, t), "cannot be passed on"),
        (lambda d, t: settling.change_owner(d, t, "Nobody"), "No participant"),
        (lambda d, t: settling.change_owner(d, t, "Ada Fenn", "again"), "already"),
        (lambda d, t: settling.change_owner(d, t, "Bo Larch"), "has an owner"),
        (lambda d, t: arriving.in_hand(d, arriving.InHand(tag=t, still_owed="the rest")), "never submitted"),
        (lambda d, t: shipping.start_parcel(d, []), "No claim"),
        (lambda d, t: shipping.start_parcel(d, [t]), "nothing here"),
        (lambda d, t: shipping.ship(d, shipping.Ship(parcel_id=9)), "no parcel"),
        (lambda d, t: shipping.delivered(d, 9), "no parcel"),
        (lambda d, t: shipping.parcel_failed(d, 9, "eaten"), "not something"),
        (lambda d, t: shipping.back_in_hand(d, t), "not shipped"),
        (lambda d, t: shipping.tick(d, 9), "gone"),
        (lambda d, t: following.follow_up(d, t, date(2026, 1, 1)), "past"),
        (lambda d, t: following.followed_up(d, t), "Nothing was promised"),
        (lambda d, t: following.note(d, t, " "), "empty"),
        (lambda d, t: following.hold(d, t, ""), "reason"),
        (lambda d, t: following.release(d, t), "not on hold"),
        (lambda d, t: following.hold_person(d, "Ada Fenn", on=True), "reason"),
        (lambda d, t: following.hold_person(d, "Ada Fenn", on=False), "not on hold"),
        (lambda d, t: following.park(d, "lunch", 1, date(2026, 9, 1), "x"), "not a round"),
        (lambda d, t: following.park(d, "ask", 1, date(2026, 3, 2), "x"), "not later"),
        (lambda d, t: following.park(d, "ask", 1, date(2026, 9, 1), ""), "reason"),
        (lambda d, t: people.confirm_address(d, "Ada Fenn"), "no address"),
        (lambda d, t: people.confirm_address(d, "Nobody", "1 Mill Lane"), "No participant"),
        (lambda d, t: people.promise(d, "Ada Fenn", date(2026, 1, 1), "x"), "past"),
        (lambda d, t: people.promise(d, "Ada Fenn", date(2026, 9, 1), " "), "promised"),
        (lambda d, t: people.kept_promise(d, 9), "settled"),
        (lambda d, t: people.set_wish(d, "Ada Fenn", "fly"), "not a wish"),
        (lambda d, t: people.add_person(d, people.NewPerson(name=" ")), "name"),
        (lambda d, t: people.add_person(d, people.NewPerson(name="ADA FENN")), "already"),
        (lambda d, t: telling.mark_told(d, 999, [1], "chat", "x"), "not in the desk"),
        (lambda d, t: telling.mark_told(d, 1, [], "chat", "x"), "nothing to tell"),
        (lambda d, t: entering.pull(d, entering.Pull(break_id=None, reading=Reading())), "names no card"),
    ],
)  # fmt: skip
def test_refusals_say_what_is_wrong_and_save_nothing(world: Any, do: Callable[..., Result], said: str) -> None:
    tag = world.pull()
    problem = world.refused(lambda: do(world.desk, tag))
    assert said in problem.sentence


def test_who_when_and_where_stand_with_every_action(world: Any) -> None:
    tag = world.pull()
    world.later(1)
    done = world.done(following.note(world.on(world.now - timedelta(hours=3)), tag, "A word."))
    row = models.Action.get_by_id(done.key)
    assert (row.who, row.kind, row.number, row.recorded_at) == ("T", "note", done.number, world.now)
    assert row.day == date(2026, 3, 3)
    text = models.FreeText.get_by_id(world.desk.database.execute_sql("SELECT max(id) FROM free_text").fetchone()[0])
    assert text.text == "A word."


def test_the_history_holds_no_words_codes_or_names(world: Any) -> None:
    tag = world.pull(code="KWMH4421")
    world.done(following.note(world.desk, tag, "Ada has a new phone"))
    world.done(people.confirm_address(world.desk, "Ada Fenn", "1 Mill Lane", "US"))
    told = " ".join(row.body for row in models.HistoryLine.select())
    assert not any(word in told for word in ("KWMH", "phone", "Mill", "Fenn"))


@pytest.mark.about_files
def test_the_file_holds_no_code(world: Any) -> None:
    world.pull(code="KWMH4421")
    world.done(people.confirm_address(world.desk, "Ada Fenn", "1 Mill Lane", "US"))
    world.desk.database.execute_sql("PRAGMA wal_checkpoint(TRUNCATE)")
    whole = b"".join(path.read_bytes() for path in world.desk.path.parent.iterdir() if path.is_file())
    assert b"KWMH4421" not in whole
    assert b"Mill Lane" in whole


@pytest.mark.parametrize(
    ("how", "amount", "warned"),
    [
        ("refunded", "", True),
        ("credited", " ", True),
        ("bought_out", "", True),
        ("refunded", "5", False),
        ("replaced", "", False),
        ("terms", "", False),
    ],
)
def test_an_end_by_money_without_an_amount_is_allowed_and_warned_of(
    world: Any, how: str, amount: str, warned: bool
) -> None:
    tag = world.pull()
    world.done(submitting.submit(world.desk, submitting.Submit(tag=tag)))
    request = settling.Close(tag=tag, how=how, amount=amount, fault="maker")
    warnings = world.done(settling.close(world.desk, request)).warnings
    assert any("No amount was named" in warning for warning in warnings) is warned

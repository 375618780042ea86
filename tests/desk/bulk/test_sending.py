"""Sending by a real mail server on this machine: what it takes is told, once, and nothing else is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from email import message_from_bytes, policy
from typing import Any

import pytest

from breakdesk.desk import sending, under_way
from breakdesk.desk.desk import Desk
from breakdesk.desk.problems import Problem
from breakdesk.desk.undoing import undo
from breakdesk.files.mail_settings import MailSettings
from breakdesk.store import history, models
from tests.desk.bulk.conftest import Inbox
from tests.desk.conftest import World

NAMES = ("Ada", "Bo", "Cy")


@pytest.fixture
def everybody(world: World, reach: Callable[..., int]) -> list[int]:
    """Three participants who are written to by e-mail, each with a card just pulled."""
    keys = []
    for name in NAMES:
        keys.append(reach(name, email=f"{name.lower()}@mail.example", channel="email"))
        world.pull(name)
    return keys


def send(world: World, settings: MailSettings, keys: list[int], **more: Any) -> sending.Sent:
    sent = sending.send_all(_caller(world.desk), settings, keys, pause=lambda _seconds: None, **more)
    assert isinstance(sent, sending.Sent), sent
    return sent


def _caller(desk: Desk) -> sending.Caller:
    return lambda do, *given: do(desk, *given)


def told(world: World) -> list[int]:
    return [row.participant_id for row in models.Telling.select().where(models.Telling.undone == False)]  # noqa: E712


def test_what_the_server_takes_is_told_word_for_word(
    world: World, settings: MailSettings, inbox: Inbox, everybody: list[int]
) -> None:
    sent = send(world, settings, everybody)
    assert (len(sent.keys), sent.not_sent, sent.left, sent.stopped) == (3, (), 0, "")
    assert told(world) == everybody
    for (sender, to, content), key, row in zip(inbox.taken, everybody, models.Telling.select(), strict=True):
        mail = message_from_bytes(content, policy=policy.default)
        said = f"Subject: {mail['Subject']}\n\n{mail.get_content().strip()}".replace("\r\n", "\n")
        assert (sender, row.participant_id, row.channel) == ("desk@corner.example", key, "email")
        assert str(mail["To"]).endswith(f"<{to}>")
        assert said == history.text_of(row.text_id)
        assert row.template
        assert mail["X-Unsent"] is None
        assert mail["Message-ID"]
    assert under_way.under_way(world.desk) == ()
    assert send(world, settings, everybody).keys == ()
    assert len(inbox.taken) == 3


def test_each_telling_is_undone_by_its_own_action(world: World, settings: MailSettings, everybody: list[int]) -> None:
    sent = send(world, settings, everybody)
    world.done(undo(world.desk, sent.keys[1]))
    assert told(world) == [everybody[0], everybody[2]]


def test_a_refused_address_stops_nobody_else(
    world: World, settings: MailSettings, inbox: Inbox, everybody: list[int]
) -> None:
    inbox.refused["bo@mail.example"] = "550 no such mailbox"
    sent = send(world, settings, everybody)
    assert told(world) == [everybody[0], everybody[2]]
    assert [item.person_id for item in sent.not_sent] == [everybody[1]]
    assert "550 no such mailbox" in sent.not_sent[0].why
    assert under_way.under_way(world.desk) == ()


def test_a_text_that_is_refused_is_not_told(
    world: World, settings: MailSettings, inbox: Inbox, everybody: list[int]
) -> None:
    inbox.answers["ada@mail.example"] = "554 not this text"
    send(world, settings, everybody)
    assert told(world) == everybody[1:]


def test_a_server_that_wants_no_more_is_left_alone_until_the_next_try(
    world: World, settings: MailSettings, inbox: Inbox, everybody: list[int]
) -> None:
    inbox.answers["bo@mail.example"] = "451 too many messages"
    sent = send(world, settings, everybody)
    assert told(world) == everybody[:1]
    assert sent.left == 2
    assert "451 too many messages" in sent.stopped
    del inbox.answers["bo@mail.example"]
    assert len(send(world, settings, everybody).keys) == 2
    assert [to for _, to, _ in inbox.taken] == ["ada@mail.example", "bo@mail.example", "cy@mail.example"]


def test_a_line_that_breaks_leaves_a_doubt_that_only_a_person_settles(
    world: World, settings: MailSettings, inbox: Inbox, everybody: list[int]
) -> None:
    inbox.breaks_after.add("bo@mail.example")
    sent = send(world, settings, everybody)
    assert "Bo Larch" in sent.stopped
    assert told(world) == everybody[:1]
    inbox.breaks_after.clear()
    again = send(world, settings, everybody)
    assert [item.person_id for item in again.not_sent] == [everybody[0], everybody[1]]
    assert told(world) == [everybody[0], everybody[2]]
    (doubt,) = under_way.under_way(world.desk)
    assert (doubt.person_id, doubt.name) == (everybody[1], "Bo Larch")
    world.done(under_way.settle_under_way(world.desk, everybody[1], arrived=True))
    assert sorted(told(world)) == everybody
    assert len([to for _, to, _ in inbox.taken if to == "bo@mail.example"]) == 1
    assert world.news(world.claims((2,))[0].tag) == {}


def test_what_did_not_arrive_can_be_sent_again(
    world: World, settings: MailSettings, inbox: Inbox, everybody: list[int]
) -> None:
    inbox.breaks_after.add("ada@mail.example")
    send(world, settings, everybody)
    inbox.breaks_after.clear()
    world.done(under_way.settle_under_way(world.desk, everybody[0], arrived=False))
    assert len(send(world, settings, everybody).keys) == 3
    world.refused(lambda: under_way.settle_under_way(world.desk, everybody[0], arrived=True))


def test_a_program_that_dies_between_server_and_record_tells_nobody_twice(
    world: World, settings: MailSettings, inbox: Inbox, everybody: list[int], monkeypatch: pytest.MonkeyPatch
) -> None:
    class Died(Exception):  # noqa: N818 - the end of a program, no error
        pass

    def die(*_: object) -> None:
        raise Died

    with monkeypatch.context() as patched:
        patched.setattr(sending, "record_sent", die)
        with pytest.raises(Died):
            send(world, settings, everybody)
    assert [to for _, to, _ in inbox.taken] == ["ada@mail.example"]
    send(world, settings, everybody)
    assert [to for _, to, _ in inbox.taken] == ["ada@mail.example", "bo@mail.example", "cy@mail.example"]
    assert [item.person_id for item in under_way.under_way(world.desk)] == everybody[:1]
    world.done(under_way.settle_under_way(world.desk, everybody[0], arrived=True))


def test_who_is_not_to_be_written_to_is_not(
    world: World, settings: MailSettings, inbox: Inbox, everybody: list[int], reach: Callable[..., int]
) -> None:
    reach("Ada", opted_out=True)
    reach("Bo", email="bo@mail.example\r\nBcc: all@mail.example")
    sent = send(world, settings, [*everybody, 999])
    assert [to for _, to, _ in inbox.taken] == ["cy@mail.example"]
    assert [item.person_id for item in sent.not_sent] == [everybody[0], everybody[1], 999]


def test_a_dry_run_signs_in_and_sends_nothing(
    world: World, settings: MailSettings, inbox: Inbox, everybody: list[int]
) -> None:
    sent = send(world, settings, everybody, dry_run=True)
    assert (sent.tried, sent.keys, inbox.taken, told(world)) == (3, (), [], [])


def test_it_can_be_stopped_between_two_messages(world: World, settings: MailSettings, everybody: list[int]) -> None:
    seen: list[tuple[int, int]] = []

    def stop_after_one(done: int, total: int) -> bool:
        seen.append((done, total))
        return done < 1

    sent = send(world, settings, everybody, progress=stop_after_one)
    assert (told(world), sent.left, seen) == (everybody[:1], 2, [(0, 3), (1, 3)])


def test_it_keeps_to_the_rate(world: World, settings: MailSettings, everybody: list[int]) -> None:
    pauses: list[float] = []
    slow = replace(settings, per_minute=30)
    sending.send_all(_caller(world.desk), slow, everybody, pause=pauses.append)
    assert pauses == [2.0, 2.0, 2.0]


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"password": "wrong"}, "did not accept user and password"),
        ({"certificates": ""}, "cannot be trusted"),
        ({"security": "tls"}, "cannot be reached"),
        ({"port": 1}, "cannot be reached"),
    ],
)
def test_a_server_that_cannot_be_used_is_a_sentence_and_nothing_was_sent(
    world: World, settings: MailSettings, inbox: Inbox, everybody: list[int], change: dict[str, Any], said: str
) -> None:
    problem = sending.send_all(_caller(world.desk), replace(settings, **change), everybody)
    assert isinstance(problem, Problem)
    assert said in problem.sentence
    assert (inbox.taken, told(world), under_way.under_way(world.desk)) == ([], [], ())


def test_quiet_hours_are_those_of_the_participant(
    world: World, settings: MailSettings, everybody: list[int], reach: Callable[..., int]
) -> None:
    # 17:00 in UTC is 11:00 for the house in Chicago and 02:00 of the next day in Tokyo.
    models.Term.create(name="quiet_email", value="21:00-08:00", recorded_at=world.now)
    reach("Bo", zone="Asia/Tokyo")
    sent = send(world, settings, everybody)
    assert [item.person_id for item in sent.not_sent] == [everybody[1]]
    assert sent.not_sent[0].why == "it is 02:00 where they are, quiet until 08:00"
    assert len(send(world, settings, everybody, although_quiet=True).keys) == 1

"""Messages to makers by the house's own mail server and into files: an ask only once one was taken, and only once."""

from __future__ import annotations

from email import message_from_bytes, policy
from pathlib import Path

import pytest

from breakdesk.desk import asking, submitting
from breakdesk.desk.ask_files import Sender, WrittenAsks, write_asks
from breakdesk.desk.ask_mail import in_doubt, send_ask, settle_ask
from breakdesk.desk.checking import verify
from breakdesk.desk.problems import Problem, Result
from breakdesk.files.mail_settings import MailSettings
from breakdesk.store import models
from tests.desk.bulk.conftest import Inbox
from tests.desk.conftest import World


@pytest.fixture
def due(world: World) -> list[str]:
    """Two claims with one maker in Chicago whose office is open, one with a maker in Tokyo whose office is closed."""
    tags = [world.pull("Ada"), world.pull("Bo"), world.pull("Cy", maker="Rising Press")]
    for number, tag in enumerate(tags):
        world.done(submitting.submit(world.desk, submitting.Submit(tag=tag, reference=f"REF-{number}")))
    for maker, contact in (("Tern Cards", "desk@tern.example"), ("Rising Press", "desk@rising.example")):
        models.Maker.update(contact=contact).where(models.Maker.name == maker).execute()
    world.later(days=1)
    return tags


def send(world: World, settings: MailSettings, tags: list[str], held_id: int | None = None) -> Result:
    return send_ask(lambda do, *given: do(world.desk, *given), settings, tags, held_id)


def asked(world: World, tags: list[str]) -> list[bool]:
    return [world.claim(tag).last_asked_on is not None for tag in tags]


def test_a_message_that_the_server_took_is_an_ask(
    world: World, settings: MailSettings, inbox: Inbox, due: list[str]
) -> None:
    done = world.done(send(world, settings, due[:2]))
    assert done.said == "Tern Cards was asked about 2 claims."
    ((_, to, content),) = inbox.taken
    mail = message_from_bytes(content, policy=policy.default)
    assert to == "desk@tern.example"
    assert mail["X-Unsent"] is None
    assert all(f"REF-{number}" in mail.get_content() for number in (0, 1))
    assert asked(world, due) == [True, True, False]
    assert isinstance(send(world, settings, due[:2]), Problem), "rationed as ever"
    assert len(inbox.taken) == 1
    assert list(verify(world.desk)) == []


def test_while_the_office_is_closed_it_is_held_and_sent_later_as_it_was(
    world: World, settings: MailSettings, inbox: Inbox, due: list[str]
) -> None:
    done = world.done(send(world, settings, due[2:]))
    assert "The message is held until it opens" in done.said
    assert (inbox.taken, world.claim(due[2]).ask_held) == ([], True)
    held = models.Ask.get(models.Ask.held == True)  # noqa: E712
    assert "still closed" in send(world, settings, [], int(held.id)).what  # type: ignore[union-attr]
    world.later(hours=9)
    world.done(send(world, settings, [], int(held.id)))
    ((_, to, content),) = inbox.taken
    assert (to, b"REF-2" in content) == ("desk@rising.example", True)
    assert asked(world, due) == [False, False, True]


def test_a_refusal_is_no_ask(world: World, settings: MailSettings, inbox: Inbox, due: list[str]) -> None:
    inbox.answers["desk@tern.example"] = "550 no such desk"
    problem = send(world, settings, due[:2])
    assert isinstance(problem, Problem)
    assert "550 no such desk" in problem.what
    assert (asked(world, due), in_doubt(world.desk)) == ([False, False, False], ())


@pytest.mark.parametrize("arrived", [True, False])
def test_a_broken_line_is_settled_by_a_person_before_it_is_sent_again(
    world: World, settings: MailSettings, inbox: Inbox, due: list[str], arrived: bool
) -> None:
    inbox.breaks_after.add("desk@tern.example")
    assert "Look whether it arrived" in send(world, settings, due[:2]).sentence  # type: ignore[union-attr]
    inbox.breaks_after.clear()
    assert "Look, and say so first." in send(world, settings, due[:1]).sentence  # type: ignore[union-attr]
    (doubt,) = in_doubt(world.desk)
    day = world.now.date()
    # Settled at night, when the office is closed: it left while it was open.
    world.later(hours=12)
    world.done(settle_ask(world.desk, doubt, arrived=arrived))
    assert in_doubt(world.desk) == ()
    assert asked(world, due) == [arrived, arrived, False]
    assert world.claim(due[0]).last_asked_on == (day if arrived else None)
    assert list(verify(world.desk)) == []


def test_nothing_is_sent_without_an_address(world: World, settings: MailSettings, inbox: Inbox, due: list[str]) -> None:
    models.Maker.update(contact="by its page").execute()
    problem = send(world, settings, due[:2])
    assert isinstance(problem, Problem)
    assert problem.what == "No e-mail address is noted for Tern Cards."
    assert inbox.taken == []


@pytest.mark.parametrize("form", ["eml", "txt"])
def test_files_hold_what_would_be_sent_and_are_no_ask(world: World, due: list[str], tmp_path: Path, form: str) -> None:
    about = [[world.claim(tag) for tag in due[:2]], [world.claim(due[2])]]
    sender = Sender(address="desk@corner.example")
    written = write_asks(world.desk, about, tmp_path / "asks", form, sender)  # type: ignore[arg-type]
    assert written == WrittenAsks((f"01-Tern-Cards.{form}", f"02-Rising-Press.{form}"), ())
    content = (tmp_path / "asks" / f"01-Tern-Cards.{form}").read_bytes()
    assert b"REF-0" in content
    assert (b"X-Unsent: 1" in content) == (form == "eml")
    assert asked(world, due) == [False, False, False]
    assert isinstance(write_asks(world.desk, about, tmp_path / "asks", "txt", sender), Problem)
    world.done(asking.ask(world.desk, due[:2], "as written"))


@pytest.mark.parametrize("form", ["eml", "txt"])
def test_hostile_names_stay_text_in_the_bytes(world: World, tmp_path: Path, form: str) -> None:
    hostile = "=cmd \x1b[31m\u202e<b>\r\nBcc: all@mail.example ../{{ house }}"
    models.Maker.update(name=hostile, contact="desk@tern.example").where(models.Maker.name == "Tern Cards").execute()
    tag = world.pull("Ada", subject=hostile)
    world.done(submitting.submit(world.desk, submitting.Submit(tag=tag, reference="REF-0")))
    world.later(days=1)
    sender = Sender(address="desk@corner.example", name=hostile)
    written = write_asks(world.desk, [[world.claim(tag)]], tmp_path / "asks", form, sender)  # type: ignore[arg-type]
    assert isinstance(written, WrittenAsks)
    (path,) = (tmp_path / "asks").iterdir()
    content = path.read_bytes()
    assert b"\x1b" not in content
    assert "\u202e".encode() not in content
    assert path.name.isascii()
    assert b"{{ house }}" in content.replace(b"=\r\n", b"")
    if form == "eml":
        mail = message_from_bytes(content, policy=policy.default)
        assert mail["Bcc"] is None
        assert b"\n" not in content.replace(b"\r\n", b"")

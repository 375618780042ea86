"""Sends messages by the house's mail server: each one that the server takes is one telling, and none is told twice.

Before a message goes out it is written down as under way; once the server took it, the same transaction records the
telling and strikes that note. A note that is left over means that nobody knows whether the message arrived: it is never
sent again by itself, a person looks and says so.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from email.message import EmailMessage
from typing import Any, Protocol

from breakdesk.desk.bulk import NOTHING_TO_SAY, Wanted, choose
from breakdesk.desk.desk import Desk
from breakdesk.desk.problems import Problem
from breakdesk.desk.telling import telling_for
from breakdesk.desk.under_way import Ready, note_of, note_under_way, record_sent, strike_note
from breakdesk.desk.ways import ways_to
from breakdesk.files.mail_server import MailServer, connect
from breakdesk.files.mail_settings import MailSettings
from breakdesk.files.messages.channels import EMAIL, Message
from breakdesk.files.messages.eml import Envelope, MailProblem, mail_address, mail_message
from breakdesk.store import history, models

Progress = Callable[[int, int], bool]
"""Told how many are done and of how many; returns False to stop."""


class Caller(Protocol):
    """Runs a function with the desk on the thread that owns it, and gives what it returns."""

    def __call__(self, do: Callable[..., Any], *given: Any) -> Any: ...


@dataclass(frozen=True, slots=True)
class NotSent:
    """A participant who was not written to, and why."""

    person_id: int
    name: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Sent:
    """How it went. `keys` are the tellings' actions, each of which can be undone; `stopped` why it ended early."""

    keys: tuple[int, ...] = ()
    not_sent: tuple[NotSent, ...] = ()
    left: int = 0
    stopped: str = ""
    dry_run: bool = False
    tried: int = 0
    """In a dry run: how many would have been sent."""


@dataclass(frozen=True, slots=True, kw_only=True)
class How:
    """What is done on purpose: to who was told today and has heard everything, and to whose quiet hours are now."""

    again: bool = False
    although_quiet: bool = False


def send_all(
    call: Caller,
    settings: MailSettings,
    person_ids: Sequence[int],
    *,
    again: bool = False,
    although_quiet: bool = False,
    dry_run: bool = False,
    progress: Progress = lambda _done, _of: True,
    pause: Callable[[float], None] = time.sleep,
) -> Sent | Problem:
    """Sends to each participant in turn, no faster than the settings allow; call it again to go on where it stopped.

    Whose quiet hours are now is left for later, unless `although_quiet`. A dry run composes every message, opens the
    connection and signs in, and sends nothing.
    """
    server = connect(settings)
    if isinstance(server, MailProblem):
        return Problem(server.sentence)
    wanted = How(again=again, although_quiet=although_quiet)
    sending = _Sending(call, settings, server, pause, wanted, dry_run=dry_run)
    try:
        return sending.run(person_ids, progress)
    finally:
        sending.server.close()


class _Sending:
    def __init__(
        self,
        call: Caller,
        settings: MailSettings,
        server: MailServer,
        pause: Callable[[float], None],
        how: How,
        *,
        dry_run: bool,
    ) -> None:
        self._call = call
        self._settings = settings
        self.server = server
        self._pause = pause
        self._how = how
        self._dry_run = dry_run
        self._not_sent: list[NotSent] = []
        self._keys: list[int] = []
        self._tried = 0

    def run(self, person_ids: Sequence[int], progress: Progress) -> Sent:
        stopped, done = "", 0
        for person_id in person_ids:
            if not progress(done, len(person_ids)):
                stopped = "Stopped by you."
                break
            stopped = self._one(person_id)
            if stopped:
                break
            done += 1
        else:
            progress(done, len(person_ids))
        return Sent(
            keys=tuple(self._keys),
            not_sent=tuple(self._not_sent),
            left=len(person_ids) - done,
            stopped=stopped,
            dry_run=self._dry_run,
            tried=self._tried,
        )

    def _one(self, person_id: int) -> str:
        """Sends one message; why nothing further can be sent, or an empty text."""
        ready = self._call(make_ready, person_id, self._settings, self._how)
        if isinstance(ready, NotSent):
            self._not_sent.append(ready)
            return ""
        self._tried += 1
        if self._dry_run:
            return ""
        problem = self._call(note_under_way, ready)
        if problem is not None:
            return str(problem.sentence)
        outcome = self.server.hand_over(ready.mail, ready.to_address)
        if outcome.how == "unknown":
            return (
                f"The line to the mail server broke ({outcome.said}) while the message to {ready.name} was on its way. "
                "Look whether it arrived, and say so, before it is sent again."
            )
        result = self._call(record_sent, ready) if outcome.how == "taken" else self._call(strike_note, ready)
        if isinstance(result, Problem):
            return result.sentence
        if outcome.how == "taken":
            self._keys.append(ready.key)
            self._pause(60 / self._settings.per_minute)
            return ""
        self._not_sent.append(NotSent(person_id, ready.name, f"the mail server said: {outcome.said}"))
        return f"The mail server wants no more now: {outcome.said}." if outcome.how == "stopped" else ""


def make_ready(desk: Desk, person_id: int, settings: MailSettings, how: How | None = None) -> Ready | NotSent:
    """The message to one participant as it is true now; why there is none where they are not to be written to."""
    row = models.Participant.get_or_none(models.Participant.id == person_id)
    if row is None:
        return NotSent(person_id, "A participant", "is not in the desk any more")
    if note_of(person_id) is not None:
        return NotSent(person_id, row.name, "nobody knows whether the last message arrived; look, and say so")
    how = how or How()
    chosen = choose(desk, Wanted(person_ids=(person_id,)), again=how.again)
    if not chosen or chosen[0].left_out:
        return NotSent(person_id, row.name, chosen[0].left_out if chosen else NOTHING_TO_SAY)
    way = ways_to(desk, [person_id], EMAIL)[person_id]
    if way.quiet and not how.although_quiet:
        return NotSent(person_id, row.name, way.quiet)
    telling = telling_for(desk, person_id, channel=EMAIL)
    key = history.new_key()
    mail = mail_to_send(telling.message, envelope_of(desk, settings, row.name, way.email), key)
    address = mail_address(row.name, way.email)
    if isinstance(mail, MailProblem) or isinstance(address, MailProblem):
        return NotSent(person_id, row.name, way.note or "the e-mail cannot be written")
    return Ready(
        person_id=person_id,
        name=row.name,
        claim_ids=telling.claim_ids,
        to_address=address.addr_spec,
        mail=mail,
        text=telling.message.whole,
        template=telling.message.templates,
        key=key,
        number=telling.number,
    )


def mail_to_send(message: Message, envelope: Envelope, key: int) -> EmailMessage | MailProblem:
    """A message that leaves now: no draft, and with an identity of its own, by which a server can drop a copy."""
    mail = mail_message(message, envelope)
    if isinstance(mail, EmailMessage):
        del mail["X-Unsent"]
        mail["Message-ID"] = f"<{key:x}.breakdesk@{envelope.from_address.rpartition('@')[2]}>"
    return mail


def envelope_of(desk: Desk, settings: MailSettings, name: str, email: str) -> Envelope:
    """From the house to a participant, written now."""
    return Envelope(
        from_name=settings.sender_name,
        from_address=settings.sender,
        to_name=name,
        to_address=email,
        written_at=desk.clock.as_of(),
    )

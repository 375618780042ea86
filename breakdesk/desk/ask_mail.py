"""Sends a message to a maker by the house's mail server: an ask once the server took it, held outside office hours.

As with messages to participants it is written down as under way first. A note that is left over means that nobody
knows whether the message arrived: it is never sent again by itself, a person looks and says so.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from email.message import EmailMessage
from typing import Any

from breakdesk.desk.ask_messages import HeldAsk, ask_draft, held_asks
from breakdesk.desk.asking import ask, refusal_to_ask, send_held
from breakdesk.desk.desk import Desk
from breakdesk.desk.problems import Done, Problem, Result
from breakdesk.desk.sending import Caller, envelope_of, mail_to_send
from breakdesk.files.mail_server import connect
from breakdesk.files.mail_settings import MailSettings
from breakdesk.files.messages.eml import MailProblem, mail_address
from breakdesk.rules.parties import NO_MAKER
from breakdesk.store import history, models
from breakdesk.store.claims import claim_with_tag, claims_with_keys
from breakdesk.store.parties import read_makers

UNDER_WAY = "asking "


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadyAsk:
    """One message to a maker, ready to be handed over; `held_id` where it was held before."""

    maker: str
    to_address: str
    mail: EmailMessage
    tags: tuple[str, ...]
    text: str
    held_id: int | None
    key: int

    @property
    def note(self) -> str:
        """The name under which it is written down as under way: by its claims, of which no other message may be."""
        return f"{UNDER_WAY}{min(self.tags)}"


def send_ask(call: Caller, settings: MailSettings, tags: Sequence[str], held_id: int | None = None) -> Result:
    """Sends a message about some claims, or a held one; while the office is closed a new message is held instead."""
    ready = call(make_ask_ready, settings, tuple(tags), held_id)
    if not isinstance(ready, ReadyAsk):
        return ready  # type: ignore[no-any-return]
    server = connect(settings)
    if isinstance(server, MailProblem):
        return Problem(server.sentence)
    try:
        problem = call(_note, ready)
        if problem is not None:
            return problem  # type: ignore[no-any-return]
        outcome = server.hand_over(ready.mail, ready.to_address)
    finally:
        server.close()
    if outcome.how == "unknown":
        return Problem(
            f"The line to the mail server broke ({outcome.said}) while the message to {ready.maker} was on its way.",
            "Look whether it arrived, and say so, before it is sent again.",
        )
    if outcome.how == "taken":
        result: Result = call(_record, ready.note)
        return result
    call(_strike, ready.note)
    return Problem(f"The mail server said: {outcome.said}.", "The message was not sent.")


def make_ask_ready(desk: Desk, settings: MailSettings, tags: Sequence[str], held_id: int | None) -> ReadyAsk | Result:
    """The message as it is true now; what was done, or stands in the way, where none is to be sent now."""
    held = None if held_id is None else next((item for item in held_asks(desk) if item.id == held_id), None)
    if held_id is not None and held is None:
        return Problem("That message is not held any more.", "Look at the ask round again.")
    keys = [key for key in map(claim_with_tag, tags) if key is not None]
    claims = held.claims if held is not None else tuple(claims_with_keys(desk.database, keys))
    problem = refusal_to_ask(desk, [claim.tag for claim in claims], held=held is not None)
    if problem is not None:
        return problem
    draft = ask_draft(desk, claims)
    if in_doubt(desk, [claim.tag for claim in claims]):
        return Problem(f"Nobody knows whether the last message to {draft.maker} arrived.", "Look, and say so first.")
    text = held.text if held is not None else draft.message.text
    maker_id = claims[0].maker_id
    maker = NO_MAKER if maker_id is None else read_makers(desk.database, [maker_id])[maker_id]
    if "@" not in draft.contact:
        return Problem(
            f"No e-mail address is noted for {draft.maker or 'the maker'}.", "Note it as the maker's contact."
        )
    address = mail_address(draft.maker, draft.contact)
    if isinstance(address, MailProblem):
        return Problem(address.sentence)
    if not maker.is_open(desk.clock.as_of()):
        return ask(desk, [claim.tag for claim in draft.claims], text) if held is None else _still_closed(held)
    key = history.new_key()
    envelope = envelope_of(desk, settings, draft.maker, draft.contact)
    mail = mail_to_send(replace(draft.message, parts=(text,)), envelope, key)
    if isinstance(mail, MailProblem):
        return Problem(mail.sentence)
    named = tuple(claim.tag for claim in (claims if held is not None else draft.claims))
    return ReadyAsk(
        maker=draft.maker, to_address=address.addr_spec, mail=mail, tags=named, text=text, held_id=held_id, key=key
    )


def _still_closed(held: HeldAsk) -> Problem:
    return Problem(f"The office of {held.maker or 'the maker'} is still closed.", "The message waits until it opens.")


def _note(desk: Desk, ready: ReadyAsk) -> Problem | None:
    note = {
        "tags": list(ready.tags),
        "text": ready.text,
        "held": ready.held_id,
        "key": ready.key,
        "maker": ready.maker,
        "at": desk.clock.as_of().isoformat(),
    }
    with desk.database.atomic():
        if _read(ready.note) is not None:
            return Problem(f"Another program is writing to {ready.maker} now.", "Let it finish first.")
        models.Setting.insert(name=ready.note, value=json.dumps(note)).execute()
    return None


def _read(name: str) -> dict[str, Any] | None:
    row = models.Setting.get_or_none(models.Setting.name == name)
    return None if row is None else dict(json.loads(row.value))


def _strike(desk: Desk, name: str) -> None:
    with desk.database.atomic():
        models.Setting.delete().where(models.Setting.name == name).execute()


def _record(desk: Desk, name: str) -> Result:
    """The ask is recorded once, however often this is tried: by the key under which it was written down."""
    note = _read(name)
    if note is None:
        return Problem("No message to that maker is in doubt.")
    # It left while the office was open, whatever the hour is at which somebody says so.
    then = desk.at(replace(desk.clock, named=datetime.fromisoformat(note["at"])))
    result = (
        send_held(then, note["held"], note["key"])
        if note["held"] is not None
        else ask(then, note["tags"], note["text"], note["key"])
    )
    if isinstance(result, Done):
        _strike(desk, name)
    return result


@dataclass(frozen=True, slots=True, kw_only=True)
class AskInDoubt:
    """A message to a maker of which nobody knows whether it arrived."""

    name: str
    maker: str
    tags: tuple[str, ...]


def in_doubt(desk: Desk, tags: Sequence[str] | None = None) -> tuple[AskInDoubt, ...]:
    """Messages to makers of which nobody knows whether they arrived; where `tags` are given, those about these."""
    table = models.Setting
    found = []
    for row in table.select().where(table.name.startswith(UNDER_WAY)).order_by(table.name):
        note = json.loads(row.value)
        if tags is None or set(tags) & set(note["tags"]):
            found.append(AskInDoubt(name=row.name, maker=note["maker"], tags=tuple(note["tags"])))
    return tuple(found)


def settle_ask(desk: Desk, doubt: AskInDoubt, *, arrived: bool) -> Result:
    """A person looked: the message arrived and is an ask, or it did not and may be sent again."""
    if arrived:
        return _record(desk, doubt.name)
    _strike(desk, doubt.name)
    return Done(f"The message to {doubt.maker} did not arrive; it can be sent again.")

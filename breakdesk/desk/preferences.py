"""What a participant wants of messages: by which way, in which language, where they are reached, or none at all."""

from __future__ import annotations

from dataclasses import dataclass

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.finding import person_named
from breakdesk.desk.problems import Result, refuse
from breakdesk.files.messages.channels import KINDS, PUBLIC
from breakdesk.files.messages.eml import MailProblem, mail_address
from breakdesk.files.messages.language import known_language
from breakdesk.rules.zones import UnknownZone, zone
from breakdesk.store import models

LONGEST_PHONE = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class Preferences:
    """What is to change; None leaves a value as it is, an empty text empties it."""

    channel: str | None = None
    fallback_channel: str | None = None
    language: str | None = None
    zone: str | None = None
    email: str | None = None
    phone: str | None = None


def prefer(desk: Desk, name: str, wanted: Preferences, key: int | None = None) -> Result:
    """Changes how a participant is written to. The history says what changed, never to which address or number."""

    def work(a: Act) -> str:
        person = person_named(name)
        own = _checked(wanted)
        contact = _contact(person.name, wanted)
        if not own and not contact:
            raise refuse("Nothing was named that could change.")
        if own:
            table = models.Participant
            table.update(**own, version=table.version + 1).where(table.id == person.id).execute()
        if contact:
            known = models.Contact.get_or_none(models.Contact.participant == person.id)
            if known is None:
                models.Contact.insert(participant=person.id, **contact).execute()
            else:
                models.Contact.update(**contact).where(models.Contact.participant == person.id).execute()
        said: dict[str, object] = {column: own[column] for column in _CHANNELS if column in own}
        said["columns"] = sorted([*own, *contact])
        a.line("participant", int(person.id), "preferences", said)
        return f"{person.name}: {', '.join(_WORDS[column] for column in [*own, *contact])} changed."

    return act(desk, "preferences", work, key)


_CHANNELS = ("channel", "fallback_channel")
_WORDS = {
    "channel": "channel",
    "fallback_channel": "second channel",
    "language": "language",
    "zone": "time zone",
    "email": "e-mail address",
    "phone": "phone number",
}


def _checked(wanted: Preferences) -> dict[str, str]:
    own: dict[str, str] = {}
    for column in _CHANNELS:
        channel = getattr(wanted, column)
        if channel is None:
            continue
        if channel not in ("", *KINDS) or (channel == PUBLIC and column == "fallback_channel"):
            raise refuse(f"{channel} is not a channel here.", f"Use one of: {', '.join(KINDS[:3])}.")
        own[column] = channel
    if wanted.language is not None:
        text = wanted.language.strip()
        if text and known_language(text) == "en" and not text.casefold().startswith("en"):
            raise refuse(f"{text} is not a language that is known.", "Write it as de, fr or pt-BR (BCP 47).")
        own["language"] = text
    if wanted.zone is not None:
        try:
            own["zone"] = zone(wanted.zone.strip()).key if wanted.zone.strip() else ""
        except UnknownZone as error:
            raise refuse(str(error)) from error
    return own


def _contact(name: str, wanted: Preferences) -> dict[str, str]:
    contact: dict[str, str] = {}
    if wanted.email is not None:
        email = wanted.email.strip()
        problem = mail_address(name, email) if email else None
        if isinstance(problem, MailProblem):
            raise refuse(problem.sentence)
        contact["email"] = email
    if wanted.phone is not None:
        phone = " ".join(wanted.phone.split())
        if len(phone) > LONGEST_PHONE or not phone.isprintable():
            raise refuse("That is no phone number.", "Write it with its country, like +1 555 0100.")
        contact["phone"] = phone
    return contact


def opt_out(desk: Desk, name: str, *, out: bool, key: int | None = None) -> Result:
    """A participant wants no messages, or wants them again. Who opted out is still listed, never written to."""

    def work(a: Act) -> str:
        person = person_named(name)
        if bool(person.opted_out) == out:
            raise refuse(f"{person.name} {'opted out already' if out else 'gets messages already'}.")
        table = models.Participant
        table.update(opted_out=out, version=table.version + 1).where(table.id == person.id).execute()
        a.line("participant", int(person.id), "opted out" if out else "opted in")
        if out:
            return f"{person.name} is not written to any more; what is owed to them stays listed."
        return f"{person.name} is written to again."

    return act(desk, "opt out" if out else "opt in", work, key)

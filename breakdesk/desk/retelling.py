"""A claim's history in plain words, line by line, for the screen and the command line alike."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from breakdesk.desk.asking import ANSWER_WORDS
from breakdesk.desk.desk import Desk
from breakdesk.desk.settling import CLOSING_WORDS, amount_words
from breakdesk.desk.submitting import FAILURE_WORDS
from breakdesk.rules.claim import HOUSE_PARTY, Event
from breakdesk.rules.parcel_states import state_said
from breakdesk.rules.story import standing
from breakdesk.store import history, models

Body = Mapping[str, Any]

CORRECTED_WORDS = {
    "maker_id": "the maker",
    "account_id": "the account",
    "numbered_to": "the print run",
    "expires_on": "the expiry",
    "currency": "",
    "product_id": "the product",
    "card_id": "which card of the checklist it is",
    "video_seconds": "the place in the video",
}
CHOICE_WORDS = {"try": "to be tried although expired", "ask": "the maker is to be asked first"}
OFFER_WORDS = {"take": "takes it", "wait": "waits for the card that was promised", "decline": "declines it"}


SECRETS = frozenset({"reference", "inbound_tracking", "tracking"})
"""Keys of event bodies that a stream may not see."""


@dataclass(frozen=True, slots=True)
class StoryLine:
    """One thing that happened: its day, what it was, what was written with it, and who recorded it.

    `said_on_air` is the same without references, tracking numbers and full names; `taken_back` tells that it was
    undone later.
    """

    day: date
    said: str
    said_on_air: str
    text: str
    who: str
    taken_back: bool


def story_of(desk: Desk, events: Iterable[Event]) -> tuple[StoryLine, ...]:
    """The events in order of the day on which they happened."""
    events = list(events)
    counting = {id(event) for event in standing(events)}
    names, on_air_names = _names_in(events)
    table = models.Action
    actions = sorted({event.action for event in events})
    who = {row.key: row.who for row in table.select(table.key, table.who).where(table.key.in_(actions or [0]))}
    lines = [
        StoryLine(
            event.day,
            said_of(event, names),
            said_of(_without_secrets(event), on_air_names),
            history.text_of(event.body.get("text")) or "",
            who.get(event.action, ""),
            id(event) not in counting,
        )
        for event in events
    ]
    return tuple(sorted(lines, key=lambda line: line.day))


def _without_secrets(event: Event) -> Event:
    body = {name: value for name, value in event.body.items() if name not in SECRETS}
    return Event(event.kind, event.day, body, event.action)


def _names_in(events: Iterable[Event]) -> tuple[dict[int, str], dict[int, str]]:
    keys: set[int] = set()
    for event in events:
        keys |= {event.body.get("owner_id") or 0, event.body.get("person") or 0, *event.body.get("candidates", ())}
    table = models.Participant
    rows = list(table.select().where(table.id.in_(sorted(keys))))
    on_air = {row.id: row.on_air_name or row.handle or "a participant" for row in rows}
    return {row.id: row.name for row in rows}, on_air


def said_of(event: Event, names: Mapping[int, str]) -> str:
    """One event in plain words; `names` are the participants it may name, by key."""
    words = _WORDS.get(event.kind)
    if words is None:
        return event.kind.replace("_", " ")
    return words(event.body, names) if callable(words) else words


def _owner(body: Body, names: Mapping[int, str]) -> str:
    kind = body.get("owner_kind", "house")
    if kind == "person":
        return names.get(body.get("owner_id") or 0, "a participant")
    if kind == "several":
        known = {**names, HOUSE_PARTY: "the house"}
        return " or ".join(known.get(key, "a participant") for key in body.get("candidates", ()))
    return "nobody yet" if kind == "nobody" else "the house"


def _new_owner(body: Body, names: Mapping[int, str]) -> str:
    how = f", {body['transfer']}" if body.get("transfer") else ""
    knew = "; the earlier owner knew the code" if body.get("knew_code") else ""
    return f"now for {_owner(body, names)}{how}{knew}"


def _pulled(body: Body, names: Mapping[int, str]) -> str:
    part = ", as a part of another claim" if body.get("split_from") else ""
    return f"pulled for {_owner(body, names)}{part}"


def _chosen(body: Body, names: Mapping[int, str]) -> str:
    return CHOICE_WORDS[body["choice"]]


def _submit_failed(body: Body, names: Mapping[int, str]) -> str:
    return f"submitting failed: {FAILURE_WORDS[body['how']]}"


def _submitted(body: Body, names: Mapping[int, str]) -> str:
    reference = f" as {body['reference']}" if body.get("reference") else ""
    to = ", to be sent to the participant" if body.get("ship_to") == "participant" else ""
    return f"submitted to the maker{reference}{to}"


def _corrected(body: Body, names: Mapping[int, str]) -> str:
    shown = [CORRECTED_WORDS.get(name, name.replace("_", " ")) for name in body if not name.startswith("text")]
    return f"corrected: {', '.join(word for word in shown if word)}"


def _answered(body: Body, names: Mapping[int, str]) -> str:
    said = f"the maker answered: {ANSWER_WORDS.get(body['answer'], body['answer'])}"
    return f"{said}, inbound tracking {body['inbound_tracking']}" if body.get("inbound_tracking") else said


def _offered(body: Body, names: Mapping[int, str]) -> str:
    reply = f", reply by {body['reply_by']}" if body.get("reply_by") else ""
    worth = f", worth {amount_words(body['value'], body['currency'])}" if body.get("value") is not None else ""
    return f"the maker offers a replacement{worth}{reply}"


def _in_hand(body: Body, names: Mapping[int, str]) -> str:
    if body.get("again"):
        return "in hand again"
    serial = f", serial {body['serial']}" if body.get("serial") is not None else ""
    promised = "" if body.get("as_promised", 1) else ", not as promised"
    return f"in hand{serial}{promised}"


def _shipped(body: Body, names: Mapping[int, str]) -> str:
    tracking = _by_tracking(body)
    steps = f", with {body['open_steps']} steps left open" if body.get("open_steps") else ""
    return f"shipped{tracking}{steps}"


def _by_tracking(body: Body) -> str:
    return f", tracking {body['tracking']}" if body.get("tracking") else ""


def _closed(body: Body, names: Mapping[int, str]) -> str:
    amount = amount_words(body.get("amount"), body.get("currency"))
    fault = f", fault: {body['fault']}" if body.get("fault") else ""
    return " ".join(part for part in (CLOSING_WORDS.get(body["how"], body["how"]), amount) if part) + fault


def _told(body: Body, names: Mapping[int, str]) -> str:
    since = ", but not the latest news" if body.get("news_since") else ""
    return f"told {names.get(body.get('person') or 0, 'the participant')}{since}"


_WORDS: Mapping[str, str | Callable[[Body, Mapping[int, str]], str]] = {
    "pulled": _pulled,
    "corrected": _corrected,
    "chosen": _chosen,
    "submitted": _submitted,
    "submit_failed": _submit_failed,
    "try_again": "to be submitted again",
    "ask_held": "a message to the maker is held until the office opens",
    "ask_dropped": "the held message was dropped",
    "asked": "asked the maker",
    "answered": _answered,
    "looked": "looked up with the maker",
    "offered": _offered,
    "offer_answered": lambda body, names: f"about the offer: {OFFER_WORDS.get(body['answer'], body['answer'])}",
    "offer_passed_on": "the answer was given to the maker",
    "refused": "refused by the maker",
    "in_hand": _in_hand,
    "packed": lambda body, names: f"packed in parcel {body.get('parcel')}",
    "shipped": _shipped,
    "lost": lambda body, names: f"the parcel {state_said(body['how'])}",
    "closed": _closed,
    "owner": _new_owner,
    "told": _told,
    "same_person": "the participant's two records are one, or two again",
    "noted": "noted",
    "seen": "the code was seen on camera",
    "follow_up": lambda body, names: f"to be followed up on {body['on']}",
    "followed_up": "followed up",
    "held": "put on hold",
    "released": "released",
    "code_entered": "the code was entered",
    "delay_notice": "a notice of delay was given",
    "split": "split: a part waits on as a claim of its own",
    "photo": lambda body, names: (
        f"a photo was kept: {body.get('what', '')}".rstrip(": ")
        + ("; its packing step was ticked" if body.get("steps") else "")
    ),
    "evidence": lambda body, names: (
        f"{'here' if body.get('got', 1) else 'missing again'}: {body.get('what', 'evidence')}"
    ),
    "sent_back": lambda body, names: "the damaged card was posted back" + _by_tracking(body),
    "came_back": "the damaged card came back",
    "card_lost": "the claim card is missing",
    "card_found": "the claim card was found",
    "consent": lambda body, names: f"the participant agreed: {body.get('to', '')}".rstrip(": "),
    "linked": lambda body, names: "a claim for the damage was opened",
    "void": "void: entered by mistake",
    "undone": "a step was taken back",
}

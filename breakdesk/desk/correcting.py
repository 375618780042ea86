"""Correcting a claim in place: one field at a time, the owner only when asked."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.finding import claim_named
from breakdesk.desk.ownership import owner_by_pull, split_words
from breakdesk.desk.problems import Result, refuse
from breakdesk.rules.claim import KINDS, PLANS, Claim
from breakdesk.rules.entry.said import said_in
from breakdesk.rules.money import Money, format_money, parse_money
from breakdesk.rules.tags import can_be_tag
from breakdesk.store.claims import claim_with_tag, tag_key

FIELDS = {
    "subject": "Player",
    "team": "Team",
    "variation": "Variation",
    "numbered_to": "Print run",
    "serial": "Serial",
    "features": "Features",
    "expires_on": "Expires",
    "box": "Box",
    "value": "Value",
    "kind": "Kind",
    "plan": "Plan",
    "tag": "Tag",
}
"""What can be corrected, in the order in which a card is described."""
KIND_WORDS = {"redemption": "redemption", "damage": "damage", "shortage": "missing hit"}
_DECIDES_THE_OWNER = frozenset({"subject", "team", "numbered_to", "serial", "box"})
_LONGEST = 200


def said(claim: Claim, field: str) -> str:
    """A field of a claim as it is typed."""
    if field == "value":
        return "" if claim.value is None or claim.currency is None else format_money(Money(claim.value, claim.currency))
    value = getattr(claim, field)
    if value is None:
        return ""
    return value.isoformat() if isinstance(value, date) else str(value)


def correct(desk: Desk, tag: str, field: str, text: str, key: int | None = None) -> Result:
    """Writes a field of a claim anew; an empty text empties it. The owner stays; where it would differ that is said."""

    def work(a: Act) -> str:
        claim = claim_named(a, tag)
        if claim.state == "void":
            raise refuse(f"Claim {claim.tag} is void.", "Undo that first.")
        body = _READERS[field](a, claim, " ".join(text.split()))
        if all(_stored(claim, name) == value for name, value in body.items()):
            raise refuse(f"That is what {claim.tag} says already.")
        a.add_in_order(claim, "corrected", body)
        after = a.claim(claim.id)
        if field in _DECIDES_THE_OWNER:
            _ask_about_owner(a, claim, after)
        was = said(claim, field) or "nothing"
        return f"{after.tag}: {FIELDS[field].lower()} is {said(after, field) or 'empty'}, was {was}."

    return act(desk, "correct", work, key)


def _stored(claim: Claim, name: str) -> Any:
    value = getattr(claim, name)
    return value.isoformat() if isinstance(value, date) else value


def _ask_about_owner(a: Act, before: Claim, after: Claim) -> None:
    was, now = owner_by_pull(before), owner_by_pull(after)
    fixed = (after.owner_kind, after.owner_id)
    if now is not None and now != was and fixed != (now.kind, now.ids[0] if now.kind == "person" else None):
        a.warnings.append("The spots would now give it to somebody else; its owner stays until you change it.")


_Reader = Callable[[Act, Claim, str], dict[str, Any]]


def _text(name: str, *, needed: bool = False) -> _Reader:
    def read(_a: Act, _claim: Claim, text: str) -> dict[str, Any]:
        if needed and not text:
            raise refuse("A claim names a card.", "Type at least the player's name.")
        if len(text) > _LONGEST:
            raise refuse(f"That is longer than {_LONGEST} characters.", "Put the rest into a note.")
        return {name: ";".join(split_words(text))}

    return read


def _number(name: str, *, least: int = 1) -> _Reader:
    def read(_a: Act, _claim: Claim, text: str) -> dict[str, Any]:
        figure = text.removeprefix("/").strip()
        if not figure:
            return {name: None}
        if not (figure.isascii() and figure.isdigit() and len(figure) <= 6 and int(figure) >= least):
            raise refuse(f"“{text}” is not a number here.", "Type figures only, such as 25.")
        return {name: int(figure)}

    return read


def _expiry(_a: Act, _claim: Claim, text: str) -> dict[str, Any]:
    if not text or text.casefold() == "none":
        return {"expires_on": None}
    expiry = said_in(f"exp {text}", "USD").expiry
    if expiry is None:
        raise refuse(f"“{text}” is not a date.", "Type it as 2027-03-31, 03/31/2027 or 3/27.")
    return {"expires_on": expiry.day.isoformat()}


def _value(a: Act, _claim: Claim, text: str) -> dict[str, Any]:
    if not text:
        return {"value": None, "currency": None}
    currency = a.house.terms.on("currency", a.day)
    money = said_in(text, currency).value
    try:
        money = money or parse_money(text, currency)
    except ValueError as error:
        raise refuse(str(error)) from error
    return {"value": money.minor, "currency": money.currency}


def _one_of(name: str, allowed: tuple[str, ...]) -> _Reader:
    def read(_a: Act, _claim: Claim, text: str) -> dict[str, Any]:
        if text not in allowed:
            raise refuse(f"“{text}” is not one of them.", f"Use one of: {', '.join(allowed)}.")
        return {name: text}

    return read


def _tag(_a: Act, claim: Claim, text: str) -> dict[str, Any]:
    if not can_be_tag(text):
        raise refuse("That cannot be a tag.", "Use up to 24 printable characters.")
    other = claim_with_tag(text)
    if other is not None and other != claim.id:
        raise refuse(f"The tag {text} is on another claim already.", "Use the next label.")
    return {"tag": tag_key(text) if tag_key(text) == tag_key(claim.tag) else text}


_READERS: dict[str, _Reader] = {
    "subject": _text("subject", needed=True),
    "team": _text("team"),
    "variation": _text("variation"),
    "numbered_to": _number("numbered_to"),
    "serial": _number("serial"),
    "features": _text("features"),
    "expires_on": _expiry,
    "box": _text("box"),
    "value": _value,
    "kind": _one_of("kind", KINDS),
    "plan": _one_of("plan", PLANS),
    "tag": _tag,
}

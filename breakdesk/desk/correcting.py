"""Correcting a claim in place: one field at a time, the owner only when asked."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any, cast

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.finding import claim_named, maker_named, product_named
from breakdesk.desk.ownership import owner_by_pull, owner_found
from breakdesk.desk.problems import Result, refuse
from breakdesk.rules.claim import KINDS, PLANS, Claim
from breakdesk.rules.entry.said import said_in
from breakdesk.rules.money import Money, format_money, parse_money
from breakdesk.rules.tags import can_be_tag
from breakdesk.store import models
from breakdesk.store.claims import claim_with_tag, tag_key
from breakdesk.store.spots import products_of_break, split_words

FIELDS = {
    "subject": "Player",
    "team": "Team",
    "variation": "Variation",
    "numbered_to": "Print run",
    "serial": "Serial",
    "features": "Features",
    "product": "Product",
    "maker": "Maker",
    "expires_on": "Expires",
    "box": "Box",
    "value": "Value",
    "kind": "Kind",
    "plan": "Plan",
    "video": "Place in the video",
    "tag": "Tag",
}
"""What can be corrected, in the order in which a card is described."""
KIND_WORDS = {"redemption": "redemption", "damage": "damage", "shortage": "missing hit"}
_DECIDES_THE_OWNER = frozenset({"subject", "team", "numbered_to", "serial", "box", "product"})
_SAYS_WHICH_CARD = frozenset({"subject", "variation", "numbered_to", "product"})
"""Where one of these was wrong, the checklist's card was another one."""
_LONGEST = 200
_LONGEST_VIDEO = 48 * 60 * 60


def said(claim: Claim, field: str) -> str:
    """A field of a claim as it is typed. Reads the names of products and makers: for the thread of the desk."""
    if field == "value":
        return "" if claim.value is None or claim.currency is None else format_money(Money(claim.value, claim.currency))
    if field == "product":
        return _name(models.Product, claim.product_id)
    if field == "maker":
        return _name(models.Maker, claim.maker_id)
    if field == "video":
        seconds = claim.video_seconds
        return "" if seconds is None else f"{seconds // 3600}:{seconds // 60 % 60:02}:{seconds % 60:02}"
    value = getattr(claim, field)
    if value is None:
        return ""
    return value.isoformat() if isinstance(value, date) else str(value)


def _name(table: type[models.Product | models.Maker], key: int | None) -> str:
    row = None if key is None else table.get_or_none(table.id == key)
    return "" if row is None else str(row.name)


def fields_of(_desk: Desk, claim: Claim) -> dict[str, str]:
    """Every field that can be corrected, as it is typed."""
    return {field: said(claim, field) for field in FIELDS}


def names_for(_desk: Desk, claim: Claim, field: str) -> list[str]:
    """The products or makers that a claim may have, those of its break first."""
    if field == "maker":
        return [row.name for row in models.Maker.select().order_by(models.Maker.folded)]
    opened = products_of_break(cast("models.StrictSqlite", models.database_proxy), claim.break_id or 0)
    rows = sorted(models.Product.select(), key=lambda row: (row.id not in opened, row.folded))
    return [row.name for row in rows]


def correct(desk: Desk, tag: str, field: str, text: str, key: int | None = None) -> Result:
    """Writes a field of a claim anew; an empty text empties it.

    An owner stays; where the spots would now give the claim to another, that is said. What nobody owned yet goes to
    whom the spots say without a doubt, such as the last digit of a serial that is known now.
    """

    def work(a: Act) -> str:
        claim = claim_named(a, tag)
        if claim.state == "void":
            raise refuse(f"Claim {claim.tag} is void.", "Undo that first.")
        body = _READERS[field](a, claim, " ".join(text.split()))
        if all(_stored(claim, name) == value for name, value in body.items()):
            raise refuse(f"That is what {claim.tag} says already.")
        if field in _SAYS_WHICH_CARD:
            body["card_id"] = None
        a.add_in_order(claim, "corrected", body)
        after = a.claim(claim.id)
        if field in _DECIDES_THE_OWNER:
            _look_at_owner(a, claim, after)
        was = said(claim, field) or "nothing"
        return f"{after.tag}: {FIELDS[field].lower()} is {said(after, field) or 'empty'}, was {was}."

    return act(desk, "correct", work, key)


def _stored(claim: Claim, name: str) -> Any:
    value = getattr(claim, name)
    return value.isoformat() if isinstance(value, date) else value


def _look_at_owner(a: Act, before: Claim, after: Claim) -> None:
    found = owner_found(after)
    if found is not None:
        a.add_in_order(before, "owner", found.body())
        a.warnings.append("It belonged to nobody yet: now it is for whom the spots say.")
        return
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


def _product(_a: Act, claim: Claim, text: str) -> dict[str, Any]:
    if not text:
        if claim.maker_id is None:
            raise refuse("A claim has a product or a maker.", "Type the name of the product.")
        return {"product_id": None}
    row = product_named(text)
    body: dict[str, Any] = {"product_id": int(row.id)}
    return body | (_maker_body(claim, row.maker_id) if row.maker_id is not None else {})


def _maker(_a: Act, claim: Claim, text: str) -> dict[str, Any]:
    maker_id = int(maker_named(text).id)
    made = None if claim.product_id is None else models.Product.get_by_id(claim.product_id)
    if made is not None and made.maker_id not in (None, maker_id):
        raise refuse(f"{made.name} is another maker's.", "Correct the product; its maker comes with it.")
    return _maker_body(claim, maker_id)


def _maker_body(claim: Claim, maker_id: int) -> dict[str, Any]:
    if maker_id == claim.maker_id:
        return {"maker_id": maker_id}
    if claim.submitted_on is not None:
        raise refuse(
            f"{claim.tag} was submitted to another maker already.",
            "Undo the submission first; its reference is that maker's.",
        )
    return {"maker_id": maker_id, "account_id": None}


def _video(_a: Act, _claim: Claim, text: str) -> dict[str, Any]:
    if not text:
        return {"video_seconds": None}
    parts = text.split(":")
    if not 2 <= len(parts) <= 3 or not all(part.isascii() and part.isdigit() and len(part) < 4 for part in parts):
        raise refuse(f"“{text}” is no place in a video.", "Type it as 1:02:03, or as 12:30 for minutes and seconds.")
    hours, minutes, seconds = [0, *map(int, parts)][-3:]
    total = hours * 3600 + minutes * 60 + seconds
    if total > _LONGEST_VIDEO:
        raise refuse(f"“{text}” is later than any video runs.", "Type it as 1:02:03.")
    return {"video_seconds": total}


_READERS: dict[str, _Reader] = {
    "subject": _text("subject", needed=True),
    "team": _text("team"),
    "variation": _text("variation"),
    "numbered_to": _number("numbered_to"),
    "serial": _number("serial"),
    "features": _text("features"),
    "product": _product,
    "maker": _maker,
    "expires_on": _expiry,
    "box": _text("box"),
    "value": _value,
    "kind": _one_of("kind", KINDS),
    "plan": _one_of("plan", PLANS),
    "video": _video,
    "tag": _tag,
}

"""The desk's own fair draw: a commitment, words from the chat, the revelation, and what follows from it.

A draw that was prepared and never revealed stays in the history with its commitment, so that nobody can draw until
they like the result without it being seen.
"""

from __future__ import annotations

import json
import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.finding import claim_named
from breakdesk.desk.handing import give
from breakdesk.desk.ownership import break_facts, people_of
from breakdesk.desk.problems import Problem, Result, refuse
from breakdesk.desk.trades import assign
from breakdesk.rules.draw import Draw, Receipt, Way, commitment, prepare, recheck, reveal
from breakdesk.store import models

SECRET_BYTES = 24
_OPEN = "draw."
CAUTION = (
    "Laws on games of chance differ from place to place. Whether you may draw like this is decided by the law where "
    "you and your participants live; ask somebody licensed to advise you."
)


@dataclass(frozen=True, slots=True)
class OpenDraw:
    """A draw whose commitment is published and whose secret is still kept."""

    id: int
    draw: Draw
    commitment: str
    tag: str
    """The claim that it is about; empty for the spots of a break."""
    break_id: int | None


def prepare_for_claim(desk: Desk, tag: str, key: int | None = None) -> Result:
    """Commits to a draw between the owners of a shared card; the draw's number is the result's `number`."""

    def work(a: Act) -> str:
        claim = claim_named(a, tag)
        if claim.owner_kind != "several":
            raise refuse(f"{claim.tag} is not shared by several owners.")
        parties: list[int | None] = [key or None for key in claim.candidates]
        entries = _public_names(a, parties)
        said = _commit(a, f"Claim {claim.tag}", "winners", entries, {"claim": claim.id, "parties": parties})
        return f"The draw for {claim.tag} is prepared. Read its commitment out before a word is called: {said}"

    return act(desk, "prepare a draw", work, key)


def prepare_for_spots(desk: Desk, break_id: int, buyers: Sequence[int], key: int | None = None) -> Result:
    """Commits to a random order in which the buyers get the spots of a break; who bought twice is listed twice."""

    def work(a: Act) -> str:
        row = models.Break.get_by_id(break_id)
        if row.first_pack_at is not None:
            raise refuse(f"The first claim of {row.name} is written down: spots are fixed.")
        spots = len(break_facts(break_id).spots)
        if len(buyers) != spots:
            raise refuse(
                f"The break has {spots} spots and the list has {len(buyers)} entries.",
                "List each buyer once for every spot bought; name the house for those unsold.",
            )
        parties: list[int | None] = [buyer or None for buyer in buyers]
        entries = _public_names(a, parties)
        said = _commit(a, f"Spots of {row.name}", "order", entries, {"break": break_id, "parties": parties})
        return f"The draw of the spots is prepared. Read its commitment out before a word is called: {said}"

    return act(desk, "prepare a draw", work, key)


def _commit(a: Act, title: str, way: Way, entries: Sequence[str], about: dict[str, Any]) -> str:
    try:
        draw = prepare(title, way, entries)
    except ValueError as error:
        raise refuse(str(error)) from error
    secret = secrets.token_hex(SECRET_BYTES)
    digest = commitment(draw, secret)
    draw_id = secrets.randbits(48)
    known = {**about, "title": draw.title, "way": way, "entries": list(draw.entries), "secret": secret}
    models.Setting.insert(name=f"{_OPEN}{draw_id}", value=json.dumps(known)).execute()
    listed = "\n".join(draw.entries)
    a.line("draw", draw_id, "committed", {"commitment": digest, "way": way, **a.text(f"{draw.title}\n{listed}")})
    return digest


def open_draws(_desk: Desk) -> list[OpenDraw]:
    """The draws that were prepared and wait for words, newest first."""
    table = models.Setting
    found = []
    for row in table.select().where(table.name.startswith(_OPEN)):
        draw_id, known = int(row.name.removeprefix(_OPEN)), json.loads(row.value)
        draw = prepare(known["title"], known["way"], known["entries"])
        claim = models.Claim.get_or_none(models.Claim.id == known.get("claim", 0))
        tag = "" if claim is None else claim.tag
        found.append(OpenDraw(draw_id, draw, commitment(draw, known["secret"]), tag, known.get("break")))
    return found


def reveal_draw(
    desk: Desk, draw_id: int, words: Sequence[str], key: int | None = None
) -> tuple[Result, Receipt | None]:
    """Reveals the secret, draws with the words called, and gives the card or the spots to whom they fell."""
    receipts: list[Receipt] = []

    def work(a: Act) -> str:
        row = models.Setting.get_or_none(models.Setting.name == f"{_OPEN}{draw_id}")
        if row is None:
            raise refuse("That draw was revealed or dropped already.")
        known = json.loads(row.value)
        draw = prepare(known["title"], known["way"], known["entries"])
        try:
            receipt = reveal(draw, known["secret"], words)
        except ValueError as error:
            raise refuse(str(error)) from error
        said = a.text(receipt.to_text())
        a.line("draw", draw_id, "revealed", {"commitment": receipt.commitment, **said})
        parties = dict(zip(draw.entries, known["parties"], strict=True))
        told = _apply(a, known, receipt, parties, {"draw": draw_id, **said})
        row.delete_instance()
        receipts.append(receipt)
        return told

    result = act(desk, "draw", work, key)
    return result, None if isinstance(result, Problem) or not receipts else receipts[0]


def drop_draw(desk: Desk, draw_id: int, reason: str, key: int | None = None) -> Result:
    """Gives a prepared draw up before it was revealed; its commitment and the reason stay in the history."""

    def work(a: Act) -> str:
        if not reason.strip():
            raise refuse("Dropping a draw needs a reason.", "Say in a few words why; viewers heard its commitment.")
        gone = models.Setting.delete().where(models.Setting.name == f"{_OPEN}{draw_id}").execute()
        if not gone:
            raise refuse("That draw was revealed or dropped already.")
        a.line("draw", draw_id, "dropped", a.text(reason))
        return "The draw is dropped; its commitment stays in the history."

    return act(desk, "drop a draw", work, key)


def _apply(
    a: Act, known: dict[str, Any], receipt: Receipt, parties: dict[str, int | None], body: dict[str, Any]
) -> str:
    if "claim" in known:
        winner = receipt.result[0]
        claim = a.claim(known["claim"])
        if claim.owner_kind != "several":
            raise refuse(f"{claim.tag} was settled in the meantime.", "Drop the draw with a reason.")
        give(a, claim, parties[winner], body)
        return f"{claim.tag} fell to {winner}."
    facts = break_facts(known["break"])
    spots = sorted(facts.spots, key=lambda spot: (spot.holds, spot.id))
    for spot, entry in zip(spots, receipt.result, strict=True):
        owner = parties[entry]
        assign(a, spot, () if owner is None else (owner,), {"draw": body["draw"]})
    return f"{len(spots)} spots have their owners: the spots by name, the buyers in the order drawn."


def _public_names(a: Act, parties: Sequence[int | None]) -> list[str]:
    """On-air names, each made different from the others: a receipt is shown to everybody."""
    people = {person.id: person for person in people_of({party for party in parties if party is not None})}
    names: list[str] = []
    for number, party in enumerate(parties, start=1):
        person = people.get(party or 0)
        name = a.house.name if person is None else person.on_air_name or person.handle or f"participant {number}"
        bare, count = name, 2
        while name in names:
            name, count = f"{bare} ({count})", count + 1
        names.append(name)
    return names


def recheck_text(text: str) -> tuple[Receipt | None, tuple[str, ...]]:
    """A receipt and what does not fit in it; no receipt where the text is not a whole one."""
    try:
        receipt = Receipt.from_text(text)
    except ValueError as error:
        return None, (str(error),)
    return receipt, recheck(receipt).doubts

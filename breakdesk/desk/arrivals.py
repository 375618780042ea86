"""A card came in: the claims that a tag, a reference, a code, a tracking number or a few words name."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date

from breakdesk.desk.describing import what_of
from breakdesk.desk.desk import Desk
from breakdesk.desk.viewing import product_names
from breakdesk.rules.arrival_matching import WAITING, Seen, fit_of
from breakdesk.rules.claim import Claim
from breakdesk.rules.codes import SHORTEST_CODE, normalise_code
from breakdesk.rules.names import folded
from breakdesk.rules.parties import Parties
from breakdesk.store import models, words
from breakdesk.store.claims import claims_with_keys, read_claims, tag_key
from breakdesk.store.parties import read_parties
from breakdesk.store.projecting import people_in
from breakdesk.store.sealing import NoKey

HITS_A_WORD = 400
SHOWN = 40
FEWEST_DIGITS = 4
"""What has fewer digits is looked for as no tracking number."""
_SERIAL = re.compile(r"(?<!\S)#?([0-9]{1,5})\s*(?:/|of)\s*([0-9]{1,5})(?!\S)|(?<!\S)(?:#|serial\s)([0-9]{1,5})(?!\S)")


@dataclass(frozen=True, slots=True)
class Arrival:
    """A claim that a card may belong to."""

    claim: Claim
    what: str
    product: str
    maker: str
    name: str
    handle: str
    on_air_name: str
    serial: int | None = None
    """The serial that the line named."""


def by_words(desk: Desk, text: str) -> list[Claim]:
    """The claims that wait and fit most of the words of a line, as far as it was typed; none for an empty text."""
    serial, run, rest = serial_in(" ".join(text.split()))
    # A serial ranks; it leaves no claim out, since most are not known before the card comes.
    wanted = [*folded(rest).split(), *([str(run)] if run is not None else [])]
    if not wanted:
        return []
    claims = _candidates(desk, wanted)
    products = product_names(claims)
    parties = read_parties(desk.database, people_in(claims))
    scored = []
    for claim in claims:
        there = _words_of(claim, products.get(claim.product_id or 0, ""), parties.maker_of(claim).name or "")
        fitting = sum(any(known.startswith(word) for known in there) for word in wanted)
        fit = fit_of(Seen(words=tuple(wanted), serial=serial, numbered_to=run), claim)
        order = (-fitting, -fit.score if fit else 0.0, WAITING.index(claim.state), claim.submitted_on or date.max)
        scored.append((order, claim.tag, claim))
    scored.sort(key=lambda score: score[:2])
    return [claim for order, _, claim in scored if order[0] == scored[0][0][0]][:SHOWN]


def _candidates(desk: Desk, wanted: list[str]) -> list[Claim]:
    states = ", ".join(f"'{state}'" for state in WAITING)
    ids: set[int] = set()
    kept: dict[int, Claim] = {}
    for word in wanted:
        hits = words.find(desk.database, word, "claim", HITS_A_WORD)
        ids |= set(hits)
        if not hits:
            where = f"claim.state IN ({states}) AND lower(claim.variation) LIKE ? ESCAPE '!'"
            kept |= {claim.id: claim for claim in read_claims(desk.database, where, [f"%{_literally(word)}%"])}
    kept |= {claim.id: claim for claim in claims_with_keys(desk.database, sorted(ids))}
    return [claim for claim in kept.values() if claim.state in WAITING]


def _literally(word: str) -> str:
    return word.replace("!", "!!").replace("%", "!%").replace("_", "!_")


def _words_of(claim: Claim, product: str, maker: str) -> list[str]:
    run = [] if claim.numbered_to is None else [f"/{claim.numbered_to}", str(claim.numbered_to)]
    if claim.numbered_to is not None and claim.serial is not None:
        run.append(f"{claim.serial}/{claim.numbered_to}")
    said = (claim.subject, claim.team, claim.variation, claim.features, claim.reference, product, maker)
    return [*folded(" ".join(said).replace(";", " ")).split(), tag_key(claim.tag).lower(), *run]


def arrival_of(claim: Claim, parties: Parties, product: str, serial: int | None = None) -> Arrival:
    """A claim as a list of what a card can be shows it."""
    person = parties.people.get(claim.owner_id or 0)
    return Arrival(
        claim=claim,
        what=what_of(claim),
        product=product,
        maker=parties.maker_of(claim).name or "",
        name=person.name if person else "",
        handle=person.handle if person else "",
        on_air_name=person.on_air_name if person else "",
        serial=serial,
    )


def serial_in(text: str) -> tuple[int | None, int | None, str]:
    """A serial, its run and the rest of the line; a run alone, such as /25, stays in the rest."""
    found = _SERIAL.search(text)
    if found is None:
        return None, None, text
    rest = " ".join((text[: found.start()] + " " + text[found.end() :]).split())
    if found[1] is not None:
        return int(found[1]), int(found[2]), rest
    return int(found[3]), None, rest


def named_exactly(desk: Desk, text: str) -> list[Claim]:
    """The claims with this tag, reference, code or inbound tracking number, those that still wait before all others."""
    text = text.strip()
    if not text:
        return []
    known = "claim.state <> 'void' AND"
    found = list(read_claims(desk.database, f"{known} claim.tag_key = ?", [tag_key(text)]))
    if not found:
        alike = claims_with_keys(desk.database, sorted(words.find(desk.database, text, "claim", SHOWN)))
        found = [claim for claim in alike if claim.state != "void" and claim.reference.lower() == text.lower()]
    number = "".join(text.split()).lower()
    if not found and sum(character.isdigit() for character in number) >= FEWEST_DIGITS:
        where = f"{known} claim.inbound_tracking <> '' AND replace(lower(claim.inbound_tracking), ' ', '') = ?"
        found = list(read_claims(desk.database, where, [number]))
    found = found or _by_code(desk, text)
    # A number that names several may be half done: what came already is not meant again.
    waiting = [claim for claim in found if claim.state in WAITING]
    return waiting or found


def _by_code(desk: Desk, text: str) -> list[Claim]:
    normal = normalise_code(text)
    if len(normal) < SHORTEST_CODE or not any(character.isdigit() for character in normal):
        return []
    try:
        digest, _ = desk.sealer.code_digests(normal)
    except NoKey:
        return []
    table = models.ClaimCode
    row = None if digest is None else table.get_or_none(table.digest == digest)
    return [] if row is None else claims_with_keys(desk.database, [row.claim.id])


def serial_doubts(claim: Claim, serial: int) -> tuple[str, ...]:
    """What speaks against a number that stands on a card: outside the run, or on another claim already."""
    run = claim.numbered_to
    outside = serial < 1 or (run is not None and serial > run)
    odd = f"Serial {serial} does not fit {f'a run of {run}' if run is not None else 'any run'}: check the card."
    return (*([odd] if outside else []), *same_serial(claim, serial))


def same_serial(claim: Claim, serial: int | None) -> tuple[str, ...]:
    """A sentence where another claim of the same card has this serial already."""
    if serial is None or claim.numbered_to is None:
        return ()
    table = models.Claim
    row = table.get_or_none(
        table.id != claim.id,
        table.subject == claim.subject,
        table.product == claim.product_id,
        table.numbered_to == claim.numbered_to,
        table.variation == claim.variation,
        table.serial == serial,
        table.state != "void",
    )
    return () if row is None else (f"Claim {row.tag} has serial {serial} of the same card already: check both.",)

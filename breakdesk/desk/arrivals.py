"""A card came in: the claims that it can be, best first, from a tag, a reference or a few words of what one sees."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from breakdesk.desk.describing import what_of
from breakdesk.desk.desk import Desk
from breakdesk.desk.viewing import product_names
from breakdesk.rules.claim import Claim
from breakdesk.rules.names import folded
from breakdesk.rules.rounds import Parties
from breakdesk.store import words
from breakdesk.store.claims import claims_with_keys, read_claims, tag_key
from breakdesk.store.parties import read_parties
from breakdesk.store.projecting import people_in

CAN_ARRIVE = ("submitted", "offered", "pulled", "refused")
HITS_A_WORD = 400
SHOWN = 40


@dataclass(frozen=True, slots=True)
class Arrival:
    """A claim that a card may belong to; `doubt` says what is unusual about that."""

    claim: Claim
    what: str
    product: str
    maker: str
    name: str
    handle: str
    on_air_name: str
    doubt: str


def proposals(desk: Desk, text: str) -> tuple[Arrival, ...]:
    """The claims whose card may have come, those that fit most of the words first; none for an empty text."""
    wanted = folded(text).split()
    if not wanted:
        return ()
    claims = _candidates(desk, text, wanted)
    products = product_names(claims)
    parties = read_parties(desk.database, people_in(claims))
    scored = []
    for claim in claims:
        there = _words_of(claim, products.get(claim.product_id or 0, ""), parties.maker_of(claim).name or "")
        fitting = sum(any(known.startswith(word) for known in there) for word in wanted)
        scored.append((-fitting, claim.state != "submitted", claim.submitted_on or date.max, claim.tag, claim))
    best = -min((score[0] for score in scored), default=0)
    kept = [score[-1] for score in sorted(scored, key=lambda score: score[:4]) if -score[0] == best]
    return tuple(arrival_of(claim, parties, products.get(claim.product_id or 0, "")) for claim in kept[:SHOWN])


def _candidates(desk: Desk, text: str, wanted: list[str]) -> list[Claim]:
    states = ", ".join(f"'{state}'" for state in CAN_ARRIVE)
    exact = f"claim.state IN ({states}) AND (claim.tag_key = ? OR lower(claim.reference) = ?)"
    found = list(read_claims(desk.database, exact, [tag_key(text.strip()), text.strip().lower()]))
    if found:
        return found
    ids: set[int] = set()
    kept: dict[int, Claim] = {}
    for word in wanted:
        hits = words.find(desk.database, word, "claim", HITS_A_WORD)
        ids |= set(hits)
        if not hits:
            where = f"claim.state IN ({states}) AND lower(claim.variation) LIKE ? ESCAPE '!'"
            kept |= {claim.id: claim for claim in read_claims(desk.database, where, [f"%{_literally(word)}%"])}
    kept |= {claim.id: claim for claim in claims_with_keys(desk.database, sorted(ids))}
    return [claim for claim in kept.values() if claim.state in CAN_ARRIVE]


def _literally(word: str) -> str:
    return word.replace("!", "!!").replace("%", "!%").replace("_", "!_")


def _words_of(claim: Claim, product: str, maker: str) -> list[str]:
    run = [] if claim.numbered_to is None else [f"/{claim.numbered_to}", str(claim.numbered_to)]
    if claim.numbered_to is not None and claim.serial is not None:
        run.append(f"{claim.serial}/{claim.numbered_to}")
    said = (claim.subject, claim.team, claim.variation, claim.features, claim.reference, product, maker)
    return [*folded(" ".join(said).replace(";", " ")).split(), tag_key(claim.tag).lower(), *run]


def arrival_of(claim: Claim, parties: Parties, product: str) -> Arrival:
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
        doubt=_doubt(claim),
    )


def _doubt(claim: Claim) -> str:
    if claim.settled_how is not None:
        return "settled before: the card is the house's"
    if claim.ship_to == "participant":
        return "was to go straight to the participant"
    return {
        "pulled": "never submitted",
        "refused": "refused by the maker before",
        "offered": "a replacement was offered",
    }.get(claim.state, "")

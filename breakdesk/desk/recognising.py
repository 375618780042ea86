"""A card came in: what a person reads off it, and the waiting claims that it can be, best first."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from breakdesk.desk.arrivals import (
    HITS_A_WORD,
    SHOWN,
    Arrival,
    arrival_of,
    by_words,
    named_exactly,
    same_serial,
    serial_doubts,
    serial_in,
)
from breakdesk.desk.desk import Desk
from breakdesk.desk.entering import Table, is_stale, open_table, read_line
from breakdesk.desk.viewing import product_names
from breakdesk.rules.arrival_matching import TO_BE_NAMED, WAITING, Seen, fit_of, is_unnamed, parts_unnamed, what_is_odd
from breakdesk.rules.claim import Claim
from breakdesk.rules.entry import Kept
from breakdesk.rules.entry.reading import typed
from breakdesk.rules.names import folded
from breakdesk.rules.parties import Maker
from breakdesk.store import words
from breakdesk.store.claims import claims_with_keys
from breakdesk.store.parties import read_parties
from breakdesk.store.projecting import people_in


@dataclass(frozen=True, slots=True)
class Match:
    """A claim that a card can be; `odd` are sentences about what is unusual, `differs` what speaks against it.

    `is_doubtful`: the card looks like a part of what was promised, has a number that cannot be or that is taken, or
    the claim names no player, so that any card can be its card.
    """

    arrival: Arrival
    score: float
    differs: tuple[str, ...]
    odd: tuple[str, ...]
    is_doubtful: bool = False

    @property
    def claim(self) -> Claim:
        """The claim."""
        return self.arrival.claim


@dataclass(frozen=True, slots=True)
class Recognised:
    """What a line about a card came to. `exact`: a tag, reference, code or tracking number named the claim."""

    line: str
    seen: Seen
    matches: tuple[Match, ...]
    exact: bool

    @property
    def sure(self) -> Match | None:
        """The claim that it is, where nothing else fits as well and nothing speaks against it; None to be asked.

        Of equal cards that one participant waits for it is the one that waited longest.
        """
        if not self.matches:
            return None
        best = self.matches[0]
        if best.claim.state not in WAITING:
            return None
        if self.exact:
            return best if len(self.matches) == 1 else None
        rivals = [match for match in self.matches[1:] if match.score == best.score]
        owner = (best.claim.owner_kind, best.claim.owner_id)
        if any((match.claim.owner_kind, match.claim.owner_id) != owner for match in rivals):
            return None
        return None if best.differs or best.is_doubtful else best


@dataclass(frozen=True, slots=True)
class Counter:
    """What arrivals are read against: every product's words. Takes a moment to make, and serves a whole envelope."""

    table: Table
    maker_id: int | None = None


def open_counter(desk: Desk, maker_id: int | None = None) -> Counter:
    """Prepares for reading arrived cards, all from one maker where it is named."""
    return Counter(open_table(desk, None), maker_id)


def _maker_named(said: Collection[str], makers: Mapping[int, Maker]) -> int | None:
    """The maker whose name begins with a word of the line; None where several do, or none."""
    named = [key for key, maker in makers.items() if maker.name and folded(maker.name).split()[0] in said]
    return named[0] if len(named) == 1 else None


def fresh_counter(desk: Desk, counter: Counter | None) -> Counter:
    """The same counter as long as nothing was changed that it knows; else another one."""
    return open_counter(desk) if counter is None or is_stale(desk, counter.table) else counter


def recognise(desk: Desk, counter: Counter, line: str) -> Recognised:
    """The claims that a card can be, from its tag, reference, code, inbound tracking number or a line about it."""
    text = " ".join(line.split())
    serial, run, rest = serial_in(text)
    exact = named_exactly(desk, rest) or (named_exactly(desk, rest.split()[0]) if rest.split() else [])
    if exact:
        seen = Seen(words=tuple(folded(rest).split()), serial=serial, numbered_to=run)
        return Recognised(text, seen, _matches(desk, [(claim, 0.0, ()) for claim in exact], seen, by_name=True), True)
    reading = read_line(counter.table, text, Kept(), desk.clock.as_of()).best
    said = (text, *reading.subjects.value, *reading.teams.value)
    words_said = tuple(dict.fromkeys(folded(" ".join(said)).split()))
    seen = Seen(
        words=words_said,
        variation=typed(reading.variation) or "",
        numbered_to=run or typed(reading.numbered_to),
        serial=serial if serial is not None else reading.serial.value,
        features=reading.features.value,
        product_id=reading.product_id.value,
        maker_id=counter.maker_id or _maker_named(words_said, counter.table.makers),
    )
    found = []
    for claim in _candidates(desk, seen, (*reading.subjects.value,)):
        fit = fit_of(seen, claim)
        if fit is not None:
            found.append((claim, fit.score, fit.differs))
    found.sort(key=_order)
    return Recognised(text, seen, _matches(desk, found[:SHOWN], seen), False)


def what_it_can_be(desk: Desk, counter: Counter, line: str) -> tuple[Match, ...]:
    """The claims that a card can be while its line is still typed: half a tag or a variation alone finds some, too."""
    found = recognise(desk, counter, line)
    if found.matches:
        return found.matches
    return _matches(desk, [(claim, 0.0, ()) for claim in by_words(desk, line)], found.seen, by_name=True)


def _order(item: tuple[Claim, float, tuple[str, ...]]) -> tuple[float, int, date, str]:
    claim, score, _ = item
    return -score, WAITING.index(claim.state), claim.submitted_on or date.max, claim.tag


def _candidates(desk: Desk, seen: Seen, subjects: Iterable[str]) -> list[Claim]:
    ids: set[int] = set()
    wanted = [word for word in (folded(" ".join(subjects)).split() or seen.words) if len(word) > 1]
    for word in wanted:
        ids |= set(words.find(desk.database, word, "claim", HITS_A_WORD))
    # What waits for a card that nobody could name yet can be any card.
    ids |= set(words.find(desk.database, TO_BE_NAMED, "claim", HITS_A_WORD))
    claims = claims_with_keys(desk.database, sorted(ids))
    return [claim for claim in claims if claim.state in WAITING]


def _matches(
    desk: Desk, found: list[tuple[Claim, float, tuple[str, ...]]], seen: Seen, *, by_name: bool = False
) -> tuple[Match, ...]:
    claims = [claim for claim, _, _ in found]
    products = product_names(claims)
    parties = read_parties(desk.database, people_in(claims))
    matches = []
    for claim, score, differs in found:
        about = Seen(serial=seen.serial, numbered_to=seen.numbered_to) if by_name else seen
        taken = same_serial(claim, seen.serial)
        doubts = () if seen.serial is None else serial_doubts(claim, seen.serial)
        odd = [*what_is_odd(claim, about, differs), *taken]
        arrival = arrival_of(claim, parties, products.get(claim.product_id or 0, ""), seen.serial)
        is_doubtful = bool(doubts or parts_unnamed(claim, about) or (not by_name and is_unnamed(claim)))
        matches.append(Match(arrival, score, differs, tuple(odd), is_doubtful))
    return tuple(matches)

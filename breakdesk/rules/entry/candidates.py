"""What a line could mean: the checklist's cards, the spots' teams and players, and players of older checklists."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import IntEnum
from typing import Literal

from breakdesk.rules.break_facts import BreakFacts, Card
from breakdesk.rules.entry.words import features_in
from breakdesk.rules.names import PARTICLES, folded, name_parts
from breakdesk.rules.spot_holdings import holds_team

Source = Literal["checklist", "spot", "older", "team"]


class Role(IntEnum):
    """What a word is in a candidate."""

    SURNAME = 0
    MIDDLE = 1
    GIVEN = 2
    PARTICLE = 3
    SUFFIX = 4
    NUMBER = 5
    TEAM = 6
    VARIATION = 7


NAME_ROLES = frozenset({Role.SURNAME, Role.MIDDLE, Role.GIVEN, Role.NUMBER})


@dataclass(frozen=True, slots=True)
class Candidate:
    """Something that a line's names could mean.

    `source` is the checklist, a spot that holds this player, a player known from an older checklist with one team of
    theirs, or a team with no player. `features` are in the trade's words, those named in the variation included. The
    keys are the folded names, for comparing.
    """

    source: Source
    subjects: tuple[str, ...] = ()
    teams: tuple[str, ...] = ()
    card: Card | None = None
    features: frozenset[str] = frozenset()
    product_id: int | None = None
    subject_words: tuple[frozenset[str], ...] = ()
    subject_key: tuple[str, ...] = ()
    team_key: tuple[str, ...] = ()

    @property
    def variation(self) -> str:
        """The checklist's name of the parallel, empty for the plain card."""
        return self.card.variation if self.card else ""

    @property
    def numbered_to(self) -> int | None:
        """The checklist's print run."""
        return self.card.numbered_to if self.card else None

    def roles(self) -> Iterator[tuple[str, Role]]:
        """Every folded word of the candidate, with what it is."""
        for subject in self.subjects:
            yield from subject_roles(subject)
        for team in self.teams:
            for word in _words_and_whole(team):
                yield word, Role.TEAM
        if self.card is not None:
            for word in _words_and_whole(self.card.variation):
                yield word, Role.VARIATION
            for feature in self.card.features:
                for word in _words_and_whole(feature):
                    yield word, Role.VARIATION
            number = folded(self.card.card).replace(" ", "")
            if number:
                yield number, Role.NUMBER


def _words_and_whole(text: str) -> list[str]:
    words = folded(text).split()
    return [*words, "".join(words)] if len(words) > 1 else words


def subject_roles(subject: str) -> list[tuple[str, Role]]:
    """The words of a player's name; parts written together ("delacruz", "jj", "sungmin") count as well."""
    parts = name_parts(subject)
    roles: list[tuple[str, Role]] = []
    for position, word in enumerate(parts.given):
        roles.append((word, Role.MIDDLE if position else Role.GIVEN))
    core = set(parts.core)
    for word in parts.surname:
        particle = word in PARTICLES and word not in core
        roles.append((word, Role.PARTICLE if particle else Role.SURNAME))
    if len(parts.surname) > 1:
        roles.append(("".join(parts.surname), Role.SURNAME))
    if len(parts.given) > 1 and len(parts.given[-1]) > 1:
        roles.append(("".join((parts.given[-1], *parts.surname)), Role.SURNAME))
    if len(parts.given) > 1:
        roles.append(("".join(parts.given), Role.GIVEN))
    roles.extend((word, Role.SUFFIX) for word in parts.suffixes)
    return roles


def candidates_from(
    facts: BreakFacts | None, cards: Sequence[Card], older_cards: Sequence[Card]
) -> tuple[Candidate, ...]:
    """All candidates, in the order in which equal ones are preferred."""
    listed = {folded(subject) for card in cards for subject in card.subjects}
    return (
        *(_from_card(card) for card in cards),
        *_from_spots(facts, listed),
        *_teams(facts, cards, older_cards),
        *_from_older(older_cards, listed),
    )


def _from_card(card: Card) -> Candidate:
    features = {feature for text in (*card.features, card.variation) if text for feature in features_in(text)}
    return _candidate("checklist", card.subjects, card.teams, card, frozenset(features), card.product_id)


def _candidate(
    source: Source,
    subjects: tuple[str, ...] = (),
    teams: tuple[str, ...] = (),
    card: Card | None = None,
    features: frozenset[str] = frozenset(),
    product_id: int | None = None,
) -> Candidate:
    subject_key = tuple(map(folded, subjects))
    return Candidate(
        source=source,
        subjects=subjects,
        teams=teams,
        card=card,
        features=features,
        product_id=product_id,
        subject_words=tuple(frozenset(name.split()) for name in subject_key if name),
        subject_key=subject_key,
        team_key=tuple(sorted(map(folded, teams))),
    )


def _from_spots(facts: BreakFacts | None, listed: set[str]) -> Iterator[Candidate]:
    if facts is None or facts.format != "player":
        return
    for spot in facts.spots:
        for player in spot.holds:
            if folded(player) not in listed:
                yield _candidate("spot", (player,), product_id=spot.product_id)


def _teams(facts: BreakFacts | None, cards: Sequence[Card], older_cards: Sequence[Card]) -> Iterator[Candidate]:
    """Every team once: as the spots call it, and only where no spot holds it as the checklists do."""
    spots = facts.spots if facts is not None and facts.format == "team" else ()
    held = dict.fromkeys(team for spot in spots for team in spot.holds)
    printed = dict.fromkeys(team for card in (*cards, *older_cards) for team in card.teams)
    names: dict[str, str] = {}
    for team in (*held, *(team for team in printed if not holds_team(spots, team))):
        names.setdefault(folded(team), team)
    for name, team in names.items():
        if name:
            yield _candidate("team", teams=(team,))


def _from_older(older_cards: Sequence[Card], listed: set[str]) -> Iterator[Candidate]:
    """One candidate for every unlisted player and team of theirs; only cards of one player say whose team it is."""
    seen: set[tuple[str, str]] = set()
    for card in older_cards:
        if len(card.subjects) != 1 or len(card.teams) > 1:
            continue
        key = (card.subjects[0], card.teams[0] if card.teams else "")
        if key not in seen and folded(card.subjects[0]) not in listed:
            seen.add(key)
            yield _candidate("older", card.subjects, card.teams)

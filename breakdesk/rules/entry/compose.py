"""Make a reading of a line and one candidate, or of a line alone."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from typing import TypeVar

from breakdesk.rules.entry.candidates import Candidate, Role, Source
from breakdesk.rules.entry.handles import Named
from breakdesk.rules.entry.leftovers import Leftovers, text_of, with_capitals
from breakdesk.rules.entry.lexicon import Lexicon
from breakdesk.rules.entry.matching import Found, Match
from breakdesk.rules.entry.parted import segments, typed_names
from breakdesk.rules.entry.reading import Certainty, Field, Kept, Origin, Reading, RecentClaim
from breakdesk.rules.entry.said import Said
from breakdesk.rules.entry.weigh import Weighed
from breakdesk.rules.entry.words import DEFAULT_KIND, DEFAULT_PLAN, in_trade_order
from breakdesk.rules.ownership import NO_TEAM, Doubt

_CLOSE = 3.0
_ORIGINS: dict[Source, Origin] = {"checklist": "checklist", "older": "older", "spot": "rule", "team": "line"}

Value = TypeVar("Value")


@dataclass(frozen=True, slots=True)
class Setting:
    """What a line is read against, beside its own words."""

    said: Said
    found: Found
    lexicon: Lexicon
    kept: Kept
    named: Named
    today: date
    now: datetime | None
    recent: Sequence[RecentClaim]


@dataclass(frozen=True, slots=True)
class Draft:
    """A reading before its owner and its checks, with the matches that fit as well."""

    reading: Reading
    equals: tuple[Candidate, ...] = ()


@dataclass(slots=True)
class _Doubts:
    found: list[Doubt] = field(default_factory=list)

    def add(self, word: str, sentence: str) -> None:
        self.found.append(Doubt(word, sentence))


def draft_of(weighed: Weighed, setting: Setting) -> Draft:
    """The reading before its owner and its checks."""
    if weighed.match is None:
        return _draft_as_typed(weighed, setting)
    return _draft_of_match(weighed.match, weighed.leftovers, setting)


def _draft_of_match(match: Match, leftovers: Leftovers, setting: Setting) -> Draft:
    said, candidate = setting.said, match.candidate
    equals, close = _rivals(match, setting.found.matches)
    doubts = _Doubts()
    reading = _common(setting, leftovers, doubts)
    reading = _with_names(reading, match, equals, close, leftovers, setting, doubts)
    reading = _with_card(reading, match, equals, close, leftovers, setting, doubts)
    if leftovers.left:
        left = text_of(leftovers.left, said)
        doubts.add("left over", f"“{left}” fits nothing known and goes into the note.")
        note = " ".join(filter(None, (left, reading.note.value)))
        reading = replace(reading, note=Field(note, "unsure"))
    return Draft(_with_doubts(reading, doubts), (candidate, *equals))


def _draft_as_typed(weighed: Weighed, setting: Setting) -> Draft:
    said, leftovers = setting.said, weighed.leftovers
    doubts = _Doubts()
    reading = _common(setting, leftovers, doubts)
    subjects = _players_as_typed(weighed, said)
    if subjects and setting.lexicon.has_checklist:
        doubts.add("not listed", f"{' with '.join(subjects)} is not on the checklist.")
    if not subjects:
        doubts.add("player", "No player is named yet.")
    certainty: Certainty = "unsure" if subjects and setting.lexicon.has_checklist else "likely"
    if not all(player.alone for player in weighed.players):
        doubts.add("which player", "Several players fit one of the names. Add letters.")
        certainty = "unsure"
    teams = _teams_as_typed(weighed, said, doubts)
    reading = replace(
        reading,
        subjects=Field(subjects, certainty),
        teams=teams,
        variation=Field(with_capitals(text_of(leftovers.variation, said)), "likely" if leftovers.variation else "sure"),
        numbered_to=Field(said.numbered_to),
        features=Field(in_trade_order(leftovers.features)),
        product_id=_product(None, setting),
    )
    return Draft(_with_doubts(reading, doubts))


def _players_as_typed(weighed: Weighed, said: Said) -> tuple[str, ...]:
    """Known players in their place in the line, the others by their words."""
    if not weighed.players:
        return typed_names(weighed.leftovers.left, said)
    names: list[str] = []
    for player, places in zip(weighed.players, segments(range(len(said.words)), said), strict=True):
        own = [place for place in places if place in weighed.leftovers.left]
        names.extend(player.known.subjects if player.known else typed_names(own, said))
    return tuple(names)


def _teams_as_typed(weighed: Weighed, said: Said, doubts: _Doubts) -> Field[tuple[str, ...]]:
    typed = _typed_teams(weighed.leftovers, said, doubts)
    said_too = [team for player in weighed.players if player.known and player.team_said for team in player.known.teams]
    known = [team for player in weighed.players if player.known for team in player.known.teams]
    if typed.value or said_too or not known:
        return replace(typed, value=tuple(sorted({*typed.value, *said_too})))
    teams = tuple(sorted(set(known)))
    doubts.add("older list", f"{' / '.join(teams)} is what other checklists say; the printed teams count.")
    return Field(teams, "likely" if all(player.known and player.alone for player in weighed.players) else "unsure")


def _common(setting: Setting, leftovers: Leftovers, doubts: _Doubts) -> Reading:
    """The fields that no name decides."""
    said, kept, named = setting.said, setting.kept, setting.named
    doubts.found.extend(said.doubts)
    doubts.found.extend(named.doubts)
    ids = tuple(sorted({*named.ids, *leftovers.named}))
    certainty: Certainty = "likely" if leftovers.named and named.certainty == "sure" else named.certainty
    return Reading(
        serial=Field(1, origin="rule") if said.serial is None and said.numbered_to == 1 else Field(said.serial),
        expires_on=_expiry(setting, doubts),
        box=Field(kept.box, origin="kept") if said.box is None and kept.box is not None else Field(said.box),
        pick=Field(said.pick),
        value=Field(said.value),
        kind=Field(said.kind) if said.kind else Field(DEFAULT_KIND, origin="rule"),
        plan=Field(said.plan) if said.plan else Field(DEFAULT_PLAN, origin="rule"),
        tag=Field(said.tag),
        note=Field(said.note),
        named=Field(ids, certainty),
    )


def _expiry(setting: Setting, doubts: _Doubts) -> Field[date | None]:
    said, kept = setting.said, setting.kept
    if said.no_expiry:
        return Field(None)
    if said.expiry is None:
        return Field(kept.expires_on, origin="kept") if kept.expires_on else Field(None)
    day, other = said.expiry.day, said.expiry.other
    if other is None or day == kept.expires_on:
        return Field(day)
    doubts.add("date", f"The date was read month first, as {_in_words(day)}; day first it is {_in_words(other)}.")
    return Field(day, "unsure")


def _in_words(day: date) -> str:
    return f"{day.day} {day.strftime('%B')} {day.year}"


def _rivals(match: Match, matches: Sequence[Match]) -> tuple[list[Candidate], list[Candidate]]:
    """The candidates that fit exactly as well, and those that fit nearly as well."""
    equals: list[Candidate] = []
    close: list[Candidate] = []
    for other in matches:
        if other.score < match.score - _CLOSE:
            break
        if other is not match and other.candidate.source != "team":
            same = other.rank == match.rank
            (equals if same else close).append(other.candidate)
    return equals, close


def _certainty(
    candidate: Candidate,
    equals: Sequence[Candidate],
    close: Sequence[Candidate],
    value: Callable[[Candidate], object],
) -> Certainty:
    own = value(candidate)
    if any(value(other) != own for other in equals):
        return "unsure"
    return (
        "likely" if any(value(other) != own and not _has_more_players(other, candidate) for other in close) else "sure"
    )


def _has_more_players(other: Candidate, candidate: Candidate) -> bool:
    """Whether the other is a card of these players with more: what is not typed is taken not to be there."""
    return set(other.subject_key) > set(candidate.subject_key)


def _with_names(
    reading: Reading,
    match: Match,
    equals: Sequence[Candidate],
    close: Sequence[Candidate],
    leftovers: Leftovers,
    setting: Setting,
    doubts: _Doubts,
) -> Reading:
    candidate = match.candidate
    origin = _origin(candidate)
    subjects = Field(candidate.subjects, _certainty(candidate, equals, close, _subjects), origin)
    players = list(dict.fromkeys(" / ".join(other.subjects) for other in (candidate, *equals)))
    if len(players) > 1:
        doubts.add("which player", f"{len(players)} players fit: {', '.join(players[:3])}. Add letters.")
    slips = [fit for fit in match.fits if fit is not None and fit.how == "slip"]
    if slips:
        meant = ", ".join(with_capitals(fit.known) for fit in slips)
        doubts.add("spelling", f"Read as {meant}, spelled differently.")
        subjects = replace(subjects, certainty="likely" if subjects.certainty == "sure" else subjects.certainty)
    if not candidate.subjects:
        doubts.add("player", "No player is named yet.")
    teams = _teams_of(match, equals, close, leftovers, setting, doubts)
    return replace(reading, subjects=subjects, teams=teams)


def _teams_of(
    match: Match,
    equals: Sequence[Candidate],
    close: Sequence[Candidate],
    leftovers: Leftovers,
    setting: Setting,
    doubts: _Doubts,
) -> Field[tuple[str, ...]]:
    candidate = match.candidate
    said_team = any(fit is not None and fit.role is Role.TEAM for fit in match.fits)
    if leftovers.teams or setting.said.no_team:
        typed = _typed_teams(leftovers, setting.said, doubts)
        if candidate.source == "checklist" and candidate.teams:
            doubts.add("team", f"The checklist says {' / '.join(candidate.teams)}; the line says otherwise.")
            return replace(typed, certainty="unsure")
        if not candidate.subjects or said_team:
            return replace(typed, value=tuple(sorted({*candidate.teams, *typed.value})))
        return typed
    if candidate.source == "team":
        return Field(candidate.teams, "likely" if any(fit and fit.how == "slip" for fit in match.fits) else "sure")
    certainty = _certainty(candidate, equals, close, _teams)
    same_player = [other for other in (*equals, *close) if _subjects(other) == _subjects(candidate)]
    teams = list(dict.fromkeys(" / ".join(other.teams) for other in (candidate, *same_player) if other.teams))
    if len(teams) > 1 and not said_team and len({_teams(other) for other in (candidate, *equals)}) > 1:
        doubts.add("two teams", f"The player is known with {' and with '.join(teams[:3])}.")
    if candidate.source == "older" and not said_team and candidate.teams:
        doubts.add("older list", f"{' / '.join(candidate.teams)} is from an older checklist; the printed team counts.")
        certainty = "unsure" if len(teams) > 1 else "likely"
    return Field(candidate.teams, certainty, _origin(candidate))


def _typed_teams(leftovers: Leftovers, said: Said, doubts: _Doubts) -> Field[tuple[str, ...]]:
    if said.no_team and not leftovers.teams:
        return Field((NO_TEAM,))
    if leftovers.rival_teams:
        fitting = ", ".join([*leftovers.teams, *leftovers.rival_teams][:3])
        doubts.add("which team", f"Several teams fit: {fitting}. Add letters.")
    certainty: Certainty = "unsure" if leftovers.rival_teams else "likely" if leftovers.team_slip else "sure"
    return Field(tuple(sorted(set(leftovers.teams))), certainty)


def _with_card(
    reading: Reading,
    match: Match,
    equals: Sequence[Candidate],
    close: Sequence[Candidate],
    leftovers: Leftovers,
    setting: Setting,
    doubts: _Doubts,
) -> Reading:
    candidate, said = match.candidate, setting.said
    equals = [other for other in equals if _subjects(other) == _subjects(candidate)]
    close = [other for other in close if _subjects(other) == _subjects(candidate)]
    card = candidate.card
    variation = Field(candidate.variation, _certainty(candidate, equals, close, _variation), _origin(candidate))
    own_features = candidate.card.features if candidate.card else ()
    features = Field(own_features, _certainty(candidate, equals, close, _features), _origin(candidate))
    run = Field(candidate.numbered_to, _certainty(candidate, equals, close, _run), _origin(candidate))
    certainty: Certainty = "unsure" if any(other.card != card for other in equals) else "sure"
    card_id = Field(card.id if card else None, certainty, _origin(candidate))
    added = [*leftovers.features, *leftovers.guessed_features]
    if added:
        features = Field((*own_features, *in_trade_order(added)), "unsure" if card else "sure")
        if card:
            doubts.add("features", f"The checklist has no {' and '.join(in_trade_order(added))} on this card.")
    if leftovers.variation:
        typed = with_capitals(text_of(leftovers.variation, said))
        variation = Field(typed, "unsure" if card else "likely")
        if card:
            doubts.add("variation", f"The checklist has no such card of this player in {typed}.")
            card_id = Field(None, "unsure", "checklist")
    if said.numbered_to is not None:
        if card and run.value != said.numbered_to:
            listed = f"a print run of {run.value}" if run.value else "no print run"
            doubts.add("print run", f"The checklist has {listed} for this card; the line says {said.numbered_to}.")
            card_id = replace(card_id, certainty="unsure")
        run = Field(said.numbered_to, "unsure" if card and run.value != said.numbered_to else "sure")
    if card and any(other.card != card for other in equals):
        doubts.add("which card", f"{1 + len(equals)} cards of this player fit; the first is shown.")
    return replace(
        reading,
        variation=variation,
        features=features,
        numbered_to=run,
        card_id=card_id,
        product_id=_product(candidate, setting, equals),
        serial=Field(1, origin="rule") if said.serial is None and run.value == 1 else reading.serial,
    )


def _product(candidate: Candidate | None, setting: Setting, equals: Sequence[Candidate] = ()) -> Field[int | None]:
    kept, facts = setting.kept, setting.lexicon.facts
    if candidate is not None and candidate.product_id is not None:
        alike = all(other.product_id == candidate.product_id for other in equals)
        return Field(candidate.product_id, "sure" if alike else "unsure", "checklist")
    if kept.product_id is not None:
        return Field(kept.product_id, "sure", "kept")
    if facts is not None and len(facts.product_ids) == 1:
        return Field(facts.product_ids[0], "sure", "rule")
    return Field(None)


def _origin(candidate: Candidate) -> Origin:
    return _ORIGINS[candidate.source]


def _subjects(candidate: Candidate) -> object:
    return candidate.subject_key


def _teams(candidate: Candidate) -> object:
    return candidate.team_key


def _variation(candidate: Candidate) -> object:
    return candidate.variation


def _features(candidate: Candidate) -> object:
    return candidate.features


def _run(candidate: Candidate) -> object:
    return candidate.numbered_to


def _with_doubts(reading: Reading, doubts: _Doubts) -> Reading:
    return replace(reading, doubts=tuple(dict.fromkeys(doubts.found)))

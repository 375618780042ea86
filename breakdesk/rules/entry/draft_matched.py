"""The reading of a line that means one of the candidates."""

from __future__ import annotations

from dataclasses import dataclass, replace
from operator import attrgetter

from breakdesk.rules.break_facts import Card
from breakdesk.rules.entry.candidates import Role, Source
from breakdesk.rules.entry.common import common_fields, product_field, typed_teams
from breakdesk.rules.entry.leftovers import Leftovers, text_of, with_capitals
from breakdesk.rules.entry.matching import Match
from breakdesk.rules.entry.reading import Field, Origin, Reading
from breakdesk.rules.entry.rivals import Rivals, rivals_of
from breakdesk.rules.entry.setting import Draft, Setting
from breakdesk.rules.entry.words import in_trade_order
from breakdesk.rules.ownership import Doubt

_ORIGINS: dict[Source, Origin] = {"checklist": "checklist", "older": "older", "spot": "rule", "team": "line"}


@dataclass(frozen=True, slots=True)
class _Case:
    """A match with all that its fields are read from, and the doubts found on the way."""

    match: Match
    leftovers: Leftovers
    setting: Setting
    rivals: Rivals
    doubts: list[Doubt]

    @property
    def origin(self) -> Origin:
        return _ORIGINS[self.match.candidate.source]

    @property
    def card(self) -> Card | None:
        return self.match.candidate.card

    def doubt(self, word: str, sentence: str) -> None:
        self.doubts.append(Doubt(word, sentence))


def draft_of_match(match: Match, leftovers: Leftovers, setting: Setting) -> Draft:
    """The reading in which the line means this candidate and its other words what they were sorted into."""
    case = _Case(match, leftovers, setting, rivals_of(match, setting.found.matches), [])
    reading = _with_card(common_fields(setting, leftovers, case.doubts), case, _subjects(case), _teams(case))
    return Draft(reading, (match.candidate, *case.rivals.equals))


def _subjects(case: _Case) -> Field[tuple[str, ...]]:
    candidate = case.match.candidate
    subjects = Field(candidate.subjects, case.rivals.certainty(attrgetter("subject_key")), case.origin)
    players = list(dict.fromkeys(" / ".join(other.subjects) for other in (candidate, *case.rivals.equals)))
    if len(players) > 1:
        case.doubt("which player", f"{len(players)} players fit: {', '.join(players[:3])}: add letters.")
    slips = [fit.known for fit in case.match.fits if fit is not None and fit.how == "slip"]
    if slips:
        case.doubt("spelling", f"Read as {', '.join(map(with_capitals, slips))}, spelled differently.")
        subjects = replace(subjects, certainty="likely" if subjects.certainty == "sure" else subjects.certainty)
    if not candidate.subjects:
        case.doubt("player", "No player is named yet.")
    return subjects


def _teams(case: _Case) -> Field[tuple[str, ...]]:
    if case.leftovers.teams or case.setting.said.no_team:
        return _teams_beside_candidate(case)
    if case.match.candidate.source == "team":
        slip = any(fit is not None and fit.how == "slip" for fit in case.match.fits)
        return Field(case.match.candidate.teams, "likely" if slip else "sure")
    return _candidates_teams(case)


def _teams_beside_candidate(case: _Case) -> Field[tuple[str, ...]]:
    """Teams that the line names beside the candidate's own: the line is believed, and a difference is said."""
    candidate = case.match.candidate
    typed = typed_teams(case.leftovers, case.setting.said, case.doubts)
    if candidate.source == "checklist" and candidate.teams:
        case.doubt("team", f"The checklist says {' / '.join(candidate.teams)}; the line says otherwise.")
        return replace(typed, certainty="unsure")
    if not candidate.subjects or _team_was_said(case):
        return replace(typed, value=tuple(sorted({*candidate.teams, *typed.value})))
    return typed


def _candidates_teams(case: _Case) -> Field[tuple[str, ...]]:
    candidate, said = case.match.candidate, _team_was_said(case)
    certainty = case.rivals.certainty(attrgetter("team_key"))
    same = case.rivals.of_the_same_players()
    teams = list(dict.fromkeys(" / ".join(one.teams) for one in (candidate, *same.equals, *same.close) if one.teams))
    if not said and any(other.team_key != candidate.team_key for other in same.equals):
        case.doubt("two teams", f"The player is known with {' and with '.join(teams[:3])}.")
    if candidate.source == "older" and candidate.teams and not said:
        case.doubt("older list", f"{' / '.join(candidate.teams)} is from an older checklist; the printed team counts.")
        certainty = "unsure" if len(teams) > 1 else "likely"
    return Field(candidate.teams, certainty, case.origin)


def _team_was_said(case: _Case) -> bool:
    return any(fit is not None and fit.role is Role.TEAM for fit in case.match.fits)


def _with_card(
    reading: Reading, case: _Case, subjects: Field[tuple[str, ...]], teams: Field[tuple[str, ...]]
) -> Reading:
    """The card with what the checklist knows of it, and with what the line says differently."""
    same, card = case.rivals.of_the_same_players(), case.card
    card_id: Field[int | None] = Field(card.id if card else None, "sure", case.origin)
    if card and any(other.card != card for other in same.equals):
        case.doubt("which card", f"{1 + len(same.equals)} cards of this player fit; the first is shown.")
        card_id = replace(card_id, certainty="unsure")
    variation, run, features = _variation(case, same), _print_run(case, same), _features(case, same)
    if card and case.leftovers.variation:
        card_id = Field(None, "unsure", case.origin)
    elif card and run.value != card.numbered_to:
        card_id = replace(card_id, certainty="unsure")
    note = _note(case, reading.note)
    # One copy of the reading, not one for every part: this runs several times for each letter that is typed.
    return replace(
        reading,
        subjects=subjects,
        teams=teams,
        card_id=card_id,
        variation=variation,
        numbered_to=run,
        features=features,
        product_id=product_field(case.match.candidate, case.setting, same.equals),
        serial=Field(1, origin="rule") if case.setting.said.serial is None and run.value == 1 else reading.serial,
        note=note,
        doubts=tuple(case.doubts),
    )


def _note(case: _Case, said: Field[str]) -> Field[str]:
    if not case.leftovers.left:
        return said
    left = text_of(case.leftovers.left, case.setting.said)
    case.doubt("left over", f"“{left}” fits nothing known and goes into the note.")
    return Field(" ".join(filter(None, (left, said.value))), "unsure")


def _variation(case: _Case, same: Rivals) -> Field[str]:
    if not case.leftovers.variation:
        return Field(case.match.candidate.variation, same.certainty(attrgetter("variation")), case.origin)
    typed = with_capitals(text_of(case.leftovers.variation, case.setting.said))
    if case.card:
        case.doubt("variation", f"The checklist has no such card of this player in {typed}.")
    return Field(typed, "unsure" if case.card else "likely")


def _print_run(case: _Case, same: Rivals) -> Field[int | None]:
    listed, said = case.match.candidate.numbered_to, case.setting.said.numbered_to
    if said is None:
        return Field(listed, same.certainty(attrgetter("numbered_to")), case.origin)
    if case.card is None or listed == said:
        return Field(said)
    words = f"a print run of {listed}" if listed else "no print run"
    case.doubt("print run", f"The checklist has {words} for this card; the line says {said}.")
    return Field(said, "unsure")


def _features(case: _Case, same: Rivals) -> Field[tuple[str, ...]]:
    own = case.card.features if case.card else ()
    added = in_trade_order([*case.leftovers.features, *case.leftovers.guessed_features])
    if not added:
        return Field(own, same.certainty(attrgetter("features")), case.origin)
    if case.card:
        case.doubt("features", f"The checklist has no {' and '.join(added)} on this card.")
    return Field((*own, *added), "unsure" if case.card else "sure")

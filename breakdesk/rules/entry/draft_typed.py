"""The reading of a line whose player no list knows, or that names no player."""

from __future__ import annotations

from dataclasses import replace

from breakdesk.rules.entry.common import common_fields, product_field, typed_teams
from breakdesk.rules.entry.leftovers import text_of, with_capitals
from breakdesk.rules.entry.parted import segments, typed_names
from breakdesk.rules.entry.reading import Certainty, Field
from breakdesk.rules.entry.said import Said
from breakdesk.rules.entry.setting import Draft, Setting
from breakdesk.rules.entry.weigh import Weighed
from breakdesk.rules.entry.words import in_trade_order
from breakdesk.rules.ownership import Doubt


def draft_as_typed(weighed: Weighed, setting: Setting) -> Draft:
    """The reading in which the words that mean nothing known are the player's name."""
    said, leftovers = setting.said, weighed.leftovers
    doubts: list[Doubt] = []
    reading = common_fields(setting, leftovers, doubts)
    subjects = _players_as_typed(weighed, said)
    if subjects and setting.lexicon.has_checklist:
        doubts.append(Doubt("not listed", f"{' with '.join(subjects)} is not on the checklist."))
    if not subjects:
        doubts.append(Doubt("player", "No player is named yet."))
    certainty: Certainty = "unsure" if subjects and setting.lexicon.has_checklist else "likely"
    if not all(player.alone for player in weighed.players):
        doubts.append(Doubt("which player", "Several players fit one of the names: add letters."))
        certainty = "unsure"
    teams = _teams_as_typed(weighed, said, doubts)
    reading = replace(
        reading,
        subjects=Field(subjects, certainty),
        teams=teams,
        variation=Field(with_capitals(text_of(leftovers.variation, said)), "likely" if leftovers.variation else "sure"),
        numbered_to=Field(said.numbered_to),
        features=Field(in_trade_order(leftovers.features)),
        product_id=product_field(None, setting),
    )
    return Draft(replace(reading, doubts=tuple(doubts)))


def _players_as_typed(weighed: Weighed, said: Said) -> tuple[str, ...]:
    """Known players in their place in the line, the others by their words."""
    if not weighed.players:
        return typed_names(weighed.leftovers.left, said)
    names: list[str] = []
    for player, places in zip(weighed.players, segments(range(len(said.words)), said), strict=True):
        own = [place for place in places if place in weighed.leftovers.left]
        names.extend(player.known.subjects if player.known else typed_names(own, said))
    return tuple(names)


def _teams_as_typed(weighed: Weighed, said: Said, doubts: list[Doubt]) -> Field[tuple[str, ...]]:
    typed = typed_teams(weighed.leftovers, said, doubts)
    said_too = [team for player in weighed.players if player.known and player.team_said for team in player.known.teams]
    known = [team for player in weighed.players if player.known for team in player.known.teams]
    if typed.value or said_too or not known:
        return replace(typed, value=tuple(sorted({*typed.value, *said_too})))
    teams = tuple(sorted(set(known)))
    doubts.append(Doubt("older list", f"{' / '.join(teams)} is what other checklists say; the printed teams count."))
    return Field(teams, "likely" if all(player.known and player.alone for player in weighed.players) else "unsure")

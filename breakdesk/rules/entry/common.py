"""The fields of a reading that do not depend on which candidate the line means."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from breakdesk.rules.entry.candidates import Candidate
from breakdesk.rules.entry.leftovers import Leftovers
from breakdesk.rules.entry.reading import Certainty, Field, Reading
from breakdesk.rules.entry.said import Said
from breakdesk.rules.entry.setting import Setting
from breakdesk.rules.entry.words import DEFAULT_KIND, DEFAULT_PLAN
from breakdesk.rules.ownership import NO_TEAM, Doubt
from breakdesk.rules.wording import day_in_words


def common_fields(setting: Setting, leftovers: Leftovers, doubts: list[Doubt]) -> Reading:
    """The fields that no name decides; what is doubtful about them is added to the doubts."""
    said, kept, named = setting.said, setting.kept, setting.named
    doubts.extend(said.doubts)
    doubts.extend(named.doubts)
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


def _expiry(setting: Setting, doubts: list[Doubt]) -> Field[date | None]:
    said, kept = setting.said, setting.kept
    if said.no_expiry:
        return Field(None)
    if said.expiry is None:
        return Field(kept.expires_on, origin="kept") if kept.expires_on else Field(None)
    day, other = said.expiry.day, said.expiry.other
    if other is None or day == kept.expires_on:
        return Field(day)
    doubts.append(
        Doubt("date", f"The date was read month first, as {day_in_words(day)}; day first it is {day_in_words(other)}.")
    )
    return Field(day, "unsure")


def typed_teams(leftovers: Leftovers, said: Said, doubts: list[Doubt]) -> Field[tuple[str, ...]]:
    """The teams that the line names beside the candidate's own words."""
    if said.no_team and not leftovers.teams:
        return Field((NO_TEAM,))
    if leftovers.rival_teams:
        fitting = ", ".join([*leftovers.teams, *leftovers.rival_teams][:3])
        doubts.append(Doubt("which team", f"Several teams fit: {fitting}: add letters."))
    certainty: Certainty = "unsure" if leftovers.rival_teams else "likely" if leftovers.team_slip else "sure"
    return Field(tuple(sorted(set(leftovers.teams))), certainty)


def product_field(candidate: Candidate | None, setting: Setting, equals: Sequence[Candidate] = ()) -> Field[int | None]:
    """The product: the card's, else the one kept from before, else the only one of the break."""
    kept, facts = setting.kept, setting.lexicon.facts
    if candidate is not None and candidate.product_id is not None:
        alike = all(other.product_id == candidate.product_id for other in equals)
        return Field(candidate.product_id, "sure" if alike else "unsure", "checklist")
    if kept.product_id is not None:
        return Field(kept.product_id, "sure", "kept")
    if facts is not None and len(facts.product_ids) == 1:
        return Field(facts.product_ids[0], "sure", "rule")
    return Field(None)

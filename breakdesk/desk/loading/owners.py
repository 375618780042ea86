"""Whom a row's card is for: who is named, else whom the spots of its break name, else the house."""

from __future__ import annotations

from typing import Any, cast

from breakdesk.desk.loading.names import Names
from breakdesk.desk.loading.plan import Place, Plan
from breakdesk.files.row_kinds import ClaimRow
from breakdesk.rules.break_facts import BreakFacts, BreakFormat, Spot
from breakdesk.rules.clocks import EPOCH, instant_of
from breakdesk.rules.ownership import Owner, Ownership, Pull, owner_of
from breakdesk.store import models


class Owners:
    """Finds owners; breaks and their spots are those of the desk together with those of the load."""

    def __init__(self, plan: Plan, names: Names) -> None:
        self._plan = plan
        self._names = names
        self._breaks: dict[int, BreakFacts] = {}
        self._answers: dict[tuple[Any, ...], Ownership] = {}
        self._spots: dict[int, list[Spot]] | None = None

    def of(self, row: ClaimRow, break_id: int | None, product_id: int | None, place: Place) -> Owner:
        """The owner of a row's card, with a warning where the break does not say."""
        if row.participants:
            return self.named(row, place)
        if break_id is None:
            return Owner.house()
        facts = self._facts(break_id)
        if not facts.spots:
            what = "the owner is not known yet, because the break has no spots"
            self._plan.warn(place, "participant", None, what, "Load the spots first, or name the participant.")
            return Owner.nobody()
        found = self.by_spots(break_id, product_id, row.subject, row.team, row.numbered_to, row.serial)
        for doubt in found.doubts:
            sentence = doubt.sentence.rstrip(".")
            self._plan.warn(place, "participant", None, sentence[0].lower() + sentence[1:], "Check the owner.")
        return found.owner

    def named(self, row: ClaimRow, place: Place) -> Owner:
        """The participants whom a row names; the house by its own name."""
        ids = []
        house_too = False
        for name in row.participants:
            if self._names.is_house(name):
                house_too = True
                continue
            person_id = self._names.person(name, place)
            if person_id is not None:
                ids.append(person_id)
        return Owner.several(ids, house_too=house_too)

    def by_spots(
        self,
        break_id: int,
        product_id: int | None,
        subject: str,
        team: str,
        numbered_to: int | None,
        serial: int | None,
    ) -> Ownership:
        """The owner by the spots of a break; several subjects or teams are joined by `;`."""
        key = (break_id, product_id, subject, team, numbered_to == 1, serial)
        if key not in self._answers:
            pull = Pull(
                product_id=product_id,
                subjects=tuple(filter(None, subject.split(";"))),
                teams=tuple(filter(None, team.split(";"))),
                numbered_to=numbered_to,
                serial=serial,
            )
            self._answers[key] = owner_of(pull, self._facts(break_id))
        return self._answers[key]

    def _facts(self, break_id: int) -> BreakFacts:
        if break_id not in self._breaks:
            row = self._plan.snapshot.breaks[break_id]
            starts = row["starts_at"]
            self._breaks[break_id] = BreakFacts(
                id=break_id,
                name=row["name"],
                format=cast("BreakFormat", row["format"]),
                product_ids=tuple(self._plan.snapshot.break_products.get(break_id, ())),
                spots=tuple(self._all_spots().get(break_id, ())),
                starts_at=instant_of(starts) if starts is not None else EPOCH,
            )
        return self._breaks[break_id]

    def _all_spots(self) -> dict[int, list[Spot]]:
        if self._spots is None:
            rows = [*self._plan.snapshot.spots.values(), *self._plan.rows.get(models.Spot, ())]
            holders = {key: sorted(people) for key, people in self._plan.snapshot.holders.items()}
            for held in self._plan.rows.get(models.SpotHolder, ()):
                holders.setdefault(held["spot_id"], []).append(held["participant_id"])
            self._spots = {}
            for row in rows:
                spot = Spot(
                    id=row["id"],
                    product_id=row["product_id"],
                    holds=tuple(row["holds"].split(";")),
                    owners=tuple(holders.get(row["id"], ())),
                    order=row["order_number"],
                )
                self._spots.setdefault(row["break_id"], []).append(spot)
        return self._spots

"""The outlook of the desk: how long each maker takes, and what that says of one claim. A look back, never a promise."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from breakdesk.desk.desk import Desk
from breakdesk.desk.problems import Problem
from breakdesk.rules.maker_outlook import MakerOutlook, Tally, maker_outlooks, tallied
from breakdesk.rules.names import folded
from breakdesk.rules.outlook import Curve, Forecast, choose_curve, estimate, forecast, outlook_sentence
from breakdesk.store import models
from breakdesk.store.claims import claim_with_tag
from breakdesk.store.parties import read_house
from breakdesk.store.waits import observed_waits, wait_of, waits_of


def outlook(desk: Desk) -> tuple[MakerOutlook, ...]:
    """One item for each maker by name, and last the one for all, as of the desk's instant."""
    names = {row.id: row.name for row in models.Maker.select(models.Maker.id, models.Maker.name)}
    return maker_outlooks(names, observed_waits(desk.database, read_house().today(desk.clock.as_of())))


def outlook_of_maker(desk: Desk, name: str) -> MakerOutlook | Problem:
    """The outlook of one maker."""
    wanted = folded(name)
    for item in outlook(desk):
        if item.maker is not None and folded(item.maker) == wanted:
            return item
    return Problem(f"No maker is called {name}.", "Check the name; `breakdesk outlook` lists them all.")


@dataclass(frozen=True, slots=True, kw_only=True)
class ClaimForecast:
    """What the outlook of its maker says of one waiting claim; `pooled`: that of all makers."""

    tag: str
    maker: str | None
    pooled: bool
    curve: Curve
    forecast: Forecast

    @property
    def sentence(self) -> str:
        """What a customer may be told."""
        return outlook_sentence(self.forecast)


def forecast_of(desk: Desk, tag: str) -> ClaimForecast | Problem:
    """The outlook of one claim that waits, as of the desk's instant; a problem where it does not wait."""
    key = claim_with_tag(tag)
    if key is None:
        return Problem(f"There is no claim {tag}.", "Check the tag; `breakdesk owed` and `breakdesk search` list them.")
    row = models.Claim.get_by_id(key)
    as_of = read_house().today(desk.clock.as_of())
    waited = wait_of(desk.database, key, as_of)
    if waited is None or waited.end != "waiting":
        return Problem(
            f"{row.tag} does not wait for a maker, so there is no outlook for it.",
            "There is one from the day a claim is submitted until its card comes.",
        )
    by_maker, everything = tallied(observed_waits(desk.database, as_of))
    own = Tally() if row.maker_id is None else by_maker[row.maker_id]
    chosen = choose_curve(own.waits, estimate(everything.waits))
    maker = None if row.maker_id is None else models.Maker.get_by_id(row.maker_id).name
    seen = forecast(chosen.curve, waited.wait.days)
    return ClaimForecast(tag=row.tag, maker=maker, pooled=chosen.pooled, curve=chosen.curve, forecast=seen)


class MessageOutlook:
    """What messages may say of how long cards take; reckoned once for as many messages as are written."""

    def __init__(self, desk: Desk) -> None:
        """Make it as of the desk's instant."""
        house = read_house()
        self._desk = desk
        self._as_of = house.today(desk.clock.as_of())
        self._is_on = house.terms.on("outlook_in_messages", self._as_of) == "on"

    def sentences(self, claim_ids: Sequence[int]) -> dict[int, str]:
        """The sentences about those that wait, by key; none where the house switched them off."""
        if not self._is_on or not claim_ids:
            return {}
        waits = waits_of(self._desk.database, claim_ids, self._as_of)
        waiting = {claim_id: found.wait.days for claim_id, found in waits.items() if found.end == "waiting"}
        claims = models.Claim
        rows = claims.select(claims.id, claims.maker).where(claims.id.in_(list(waiting)))
        return {row.id: self._sentence(row.maker_id, waiting[row.id]) for row in rows}

    @cached_property
    def _curves(self) -> tuple[dict[int | None, Curve], Curve]:
        """The curve of each maker, and that of all."""
        by_maker, everything = tallied(observed_waits(self._desk.database, self._as_of))
        of_all = estimate(everything.waits)
        return {key: choose_curve(tally.waits, of_all).curve for key, tally in by_maker.items()}, of_all

    def _sentence(self, maker_id: int | None, days: int) -> str:
        curves, of_all = self._curves
        return outlook_sentence(forecast(curves.get(maker_id, of_all), days))

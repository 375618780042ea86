"""The parties to a claim: the house, its makers and its participants, as the rules read them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from functools import lru_cache

from breakdesk.rules.claim import Listed
from breakdesk.rules.names import name_order
from breakdesk.rules.office import Office, is_open, next_opening, parse_hour
from breakdesk.rules.start_line import StartLine, start_line_of, without_later_lines
from breakdesk.rules.terms import HOUSE_DEFAULTS, MAKER_DEFAULTS, Terms
from breakdesk.rules.zones import local_day, start_of_day


def zone_at(terms: Terms, instant: datetime) -> str:
    """The zone in force at an instant: the latest settled one whose first day has begun there."""
    versions = terms.versions.get("zone", ())
    for version in reversed(versions):
        if version.from_day is None or version.from_day <= local_day(instant, version.value):
            return version.value
    return terms.defaults["zone"]


@dataclass(frozen=True, slots=True)
class House:
    """The operator's business. `name` is what people see."""

    name: str = "The house"
    terms: Terms = field(default_factory=lambda: Terms(HOUSE_DEFAULTS))

    def zone_at(self, instant: datetime) -> str:
        """The house's zone at an instant."""
        return zone_at(self.terms, instant)

    def zone_on(self, day: date) -> str:
        """The house's zone on one of its days."""
        return self.terms.on("zone", day)

    def today(self, now: datetime) -> date:
        """The house's date at `now`."""
        return local_day(now, self.zone_at(now))

    @property
    def start_line(self) -> StartLine | None:
        """The day on which the house began with an old list, if it drew a line there."""
        return start_line_of(self.terms)

    def as_of(self, day: date) -> House:
        """The house as known on one of its days: without a start line that was drawn later."""
        return replace(self, terms=without_later_lines(self.terms, day))


@dataclass(frozen=True, slots=True)
class Maker:
    """A maker with its policies over time and the days on which its office is closed.

    A claim without a maker is measured by a maker with no name and the stated defaults.
    """

    id: int | None = None
    name: str | None = None
    terms: Terms = field(default_factory=lambda: Terms(MAKER_DEFAULTS))
    holidays: frozenset[date] = frozenset()
    closed_days: frozenset[date] = frozenset()

    def zone_on(self, day: date) -> str:
        """The maker's zone on one of its days."""
        return self.terms.on("zone", day)

    def today(self, now: datetime) -> date:
        """The maker's date at `now`."""
        return local_day(now, zone_at(self.terms, now))

    def office_on(self, day: date) -> Office:
        """The office as it is kept on `day`."""
        opens, closes = self.terms.on("opens", day), self.terms.on("closes", day)
        return _office(self.zone_on(day), opens, closes, self.holidays, self.closed_days)

    def is_open(self, now: datetime) -> bool:
        """Whether the office is open at `now`."""
        return is_open(self.office_on(self.today(now)), now)

    def opening_after(self, now: datetime) -> datetime:
        """The UTC instant of the first opening after `now`, by the hours that are kept on the day of that opening."""
        day = self.today(now)
        while True:
            office = self.office_on(day)
            opening = next_opening(office, max(now, start_of_day(day, office.zone) - timedelta(microseconds=1)))
            if local_day(opening, office.zone) == day:
                return opening
            day += timedelta(days=1)


@lru_cache(maxsize=256)
def _office(zone: str, opens: str, closes: str, holidays: frozenset[date], closed_days: frozenset[date]) -> Office:
    opening = parse_hour(opens)
    if opening is None:
        raise ValueError("an office cannot open at 24:00")
    return Office(zone=zone, opens=opening, closes=parse_hour(closes), closed_days=holidays | closed_days)


@dataclass(frozen=True, slots=True)
class Person:
    """A participant, with what the rules must know about where their cards can go.

    `moved_on` is the day on which they said that they moved; `delivered_on` the last delivery to the
    present address; `last_told_on` the latest telling about any claim.
    """

    id: int
    name: str
    handle: str = ""
    on_air_name: str = ""
    has_address: bool = False
    address_country: str = ""
    address_confirmed_on: date | None = None
    moved_on: date | None = None
    delivered_on: date | None = None
    last_told_on: date | None = None
    on_hold: bool = False

    def address_stale_from(self, house: House) -> date:
        """The first day on which the address has to be confirmed again; the first of all days where it never was.

        It counts as confirmed when confirmed or delivered to within `address_fresh_days`, unless the
        participant said "I moved" since.
        """
        known = [day for day in (self.address_confirmed_on, self.delivered_on) if day is not None]
        if not self.has_address or not known:
            return date.min
        latest = max(known)
        stale = latest + timedelta(days=house.terms.count_on("address_fresh_days", latest) + 1)
        if self.moved_on is not None and latest <= self.moved_on:
            return min(self.moved_on, stale)
        return stale

    def address_is_confirmed(self, house: House, today: date) -> bool:
        """Whether a card can go to the address without asking."""
        return today < self.address_stale_from(house)


NO_MAKER = Maker()


@dataclass(frozen=True, slots=True, kw_only=True)
class Parties:
    """Everybody a set of claims concerns, by key."""

    house: House
    makers: Mapping[int, Maker]
    people: Mapping[int, Person]

    def maker_of(self, claim: Listed) -> Maker:
        """The claim's maker; one with the stated defaults where none is known."""
        return self.makers.get(claim.maker_id, NO_MAKER) if claim.maker_id is not None else NO_MAKER

    def makers_by_name(self, keys: Iterable[int | None]) -> tuple[Maker, ...]:
        """The makers with these keys, by name; None is the one with the stated defaults."""
        makers = (NO_MAKER if key is None else self.makers[key] for key in keys)
        return tuple(sorted(makers, key=lambda maker: name_order(maker.name)))

    def owner_name(self, claim: Listed) -> str | None:
        """Who is owed: a participant's name, the house's, or None for several or nobody yet."""
        if claim.owner_kind == "house":
            return self.house.name
        return self.people[claim.owner_id].name if claim.owner_id is not None else None

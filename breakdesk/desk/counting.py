"""How much waits today: counted from the indexed due days where that is exact, else from the five lists.

The screen opens with these figures, so they must not cost more as a desk grows. What a column cannot tell is left to
the rules, for the few claims that it concerns; what is parked is taken out one by one.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import TYPE_CHECKING

from breakdesk.desk.desk import Desk
from breakdesk.desk.promises import promises_due
from breakdesk.rules.names import name_order
from breakdesk.rules.parties import NO_MAKER, House, Maker, Parties
from breakdesk.rules.rounds.ask import to_ask
from breakdesk.rules.rounds.decide import is_late_refusal, to_decide
from breakdesk.rules.rounds.items import Parked, ToDecide, ToSubmit
from breakdesk.rules.rounds.ship import soonest_to_give
from breakdesk.rules.rounds.submit import to_submit
from breakdesk.rules.rounds.tell import telling_days
from breakdesk.store import counting, maker_marks, past
from breakdesk.store.notices import count_notices
from breakdesk.store.parties import read_parties, read_people
from breakdesk.store.projecting import claims_of_people, people_in
from breakdesk.store.windows import count_on_hold, makers_with_held_messages

if TYPE_CHECKING:
    from breakdesk.desk.viewing import TodayView


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """How much is in each round, and what of it burns."""

    now: datetime
    house: House
    submit: tuple[ToSubmit, ...]
    ask: tuple[tuple[Maker, int], ...]
    """Makers with at least one claim to ask about, by name, and how many those are."""
    tell: int
    late_tellings: int
    ship: int
    unconfirmed: int
    giving: tuple[int, int | None]
    """How many claim cards to be given expire soon, and the fewest days that are left of one."""
    decide: Counter[str]
    """Decisions by their reason."""
    late_refusals: int
    on_hold: int
    notices: int
    """Claims of which a notice of delay is due."""
    held: tuple[Maker, ...]
    """Makers to whom a message is held, by name."""


def figures_of(view: TodayView) -> Figures:
    """The figures of the five lists."""
    lists, house = view.today, view.parties.house
    day = house.today(lists.as_of)
    return Figures(
        now=lists.as_of,
        house=house,
        submit=lists.submit,
        ask=tuple((item.maker, len(item.claims)) for item in lists.ask),
        tell=len(lists.tell),
        late_tellings=sum(item.due_on < day for item in lists.tell),
        ship=len(lists.ship),
        unconfirmed=sum(not item.address_confirmed for item in lists.ship),
        giving=soonest_to_give((claim for item in lists.ship for claim in item.claims), view.parties, lists.as_of),
        decide=Counter(item.why for item in lists.decide),
        late_refusals=_late_refusals(lists.decide, house, day),
        on_hold=view.on_hold,
        notices=view.notices,
        held=view.held,
    )


def figures(desk: Desk) -> Figures:
    """The figures as of the desk's instant: the same that the five lists would give."""
    now = desk.clock.as_of()
    parties = read_parties(desk.database, ())
    day = parties.house.today(now)
    days: dict[int | None, date] = {key: maker.today(now) for key, maker in parties.makers.items()}
    days[None] = NO_MAKER.today(now)
    if past.has_later_facts(desk.database, day, days):
        from breakdesk.desk.viewing import today

        return figures_of(today(desk))
    parked = Parked(past.parked_as_of(desk.database, day))
    return _Counted(desk, now, day, days, parties, parked).figures()


@dataclass(frozen=True, slots=True)
class _Counted:
    """One look at the desk: its day, each maker's day, and what is parked."""

    desk: Desk
    now: datetime
    day: date
    days: dict[int | None, date]
    parties: Parties
    parked: Parked

    def figures(self) -> Figures:
        tell, late = self._tell()
        ship, unconfirmed = self._ship()
        pulled = counting.claims_to_submit(self.desk.database)
        free = [claim for claim in pulled if not self.parked.has("ship", claim.owner_id)]
        decide, late_refusals = self._decide()
        return Figures(
            now=self.now,
            house=self.parties.house,
            submit=to_submit(pulled, self.parties, self.now, self.parked),
            ask=self._ask(),
            tell=tell,
            late_tellings=late,
            ship=ship,
            unconfirmed=unconfirmed,
            giving=soonest_to_give(free, self.parties, self.now),
            decide=decide,
            late_refusals=late_refusals,
            on_hold=count_on_hold(self.desk.database),
            notices=count_notices(self.desk.database, self.day),
            held=self.parties.makers_by_name(makers_with_held_messages(self.desk.database)),
        )

    def _parked(self, round_name: str) -> set[int]:
        return {key for name, key in self.parked.items if name == round_name}

    def _with_people(self, people: set[int]) -> Parties:
        return replace(self.parties, people=read_people(self.desk.database, people))

    def _ask(self) -> tuple[tuple[Maker, int], ...]:
        counts = Counter(counting.asks_by_maker(self.desk.database, self.days.items()))
        aside = counting.among(self.desk.database, self._parked("ask"))
        for item in to_ask(aside, self.parties, self.now, Parked()):
            counts[item.maker.id] -= len(item.claims)
        makers = ((NO_MAKER if key is None else self.parties.makers[key], count) for key, count in counts.items())
        return tuple(sorted((pair for pair in makers if pair[1]), key=lambda pair: name_order(pair[0].name)))

    def _tell(self) -> tuple[int, int]:
        database = self.desk.database
        due = counting.people_to_tell(database, self.day)
        held = counting.people_with_held_claims(database) & set(due)
        if held:
            claims = [claim for claim in claims_of_people(database, sorted(held)) if not claim.on_hold]
            days = telling_days(claims, self._with_people(people_in(claims) | held))
            due |= {person_id: days.get(person_id, date.max) for person_id in held}
        parked = self._parked("tell")
        dates = [day for person_id, day in due.items() if day <= self.day and person_id not in parked]
        return len(dates), sum(day < self.day for day in dates)

    def _ship(self) -> tuple[int, int]:
        wanted = counting.people_to_ship_to(self.desk.database) - self._parked("ship")
        people = read_people(self.desk.database, wanted).values()
        return len(wanted), sum(not person.address_is_confirmed(self.parties.house, self.day) for person in people)

    def _decide(self) -> tuple[Counter[str], int]:
        database, house = self.desk.database, self.parties.house
        certain, last = min(self.day, *self.days.values()), max(self.day, *self.days.values())
        others = counting.other_decisions(database, certain, last)
        promises = promises_due(self.day)
        parties = self._with_people(people_in(others) | {promise.person_id for promise in promises})
        reviews = maker_marks.reviews(database, self.day)
        items = to_decide(others, parties, self.now, self.parked, promises, reviews)
        decide = Counter(item.why for item in items)
        late = _late_refusals(items, house, self.day)
        # A parked claim that the rules saw above is left out there; the rest of what is parked was counted below.
        seen = {claim.id for claim in others}
        aside = [claim for claim in counting.among(database, self._parked("decide")) if claim.id not in seen]
        parked = to_decide(aside, self._with_people(people_in(aside)), self.now, Parked())
        for day, count in counting.refusals(database).items():
            decide["refused"] += count
            late += count * is_late_refusal(day, house, self.day)
        decide["follow_up"] += counting.no_replies(database, certain)
        decide.subtract(item.why for item in parked)
        return +decide, late - _late_refusals(parked, house, self.day)


def _late_refusals(items: Sequence[ToDecide], house: House, day: date) -> int:
    """How many refused claims among some decisions are late to be made good."""
    return sum(is_late_refusal(item.since, house, day) for item in items if item.why == "refused")

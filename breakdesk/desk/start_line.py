"""Drawing a start line: a house that begins with an old list is not late with all of it on its first day."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

from breakdesk.desk.acting import act
from breakdesk.desk.desk import Desk
from breakdesk.desk.problems import Done, Problem, Result
from breakdesk.desk.summary import Summary, summary
from breakdesk.desk.terms import Settle, settling
from breakdesk.rules.start_line import MOST_WEEKS, TERM, StartLine
from breakdesk.rules.wording import counted
from breakdesk.store.coming import asks_by_day, tellings_by_day
from breakdesk.store.parties import read_house
from breakdesk.store.rehearsal import rehearsal

USUAL_WEEKS: Final = 4
EXEMPT: Final = (
    "Deadlines stay where they are: what is to be submitted, offers, refusals, decisions, notices of delay and cards "
    "that are here."
)


@dataclass(frozen=True, slots=True)
class Week:
    """What falls due in one of the weeks after the line: people to tell, and claims to ask about."""

    first_day: date
    people: int
    claims: int


@dataclass(frozen=True, slots=True)
class Foreseen:
    """What a start line would do: Today as it is and as it would be, and the weeks that follow."""

    weeks: tuple[Week, ...]
    before: Summary
    after: Summary


def line_now(desk: Desk) -> StartLine | None:
    """The start line that holds as of the desk's instant."""
    house = read_house()
    return house.as_of(house.today(desk.clock.as_of())).start_line


def draw_start_line(desk: Desk, weeks: int = USUAL_WEEKS, key: int | None = None) -> Result:
    """Draws the line today: updates and asks that waited before it are spread over so many weeks. 0 takes it away."""
    if not 0 <= weeks <= MOST_WEEKS:
        return Problem(f"A start line is spread over 1 to {MOST_WEEKS} weeks, not {weeks}.", "0 takes it away.")
    done = act(desk, "draw start line", settling(desk, Settle(name=TERM, value=str(weeks))), key)
    if isinstance(done, Problem):
        return done
    over = counted(weeks, "week")
    said = f"The start line is drawn; what waited before today is spread over {over}. {EXEMPT}"
    return Done(said if weeks else "There is no start line any more.", number=done.number, key=done.key)


def foresee(desk: Desk, weeks: int = USUAL_WEEKS) -> Foreseen | Problem:
    """What drawing the line would do; nothing is kept of it."""
    with rehearsal(desk.database):
        before = summary(desk)
        done = draw_start_line(desk, weeks)
        if isinstance(done, Problem):
            return done
        first = read_house().today(desk.clock.as_of()) + timedelta(days=1)
        last = first + timedelta(days=7 * max(weeks, 1) - 1)
        people = tellings_by_day(desk.database, first, last)
        claims = asks_by_day(desk.database, first, last)
        found = tuple(
            Week(start, _in_week(people, start), _in_week(claims, start))
            for start in (first + timedelta(days=7 * number) for number in range(weeks))
        )
        return Foreseen(found, before, summary(desk))


def _in_week(counts: Mapping[date, int], first: date) -> int:
    return sum(count for day, count in counts.items() if first <= day < first + timedelta(days=7))

"""The start line: a house that begins with an old list is not late with everything on its first day.

What waited before the line is spread over some weeks after it: updates for people, news that nobody marked as told,
asks of makers and asks without a noted answer. Deadlines are exempt: what is to be submitted, offers, refusals,
decisions, and cards that are here. The reading is ours; there is no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

from breakdesk.rules.terms import Terms

TERM: Final = "start_line_weeks"
MOST_WEEKS: Final = 26


@dataclass(frozen=True, slots=True)
class StartLine:
    """A line drawn on a day of the house, and over how many weeks after it the old work is spread."""

    day: date
    weeks: int

    @property
    def last_day(self) -> date:
        """The last day to which anything is moved."""
        return self.day + timedelta(days=7 * self.weeks)

    def for_person(self, since: date, due: date, person_id: int) -> date:
        """When something falls due that concerns a person and counts from `since`: one day of the weeks each."""
        return self._moved(since, due, 1 + person_id % (7 * self.weeks))

    def for_ask(self, since: date, due: date, claim_id: int) -> date:
        """When a claim may be asked about: in steps of a week, so that one message to a maker still holds many."""
        return self._moved(since, due, 1 + 7 * (claim_id % self.weeks))

    def _moved(self, since: date, due: date, days: int) -> date:
        return max(due, self.day + timedelta(days=days)) if since < self.day else due


def start_line_of(terms: Terms) -> StartLine | None:
    """The line that holds by the terms of a house: the one drawn last, unless it was taken away since."""
    versions = terms.versions.get(TERM)
    if not versions or versions[-1].from_day is None:
        return None
    weeks = int(versions[-1].value)
    return StartLine(versions[-1].from_day, weeks) if weeks else None


def without_later_lines(terms: Terms, day: date) -> Terms:
    """The terms as known on a day: a line moves what was due before it, so that an earlier day must not know of it."""
    versions = terms.versions.get(TERM)
    if not versions:
        return terms
    known = tuple(version for version in versions if version.from_day is None or version.from_day <= day)
    return Terms(terms.defaults, {**terms.versions, TERM: known})

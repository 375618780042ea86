"""What other desks did to a thing since a person here last looked at it: nothing of theirs is written over unseen."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from breakdesk.desk.action_words import action_words
from breakdesk.rules.parties import House
from breakdesk.rules.wording import day_in_words
from breakdesk.rules.zones import in_zone
from breakdesk.store.chain import head_of
from breakdesk.store.feed import Change, changes_after
from breakdesk.store.models import StrictSqlite

ON_TOP = "Look at it as it is now. Done once more, it goes on top of that."


@dataclass(slots=True)
class Seen:
    """Up to which action of the history a person at this desk has seen the desk; `own` are those done here since.

    Without a number nothing is compared: whoever acts has just read what they act on.
    """

    number: int | None = None
    own: set[int] = field(default_factory=set)

    def look(self, database: StrictSqlite) -> None:
        """Everything recorded until now has been seen."""
        self.number, _ = head_of(database)
        self.own.clear()

    def did(self, number: int | None) -> None:
        """An action was recorded at this desk."""
        if number is not None and self.number is not None:
            self.own.add(number)

    def changes(self, database: StrictSqlite, things: Mapping[str, Iterable[int]]) -> list[Change]:
        """What others did to some things since."""
        if self.number is None:
            return []
        head, _ = head_of(database)
        if head == self.number + len(self.own):
            return []
        return [change for change in changes_after(database, self.number, things) if change.number not in self.own]


def said_of(change: Change, house: House) -> str:
    """What somebody else did, who and when, in a sentence."""
    moment = in_zone(change.recorded_at, house.zone_at(change.recorded_at))
    who = change.who or "Somebody"
    where = f" at {change.machine}" if change.machine else ""
    when = f"{day_in_words(moment.date())}, {moment:%H:%M}"
    return f"{who}{where} was here after you looked: {action_words(change.kind)}, {when}."

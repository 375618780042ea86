"""The house itself: its name, and the first things that a new desk has to know."""

from __future__ import annotations

from dataclasses import dataclass

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.problems import Result, refuse
from breakdesk.rules.term_values import check_value
from breakdesk.store.loading import set_house_name
from breakdesk.store.projecting import refresh_due_days
from breakdesk.store.terms import keep_term

LONGEST_NAME = 80


@dataclass(frozen=True, slots=True, kw_only=True)
class NewHouse:
    """What a new desk has to know of its house: the name that people see, its zone, its currency."""

    name: str
    zone: str
    currency: str


def name_house(desk: Desk, name: str, key: int | None = None) -> Result:
    """Gives the house the name that people see, in messages as on the screen."""

    def work(a: Act) -> str:
        written = _checked_name(name)
        set_house_name(desk.database, written)
        a.line("house", 0, "named")
        return f"The house is called {written} now."

    return act(desk, "name house", work, key)


def start_house(desk: Desk, house: NewHouse, key: int | None = None) -> Result:
    """Tells a new desk its house; zone and currency hold since always."""

    def work(a: Act) -> str:
        written = _checked_name(house.name)
        for name, value in (("zone", house.zone), ("currency", house.currency)):
            try:
                checked = check_value(name, value, of_maker=False)
            except ValueError as error:
                raise refuse(str(error)) from error
            keep_term(desk.database, None, name, checked, None, desk.clock.now())
            a.line("house", 0, "settled", {"name": name, "value": checked, "from": ""})
        set_house_name(desk.database, written)
        a.line("house", 0, "named")
        refresh_due_days(desk.database)
        return f"The desk of {written} is made."

    return act(desk, "start desk", work, key)


def _checked_name(name: str) -> str:
    written = " ".join(name.split())
    if not written:
        raise refuse("The house needs a name.", "Write the one that people see.")
    if len(written) > LONGEST_NAME:
        raise refuse(f"The name has more than {LONGEST_NAME} letters.", "Write a shorter one.")
    return written

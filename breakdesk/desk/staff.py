"""The people who work at the desk: listed, added and removed; what each may do is enforced by the server."""

from __future__ import annotations

import re

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.problems import Problem, Result, refuse
from breakdesk.store import staff
from breakdesk.store.engine import is_server
from breakdesk.store.staff import OFFICE, OWNER, ROLES, STREAM, Person

ABOUT = {
    STREAM: "catches claims and sees handles; the server gives out no code, address, e-mail or phone to it",
    OFFICE: "does everything at the desk but change its terms and the ways to unlock its codes",
    OWNER: "does everything at the desk",
}
THING = "desk person"
SHORTEST_PASSWORD = 12
_LOGIN = re.compile(r"[a-z][a-z0-9_]{1,30}")
A_FILE = Problem(
    "This desk is a file: whoever can open the file can do everything.",
    "`breakdesk move` copies it to a server, where each person has a login and rights of their own.",
)


def list_staff(desk: Desk) -> list[Person] | Problem:
    """Everybody who may work at the desk."""
    return staff.people(desk.database) if is_server(desk.database) else A_FILE


def add_staff(desk: Desk, person: Person, password: str) -> Result:
    """Lets somebody work at the desk, or lets them do something else there from now on."""

    def work(a: Act) -> str:
        if person.role not in ROLES:
            raise refuse(f"{person.role} is nothing that a desk person can be.", f"Use one of: {', '.join(ROLES)}.")
        if not _LOGIN.fullmatch(person.login):
            raise refuse("A login is 2 to 31 small letters, digits or underscores.", "It begins with a letter.")
        if password and len(password) < SHORTEST_PASSWORD:
            raise refuse(f"A password needs at least {SHORTEST_PASSWORD} characters.", "Take several words.")
        if person.login == staff.me(desk.database):
            raise refuse("You cannot change what you may do yourself.", "Another owner can.")
        staff.add(desk.database, person, password)
        a.line(THING, 0, "added", {"login": person.login, "role": person.role})
        return f"{person.name or person.login} works at this desk as {person.role}: {ABOUT[person.role]}."

    return act(desk, "add staff", work) if is_server(desk.database) else A_FILE


def remove_staff(desk: Desk, login: str) -> Result:
    """Lets somebody work at the desk no more; what they did stays in the history under their login."""

    def work(a: Act) -> str:
        if login not in {person.login for person in staff.people(desk.database)}:
            raise refuse(f"Nobody with the login {login} works at this desk.", "`breakdesk staff` lists everybody.")
        if login == staff.me(desk.database):
            raise refuse("You cannot remove yourself.", "Another owner can.")
        staff.remove(desk.database, login)
        a.line(THING, 0, "removed", {"login": login})
        return f"{login} works at this desk no more. A desk that is open there ends at its next action."

    return act(desk, "remove staff", work) if is_server(desk.database) else A_FILE

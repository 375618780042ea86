"""Who may what at a desk on a server: enforced by the server, tried with its own plain client as each person."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Callable
from pathlib import Path
from secrets import token_hex
from typing import Any

import pytest
from engines import programs

from breakdesk.desk import following, people, staff, viewing
from breakdesk.desk.checking import verify
from breakdesk.desk.clock import Clock
from breakdesk.desk.desk import open_desk
from breakdesk.desk.problems import Done, Problem
from breakdesk.store import models
from breakdesk.store.server_address import address_in, kept_file
from breakdesk.store.staff import NOT_FOR_THE_STREAM, Person
from tests.desk.conftest import MONDAY, World

PASSWORD = "four plain words here"


@pytest.fixture
def house(world: World) -> Any:
    """The desk with a claim that has a code and an address, and one person of each kind."""
    world.tag = world.pull(code="KWMH4421")  # type: ignore[attr-defined]
    world.done(people.confirm_address(world.desk, "Ada Fenn", "1 Mill Lane", "US"))
    world.logins = {}  # type: ignore[attr-defined]
    for role in ("stream", "office", "owner"):
        login = f"{role}_{token_hex(4)}"
        world.logins[role] = login  # type: ignore[attr-defined]
        world.done(staff.add_staff(world.desk, Person(login, role, role.title()), PASSWORD))
    return world


@pytest.fixture
def plainly(house: Any) -> Callable[[str, str], str]:
    """What the server's plain client says to somebody who types a statement."""
    found = programs()
    assert found is not None
    address = address_in(house.desk.path)
    assert address is not None

    def ask(role: str, statement: str) -> str:
        as_them = address.replace("postgres@", f"{house.logins[role]}@", 1)
        command = [str(found / "psql"), as_them, "-Atc", statement]
        environment = {**os.environ, "PGPASSWORD": PASSWORD}
        done = subprocess.run(command, capture_output=True, text=True, env=environment, check=False)
        return done.stdout + done.stderr

    return ask


@pytest.mark.parametrize("table", NOT_FOR_THE_STREAM)
def test_who_streams_cannot_read_or_write_codes_and_addresses_by_any_program(
    plainly: Callable[[str, str], str], table: str
) -> None:
    for statement in (f"SELECT * FROM {table}", f"SELECT count(*) FROM {table}", f"DELETE FROM {table}",
                      f"COPY {table} TO STDOUT", f"BEGIN; LOCK {table}"):  # fmt: skip
        assert "permission denied" in plainly("stream", statement), statement
        assert "KWMH" not in plainly("stream", statement)
    for role in ("office", "owner"):
        assert plainly(role, f"SELECT count(*) FROM {table}").strip().isdigit()


def test_what_the_rules_need_of_an_address_says_nothing_of_it(plainly: Callable[[str, str], str]) -> None:
    said = plainly("stream", "SELECT text, country FROM address_known")
    assert said.strip() == "known|US"
    assert "permission denied" in plainly("stream", "SELECT * FROM pg_authid")


def test_the_history_is_only_added_to_and_signed_by_its_session(house: Any, plainly: Callable[[str, str], str]) -> None:
    for role in ("stream", "office", "owner"):
        assert "permission denied" in plainly(role, "UPDATE history_line SET body = '{}'")
        assert "permission denied" in plainly(role, "DELETE FROM action")
    forged = (
        "INSERT INTO action (key, number, kind, who, machine, day, recorded_at, lines, previous, hash) "
        "VALUES (5, 999, 'note', '{}', '', '2026-03-02', 0, 0, '', '')"
    )
    assert "signed by its session" in plainly("office", forged.format(house.logins["owner"]))
    assert "permission denied" in plainly("stream", "INSERT INTO term (name, value, recorded_at) VALUES ('x', 'y', 0)")
    assert "permission denied" in plainly("office", "UPDATE desk_fact SET value = 'x'")
    assert "INSERT 0 1" in plainly("owner", "INSERT INTO term (name, value, recorded_at) VALUES ('x', 'y', 0)")


def test_at_the_desk_each_does_what_they_may_and_the_history_says_who(house: Any, tmp_path: Path) -> None:
    address = address_in(house.desk.path)
    assert address is not None
    for role in ("stream", "office", "owner"):
        login = house.logins[role]
        path = kept_file(address.replace("postgres@", f"{login}@", 1), tmp_path / role)
        desk = open_desk(path, Clock(lambda: MONDAY))
        assert desk.who == login
        done = following.note(desk, house.tag, f"seen by {role}")
        assert isinstance(done, Done), done
        assert models.Action.get_by_id(done.key).who == login
        assert len(viewing.today(desk).today.submit) == 1
        moved = people.confirm_address(desk, "Ada Fenn", "2 Mill Lane", "US")
        assert isinstance(moved, Problem if role == "stream" else Done), moved
        if role == "stream":
            assert "You have no right" in moved.sentence
            assert "Nothing was saved" in moved.sentence
        desk.close()
    again = open_desk(house.desk.path, Clock(lambda: MONDAY))
    assert list(verify(again)) == []
    again.close()


def test_people_are_listed_changed_and_removed(house: Any, plainly: Callable[[str, str], str]) -> None:
    login = house.logins["office"]
    assert {(p.login, p.role) for p in staff.list_staff(house.desk)} == {(v, k) for k, v in house.logins.items()}
    house.done(staff.add_staff(house.desk, Person(login, "stream", "Kit Moor"), ""))
    assert "permission denied" in plainly("office", "SELECT * FROM claim_code")
    house.done(staff.remove_staff(house.desk, login))
    assert "permission denied" in plainly("office", "SELECT 1 FROM claim")
    assert login not in {person.login for person in staff.list_staff(house.desk)}
    for person, password in (
        (Person("Kit", "office", ""), PASSWORD),
        (Person("kit", "boss", ""), PASSWORD),
        (Person("kit", "office", ""), "short"),
    ):
        house.refused(lambda person=person, password=password: staff.add_staff(house.desk, person, password))
    house.refused(lambda: staff.remove_staff(house.desk, "nobody_here"))


def test_a_desk_file_says_that_it_knows_no_rights(tmp_path: Path) -> None:
    desk = open_desk(tmp_path / "desk.db", Clock(lambda: MONDAY), create=True)
    if address_in(desk.path) is None:
        assert isinstance(staff.list_staff(desk), Problem)
        assert isinstance(staff.add_staff(desk, Person("kit", "office", ""), ""), Problem)
    desk.close()

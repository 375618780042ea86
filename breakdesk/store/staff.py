"""The people who work at a desk on a server: a login each, and rights that the server itself enforces.

A person is a role of the server that is a member of one of three groups named after the database: of those who stream,
of the office, and of the owners. The groups' rights on the tables are given here and nowhere else.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

from breakdesk.store.engine import is_server
from breakdesk.store.models import StrictSqlite
from breakdesk.store.server import ServerDatabase, driver

STREAM, OFFICE, OWNER = "stream", "office", "owner"
ROLES = (STREAM, OFFICE, OWNER)
NOT_FOR_THE_STREAM = ("claim_code", "contact", "address", "recipient")
"""The tables that hold codes and addresses."""
ONLY_ADDED_TO = ("action", "history_line")
"""Nobody but an owner of the database can change or take away what is in the history."""
ONLY_OWNERS_WRITE = ("migration", "term", "closed_day", "desk_fact")
"""What the house settles: terms, closed days, its name and the ways to unlock its codes."""


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who works at the desk: the login, what they may do, and their name."""

    login: str
    role: str
    name: str


def people(database: StrictSqlite) -> list[Person]:
    """Everybody who may work at the desk, by login."""
    rows = _server(database).ask(
        "SELECT who.rolname, substr(what.rolname, length(current_database()) + 2), "
        "coalesce(shobj_description(who.oid, 'pg_authid'), '') FROM pg_auth_members "
        "JOIN pg_roles AS what ON what.oid = pg_auth_members.roleid "
        "JOIN pg_roles AS who ON who.oid = pg_auth_members.member "
        "WHERE what.rolname IN (SELECT current_database() || '_' || role FROM unnest(%s::text[]) AS role) "
        "AND who.rolcanlogin ORDER BY 1",
        (list(ROLES),),
    )
    return [Person(*row) for row in rows]


def me(database: StrictSqlite) -> str:
    """The login of the connection."""
    return str(_server(database).ask("SELECT session_user").fetchone()[0])


def login_of(database: StrictSqlite) -> str:
    """The login of somebody who works at the desk as one of its people; empty for anybody else, and in a desk file."""
    if not is_server(database):
        return ""
    login = me(database)
    return login if any(person.login == login for person in people(database)) else ""


def exists(database: StrictSqlite, login: str) -> bool:
    """Whether the server knows a role of that name, at this desk or not."""
    return _server(database).ask("SELECT 1 FROM pg_roles WHERE rolname = %s", (login,)).fetchone() is not None


def add(database: StrictSqlite, person: Person, password: str) -> None:
    """Makes a login, or lets one that is there work at the desk as something else. Raises the engine's errors.

    Only a verifier of the password is sent (SCRAM-SHA-256, RFC 7677), so that no log of the server can hold it.
    """
    give_rights(database)
    connection, sql = _server(database).raw(), driver().sql
    login = sql.Identifier(person.login)
    if not exists(database, person.login):
        connection.execute(sql.SQL("CREATE ROLE {} LOGIN").format(login))
    if password:
        verifier = connection.pgconn.encrypt_password(password.encode(), person.login.encode(), b"scram-sha-256")
        said = sql.SQL("ALTER ROLE {} LOGIN PASSWORD {}").format(login, sql.Literal(verifier.decode()))
        connection.execute(said)
    connection.execute(sql.SQL("COMMENT ON ROLE {} IS {}").format(login, sql.Literal(person.name)))
    for role in ROLES:
        words = "GRANT {} TO {}" if role == person.role else "REVOKE {} FROM {}"
        connection.execute(sql.SQL(words).format(sql.Identifier(_group(database, role)), login))


def remove(database: StrictSqlite, login: str) -> None:
    """Takes every right at the desk from a login, which stays for the history's sake and lets nobody in here."""
    connection, sql = _server(database).raw(), driver().sql
    for role in ROLES:
        group = sql.Identifier(_group(database, role))
        connection.execute(sql.SQL("REVOKE {} FROM {}").format(group, sql.Identifier(login)))


def give_rights(database: StrictSqlite) -> None:
    """Makes the three groups where they are missing, and gives each exactly its rights on the tables."""
    server, sql = _server(database), driver().sql
    connection = server.raw()
    name = str(server.ask("SELECT current_database()").fetchone()[0])
    # Without this every login of the server could connect, and would see the tables' names.
    connection.execute(sql.SQL("REVOKE CONNECT ON DATABASE {} FROM PUBLIC").format(sql.Identifier(name)))
    tables = server.get_tables()
    for role in ROLES:
        group = sql.Identifier(_group(database, role))
        if not exists(database, _group(database, role)):
            connection.execute(sql.SQL("CREATE ROLE {} NOLOGIN").format(group))
        connection.execute(sql.SQL("GRANT CONNECT ON DATABASE {} TO {}").format(sql.Identifier(name), group))
        connection.execute(sql.SQL("GRANT USAGE ON SCHEMA public TO {}").format(group))
        connection.execute(sql.SQL("GRANT USAGE, SELECT ON ALL SEQUENCES IN SCHEMA public TO {}").format(group))
        connection.execute(sql.SQL("REVOKE ALL ON ALL TABLES IN SCHEMA public FROM {}").format(group))
        connection.execute(sql.SQL("GRANT SELECT ON address_known TO {}").format(group))
        for table in tables:
            rights = rights_on(table, role)
            if rights:
                words = sql.SQL("GRANT {} ON {} TO {}").format(sql.SQL(rights), sql.Identifier(table), group)
                connection.execute(words)


def rights_on(table: str, role: str) -> str:
    """What a group may do with a table, in the server's words; empty where it may nothing."""
    if role == STREAM and table in NOT_FOR_THE_STREAM:
        return ""
    if table in ONLY_ADDED_TO:
        return "SELECT, INSERT"
    if table in ONLY_OWNERS_WRITE and role != OWNER:
        return "SELECT"
    return "SELECT, INSERT, UPDATE, DELETE"


def _group(database: StrictSqlite, role: str) -> str:
    return f"{_server(database).ask('SELECT current_database()').fetchone()[0]}_{role}"


def _server(database: StrictSqlite) -> ServerDatabase:
    return cast("ServerDatabase", database)

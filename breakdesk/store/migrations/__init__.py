"""Schema steps, numbered and forward only; each commits together with the record that it was taken."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from breakdesk.rules.clocks import microseconds_of
from breakdesk.store.engine import alone, is_server, references_to_nothing, references_unenforced, run
from breakdesk.store.models.base import StrictSqlite


class NewerDesk(Exception):  # noqa: N818 - named for what a person reads
    """The desk was written by a newer Breakdesk than this one."""


@dataclass(frozen=True, slots=True)
class Step:
    """One schema step: its number, its name and its statements."""

    number: int
    name: str
    statements: tuple[str, ...]


SERVER_ENDING, FILE_ENDING = ".server.sql", ".sql"


def steps(*, on_server: bool = False) -> list[Step]:
    """All steps that this version knows, in order, as the engine of a desk file or of a server takes them."""
    found = []
    for entry in Path(__file__).parent.iterdir():
        ending = SERVER_ENDING if entry.name.endswith(SERVER_ENDING) else FILE_ENDING
        if entry.name.endswith(ending) and on_server == (ending == SERVER_ENDING):
            number, _, name = entry.name.removesuffix(ending).partition("_")
            text = entry.read_text(encoding="utf-8")
            statements = tuple(part.strip() for part in text.split(";\n") if part.strip())
            found.append(Step(int(number), name, statements))
    return sorted(found, key=lambda step: step.number)


def taken(database: StrictSqlite) -> int:
    """The number of the last step taken; 0 for an empty file."""
    if "migration" not in database.get_tables():
        return 0
    row = run(database, "SELECT max(number) FROM migration").fetchone()
    return int(row[0] or 0)


def pending(database: StrictSqlite) -> list[Step]:
    """The steps still to be taken. Raises NewerDesk for a desk that has taken steps unknown here."""
    last = taken(database)
    known = steps(on_server=is_server(database))
    if known and last > known[-1].number:
        raise NewerDesk(str(last))
    return [step for step in known if step.number > last]


def migrate(database: StrictSqlite, now: datetime) -> list[Step]:
    """Takes the pending steps, each in a transaction of its own, and checks the foreign keys after each."""
    if database.in_transaction():
        raise RuntimeError("migrations run outside any transaction")
    done = []
    for step in pending(database):
        with references_unenforced(database), database.atomic():
            alone(database)
            if taken(database) >= step.number:
                continue
            for statement in step.statements:
                run(database, statement)
            run(
                database,
                "INSERT INTO migration (number, name, applied_at) VALUES (?, ?, ?)",
                (step.number, step.name, microseconds_of(now)),
            )
            broken = list(references_to_nothing(database))
            if broken:
                raise RuntimeError(f"step {step.number} would leave {len(broken)} broken references")
        done.append(step)
    return done

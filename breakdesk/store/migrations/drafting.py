"""Prints the statements that would create today's tables: the start of a new migration, and what tests compare with.

python -m breakdesk.store.migrations.drafting > breakdesk/store/migrations/0001_first.sql
"""

from __future__ import annotations

from breakdesk.store import engine as _engine  # noqa: F401 - keeps slow drivers out before peewee loads
from breakdesk.store.models import TABLES, StrictSqlite, database_proxy


def creating_statements() -> list[str]:
    """The CREATE statements of every table and index, in order."""
    database = StrictSqlite(None)
    database_proxy.initialize(database)
    statements = []
    for table in TABLES:
        schema = table._schema  # type: ignore[attr-defined]
        statements.append(schema._create_table(safe=False).query()[0])
        statements += [context.query()[0] for context in schema._create_indexes(safe=False)]
    return statements


if __name__ == "__main__":
    print(";\n".join(creating_statements()) + ";")

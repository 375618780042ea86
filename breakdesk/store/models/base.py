"""What every table shares: one late-bound connection, 64-bit keys and strict column types."""

from __future__ import annotations

from typing import Any

from peewee import BigIntegerField, DatabaseProxy, Model, SqliteDatabase

database_proxy = DatabaseProxy()


class StrictSqlite(SqliteDatabase):
    """SQLite with column types that strict tables accept."""

    field_types = {  # noqa: RUF012 - peewee reads it from the class
        "BIGINT": "INTEGER",
        "AUTO": "INTEGER",
        "BIGAUTO": "INTEGER",
        "TEXT": "TEXT",
        "BLOB": "BLOB",
    }

    def translated(self, sql: str) -> str:
        """A statement of ours as this engine wants it."""
        return sql

    def rollback(self) -> None:
        """Takes a transaction back; where the engine did so itself, on a full disk, nothing is left to do."""
        if self.connection().in_transaction:  # type: ignore[no-untyped-call]
            super().rollback()


class Table(Model):
    """A table of the desk."""

    id: Any

    class Meta:
        database = database_proxy
        legacy_table_names = False
        strict_tables = True


class Versioned(Table):
    """A row that people change; every update names the version it was read at."""

    version = BigIntegerField(default=1)

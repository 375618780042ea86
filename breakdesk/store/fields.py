"""Column types that mean the same on every engine: days as ISO text, instants as UTC microseconds."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from peewee import BigIntegerField, TextField

from breakdesk.rules.clocks import instant_of, microseconds_of


class DayField(TextField):
    """A calendar day, stored as YYYY-MM-DD."""

    def db_value(self, value: Any) -> Any:
        return value.isoformat() if isinstance(value, date) else value

    def python_value(self, value: Any) -> Any:
        return date.fromisoformat(value) if isinstance(value, str) else value


class InstantField(BigIntegerField):
    """An instant, stored as whole microseconds since 1970 in UTC."""

    def db_value(self, value: Any) -> Any:
        return microseconds_of(value) if isinstance(value, datetime) else value

    def python_value(self, value: Any) -> Any:
        return instant_of(value) if isinstance(value, int) else value


class FlagField(BigIntegerField):
    """Yes or no, stored as 1 or 0, so that both engines compare it alike."""

    def db_value(self, value: Any) -> Any:
        return int(value) if isinstance(value, bool) else value

    def python_value(self, value: Any) -> Any:
        return bool(value) if value is not None else None

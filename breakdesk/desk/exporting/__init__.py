"""Gives what the desk holds as tables, in the columns that other programs and `load` know."""

from __future__ import annotations

from breakdesk.desk.exporting.everything import desk_tables
from breakdesk.desk.exporting.owed_table import owed_table

__all__ = ["desk_tables", "owed_table"]

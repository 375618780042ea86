"""Loads files into the desk: all of them together as one action, or none of them."""

from __future__ import annotations

from breakdesk.desk.loading.load import load_files
from breakdesk.desk.loading.report import Counts, Example, LoadReport

__all__ = ["Counts", "Example", "LoadReport", "load_files"]

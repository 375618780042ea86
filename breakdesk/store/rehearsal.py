"""Does something only to see what would come of it, and leaves the desk as it was."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from breakdesk.store.models import StrictSqlite


@contextmanager
def rehearsal(database: StrictSqlite) -> Iterator[None]:
    """Whatever is written inside is seen inside and gone afterwards."""
    with database.atomic() as part:
        try:
            yield
        finally:
            part.rollback()

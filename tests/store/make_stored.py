"""Stores a small desk of today's schema, with which later versions are tested.

`python tests/store/make_stored.py` writes it. Once a version was released, the file of its schema is never written
again.
"""

from __future__ import annotations

import gzip
import sys
import tempfile
from datetime import UTC, datetime
from pathlib import Path

from breakdesk.desk.clock import Clock
from breakdesk.desk.desk import open_desk
from breakdesk.desk.loading import load_files
from breakdesk.desk.submitting import Submit, submit
from breakdesk.store.backups import take
from breakdesk.store.claims import read_claims
from breakdesk.store.migrations import steps

FILES = Path(__file__).with_name("files")
NOW = datetime(2026, 3, 2, 18, tzinfo=UTC)
PEOPLE = (
    "participant,handle,email,address,address_country,address_confirmed_on\n"
    "Ada Fenn,adaf,ada@fenn.example,1 Mill Lane,US,2026-02-01\n"
)
CLAIMS = (
    "participant,maker,subject,pulled_at,code,value,note\n"
    "Ada Fenn,Tern Cards,Kit Moor,2026-02-20,QUARTZMOSS77,25.00 USD,top shelf\n"
    "Ada Fenn,Tern Cards,Lee Dunn,2026-02-21,,,\n"
)


def main() -> int:
    """Writes the file of the newest schema."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "desk.db"
        for name, text in (("people.csv", PEOPLE), ("claims.csv", CLAIMS)):
            (path.parent / name).write_text(text)
        desk = open_desk(path, Clock(lambda: NOW), create=True, who="T")
        assert load_files(desk, [path.parent / "people.csv", path.parent / "claims.csv"]).saved
        submit(desk, Submit(tag=next(iter(read_claims(desk.database))).tag, reference="R-1"))
        desk.close()
        take(path, NOW, path.parent / "small.db")
        target = FILES / f"schema-{steps()[-1].number:04}.db.gz"
        target.write_bytes(gzip.compress((path.parent / "small.db").read_bytes(), mtime=0))
        print(f"{target}: {target.stat().st_size:,} bytes")
    return 0


if __name__ == "__main__":
    sys.exit(main())

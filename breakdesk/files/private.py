"""Files that only their owner can read, from the moment they are there."""

from __future__ import annotations

import os


def for_its_owner(path: str, flags: int) -> int:
    """What `open` takes as its opener for a file that holds names, addresses or what was written to people."""
    return os.open(path, flags, 0o600)

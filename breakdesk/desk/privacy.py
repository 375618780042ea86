"""Who else on this machine may read the desk: pointed out, never changed without being told to."""

from __future__ import annotations

from pathlib import Path

from breakdesk.store.places import readable_by_others
from breakdesk.store.sealing import key_path
from breakdesk.store.server_address import is_on_server


def notes_on_privacy(desk_path: Path) -> list[str]:
    """A sentence for the desk file and for its key file where others may read it; Windows does not tell."""
    return [
        f'Others on this machine can read {what}: `chmod 600 "{path}"` keeps them out.'
        for path, what in ((desk_path, "the desk file"), (key_path(desk_path), "the key file, and so every code"))
        if readable_by_others(path) and not (path == desk_path and is_on_server(path))
    ]

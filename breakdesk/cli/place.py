"""Where the desk stands."""

from __future__ import annotations

import os
from pathlib import Path


def default_desk() -> Path:
    """Where the desk stands when nobody names another: in the user's data folder. Raises server_address.BadAddress."""
    named = os.environ.get("BREAKDESK_DESK", "").strip()
    return desk_named(named) if named else own_desk()


def desk_named(named: str) -> Path:
    """The path for a desk's file or its address on a server. Raises server_address.BadAddress, OSError."""
    if "://" not in named:
        return Path(named).expanduser()
    from breakdesk.store.server_address import checked, kept_file

    return kept_file(checked(named), own_desk().parent / "servers")


def own_desk() -> Path:
    """The desk in the user's own data folder, which is made where it is missing."""
    from platformdirs import user_data_path

    return user_data_path("breakdesk", appauthor=False) / "desk.db"

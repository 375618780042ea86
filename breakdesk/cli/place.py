"""Where the desk stands."""

from __future__ import annotations

import os
from pathlib import Path


def default_desk() -> Path:
    """Where the desk stands when nobody names another: in the user's own data folder."""
    named = os.environ.get("BREAKDESK_DESK", "").strip()
    if named:
        return Path(named).expanduser()
    return own_desk()


def own_desk() -> Path:
    """The desk in the user's own data folder, which is made where it is missing."""
    from platformdirs import user_data_path

    return user_data_path("breakdesk", appauthor=False) / "desk.db"

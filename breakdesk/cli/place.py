"""Where the desk stands."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import click


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


class DeskPlace(click.Path):
    """A desk file, or the address of a desk on a server."""

    def __init__(self) -> None:
        super().__init__(path_type=Path, dir_okay=False)

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """The path by which the program knows the desk."""
        if not isinstance(value, str) or "://" not in value:
            return super().convert(value, param, ctx)
        from breakdesk.store.server_address import BadAddress

        try:
            return desk_named(value)
        except BadAddress as error:
            # Nothing of what was typed is repeated: it may hold a password.
            self.fail(str(error), param, ctx)

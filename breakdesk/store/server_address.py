"""A desk on a PostgreSQL server: how its address is written, checked, shown and remembered on this machine.

The program knows every desk by a path. A desk on a server has a small file on this machine that holds its address and
never a password; beside it stand the key file and the folder that a desk file has beside it, too. Such a file may have
any name, and may be handed over in place of the address.
"""

from __future__ import annotations

import hashlib
import os
import re
from pathlib import Path
from urllib.parse import parse_qsl, unquote, urlsplit

SCHEMES = ("postgresql://", "postgres://")
LONGEST_ADDRESS = 4096
_SECRETS = frozenset({"password", "sslpassword"})


class BadAddress(Exception):  # noqa: N818 - named for what a person reads
    """An address that cannot be used; says why, without repeating it."""


def is_address(text: str) -> bool:
    """Whether somebody named a desk on a server."""
    return text.strip().lower().startswith(SCHEMES)


def checked(text: str) -> str:
    """The address as it may be kept. Raises BadAddress for one with a password in it, or without a database."""
    address = text.strip()
    if not is_address(address):
        raise BadAddress("A desk on a server is named as postgresql://USER@HOST/DATABASE.")
    try:
        parts = urlsplit(address)
        parameters = {name.lower() for name, _ in parse_qsl(parts.query, keep_blank_values=True)}
        has_password = parts.password is not None or bool(_SECRETS & parameters)
        names_database = bool(parts.path.strip("/")) or "dbname" in parameters
    except ValueError:
        raise BadAddress(
            "That address cannot be read: write postgresql://USER@HOST/DATABASE, special characters as %XX."
        ) from None
    if has_password:
        raise BadAddress(
            "An address may not hold a password: everybody on this machine could read it. "
            "Leave it out and put it into the password file (~/.pgpass) or the environment (PGPASSWORD)."
        )
    if not names_database:
        raise BadAddress("The address names no database: write postgresql://USER@HOST/DATABASE.")
    if len(address) > LONGEST_ADDRESS or not address.isprintable():
        raise BadAddress("That address cannot be read: it is too long or holds characters that no address has.")
    return address


def shown(address: str) -> str:
    """The address as a person reads it: where the server is and which database, nothing else."""
    parts = urlsplit(address)
    given = dict(parse_qsl(parts.query))
    host = parts.hostname or given.get("host") or "this machine"
    database = unquote(parts.path.strip("/")) or given.get("dbname", "")
    return f"{database} on {host}"


def kept_file(address: str, folder: Path) -> Path:
    """The file in a folder of this machine that holds the address; made where it is missing. Raises OSError."""
    name = re.sub(r"[^a-z0-9]+", "-", shown(address).lower()).strip("-")[:60]
    digest = hashlib.sha256(address.encode()).hexdigest()[:8]
    path = folder / f"{name}-{digest}" / "desk.server"
    if not path.exists():
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
        with os.fdopen(descriptor, "w", encoding="utf-8", newline="\n") as file:
            file.write(address + "\n")
    return path


def address_in(path: Path) -> str | None:
    """The address that a path stands for; None where it is a desk file. Raises BadAddress for one not to be used."""
    if not is_on_server(path):
        return None
    with path.open(encoding="utf-8", errors="replace") as file:
        return checked(file.read(LONGEST_ADDRESS + 1))


def named(path: Path) -> str:
    """What a sentence calls the desk at a path."""
    try:
        address = address_in(path)
    except (OSError, BadAddress):
        address = None
    return str(path) if address is None else f"The desk {shown(address)}"


def is_on_server(path: Path) -> bool:
    """Whether the desk at a path is on a server."""
    try:
        with path.open("rb") as file:
            return is_address(file.read(16).decode("ascii", errors="replace"))
    except OSError:
        return False

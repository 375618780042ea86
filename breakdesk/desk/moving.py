"""Moving a house's desk between a file and a server: copied whole, compared, the source left as it was."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from breakdesk.desk.problems import Problem
from breakdesk.rules.wording import counted
from breakdesk.store import moving
from breakdesk.store.engine import ENGINE_ERRORS
from breakdesk.store.kept_files import WrongFile, copy_proved, digest_of, files_folder, files_in, private_folder
from breakdesk.store.sealing import key_path
from breakdesk.store.server import NoDriver
from breakdesk.store.server_address import BadAddress, is_on_server, named
from breakdesk.store.trouble import trouble_of


@dataclass(frozen=True, slots=True)
class Moved:
    """What was copied, in sentences."""

    said: tuple[str, ...]


def move(source: Path, target: Path, tell: Callable[[str], None] = lambda _: None) -> Moved | Problem:
    """Copies a whole desk into a new file or an empty database; all of it, found the same at both ends, or nothing."""
    refused = _in_the_way(source, target)
    if refused is not None:
        return refused
    made_file = not is_on_server(target)
    is_whole = False
    try:
        if made_file:
            private_folder(target.parent)
            os.close(os.open(target, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600))
        done = moving.copy_desk(source, target, tell)
        files = _copy_files(source, target)
        is_whole = True
    except moving.CannotMove as error:
        return Problem(f"{named(source)} was not moved: {error}.", "Nothing was changed at either end.")
    except WrongFile:
        return Problem("A photo changed while it was copied.", "Try again; the source was left as it is.")
    except NoDriver:
        return Problem("What speaks to a server is not installed.", "`pip install 'breakdesk[postgres]'`.")
    except BadAddress as error:
        return Problem(str(error))
    except (*ENGINE_ERRORS, OSError) as error:
        trouble = trouble_of(error, target) or trouble_of(error, source)
        if trouble is None:
            raise
        return Problem(f"{trouble.what} Nothing was moved.", trouble.remedy)
    finally:
        if made_file and not is_whole:
            for end in ("", "-wal", "-shm", "-journal"):
                target.with_name(target.name + end).unlink(missing_ok=True)
    claims, actions = counted(done.rows["claim"], "claim"), counted(done.actions, "action")
    held = f"{len(done.rows)} tables, {sum(done.rows.values()):,} rows, {claims}, {actions} in the history"
    said = (
        f"{named(target)} holds the whole desk now: {held}, {counted(files, 'file')}.",
        f"Compared at both ends: every row, every sum, and the history to its last hash ({done.hash[:12]}…).",
        _about_the_key(target),
        f"{named(source)} was left as it was. Work at one of the two from now on: what is done at one stays there.",
    )
    return Moved(said)


def _in_the_way(source: Path, target: Path) -> Problem | None:
    if not source.is_file():
        return Problem(f"There is no desk at {source}.", "Check the path.")
    if not is_on_server(target) and target.exists():
        return Problem(f"{target} exists already, and it was left as it is.", "Name a new file.")
    return None


def _copy_files(source: Path, target: Path) -> int:
    """Copies photos, wording, fonts and the key file beside the new desk, each read back; how many there were."""
    files, _ = files_in(files_folder(source))
    pairs = [(path, files_folder(target) / name) for name, path in files]
    if key_path(source).is_file():
        pairs.append((key_path(source), key_path(target)))
    for path, copy in pairs:
        if not copy.exists():
            copy_proved(path, copy, digest_of(path))
    return len(files)


def _about_the_key(target: Path) -> str:
    if key_path(target).is_file():
        return f"The key file went with it, to {key_path(target)}. Other machines need a copy of it, or a passphrase."
    return "Codes stay sealed: copy the key file beside the new desk, or unlock it by its passphrase or recovery key."

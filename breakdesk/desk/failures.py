"""What the program keeps of its own failures: a report that names kinds of error and our own lines, never a value.

A report holds no message and no value, because either may hold a code, a name or an address. The newest reports stay;
older ones go.
"""

from __future__ import annotations

import platform
import traceback
from collections.abc import Callable, Iterator
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path

import breakdesk
from breakdesk.files.private import for_its_owner

MOST_REPORTS = 30
_HOME = Path(breakdesk.__file__).parent
_LIBRARIES = ("textual", "peewee", "click")


def own_log_folder() -> Path:
    """Where reports and the log of this person stand, as the system has it."""
    from platformdirs import user_log_path

    return user_log_path("breakdesk", appauthor=False)


def caused_by(error: BaseException) -> BaseException | None:
    """What an error was caused by, as Python knows it."""
    return error.__cause__ or error.__context__


def report_text(
    error: BaseException, now: datetime, cause_of: Callable[[BaseException], BaseException | None] = caused_by
) -> str:
    """Return the report of one failure: kinds of error and our own lines, never a value."""
    from importlib.metadata import version

    libraries = ", ".join(f"{name} {version(name)}" for name in _LIBRARIES)
    lines = [
        f"Breakdesk {breakdesk.__version__}, {now:%Y-%m-%d %H:%M:%S %z}".rstrip(),
        f"Python {platform.python_version()}, {libraries}, {platform.system()} {platform.release()}",
    ]
    for cause in _causes(error, cause_of):
        lines += ["", type(cause).__qualname__]
        for frame in traceback.extract_tb(cause.__traceback__):
            path = Path(frame.filename)
            if path.is_relative_to(_HOME):
                lines.append(f"  {path.relative_to(_HOME).as_posix()} line {frame.lineno}, {frame.name}")
    return "\n".join(lines) + "\n"


def write_report(
    folder: Path | None,
    error: BaseException,
    now: datetime,
    cause_of: Callable[[BaseException], BaseException | None] = caused_by,
) -> Path | None:
    """Write the report of a failure into a folder; return its path, or None where that was not possible."""
    if folder is None:
        return None
    # In UTC, so that the names sort as the failures came, on the screen and at the command line.
    path = folder / f"failure-{now.astimezone(UTC):%Y%m%d-%H%M%S-%f}.txt"
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        with open(path, "w", encoding="utf-8", opener=for_its_owner) as file:
            file.write(report_text(error, now, cause_of))
        _let_old_ones_go(folder)
    except OSError:
        return None
    return path


def _let_old_ones_go(folder: Path) -> None:
    for path in sorted(folder.glob("failure-*.txt"))[:-MOST_REPORTS]:
        with suppress(OSError):
            path.unlink()


def _causes(error: BaseException, cause_of: Callable[[BaseException], BaseException | None]) -> Iterator[BaseException]:
    """Give the error and what caused it, first cause last."""
    current: BaseException | None = error
    seen: set[int] = set()
    while current is not None and id(current) not in seen:
        seen.add(id(current))
        yield current
        current = cause_of(current)

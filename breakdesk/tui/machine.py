"""What is set for this machine alone: its look, its keys, and whether it ever streams.

These stand in a small TOML file in the user's own settings folder, not in the desk, because two machines at one desk
may differ. A person may write the file by hand: what cannot be read is said in a sentence, and the defaults hold.
"""

from __future__ import annotations

import os
import re
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules
from typing import Any, Final

from breakdesk.tui.clipboard import CLEAR_CODES_AFTER
from breakdesk.tui.commands import REGISTRY, rebound_problems
from breakdesk.tui.theme import DEFAULT_THEME, THEME_WORDS

CONFIG: Final = "BREAKDESK_CONFIG"
"""The environment variable that names another settings file."""
MOST_BYTES: Final = 256 * 1024
LONGEST_CLEARING: Final = 3600
_KNOWN: Final = ("theme", "never_streams", "clear_codes_after", "keys")


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine:
    """The settings of one machine. `keys` holds one key by command id; `never_streams` opens the desk off air."""

    theme: str = DEFAULT_THEME
    never_streams: bool = False
    clear_codes_after: int = CLEAR_CODES_AFTER
    """Seconds until a code that was copied is cleared from the clipboard; 0 for never."""
    keys: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class MachineFile:
    """What was read from a settings file: the settings to take, and a sentence for whatever is wrong with it."""

    path: Path
    machine: Machine = field(default_factory=Machine)
    problems: tuple[str, ...] = ()


def machine_path() -> Path:
    """Return where the settings of this machine stand."""
    named = os.environ.get(CONFIG, "").strip()
    if named:
        return Path(named).expanduser()
    from platformdirs import user_config_path

    return user_config_path("breakdesk", appauthor=False) / "settings.toml"


def read_machine(path: Path | None = None) -> MachineFile:
    """Read the settings; no file is a file of defaults, and what is wrong with one keeps only its own part out."""
    path = path or machine_path()
    try:
        written = _content(path)
    except FileNotFoundError:
        return MachineFile(path=path)
    except OSError as error:
        return _unread(path, f"it cannot be read: {error.strerror or error}")
    except (ValueError, RecursionError) as error:
        return _unread(path, f"it is not in the form that it needs (TOML): {error}")
    problems = [f"{path.name}: there is no setting called {name}." for name in written if name not in _KNOWN]
    machine = Machine()
    theme = written.get("theme", DEFAULT_THEME)
    if isinstance(theme, str) and theme in THEME_WORDS:
        machine = replace(machine, theme=theme)
    else:
        problems.append(f"{path.name}: theme is one of {', '.join(THEME_WORDS)}, not {theme!r}.")
    never = written.get("never_streams", False)
    if isinstance(never, bool):
        machine = replace(machine, never_streams=never)
    else:
        problems.append(f"{path.name}: never_streams is true or false, not {never!r}; the desk opens on air.")
    seconds = written.get("clear_codes_after", CLEAR_CODES_AFTER)
    if type(seconds) is int and 0 <= seconds <= LONGEST_CLEARING:
        machine = replace(machine, clear_codes_after=seconds)
    else:
        said = f"a whole number of seconds up to {LONGEST_CLEARING}, 0 for never"
        problems.append(f"{path.name}: clear_codes_after is {said}, not {seconds!r}; it is {CLEAR_CODES_AFTER}.")
    keys, wrong = _keys(written.get("keys", {}))
    problems += [f"{path.name}: {sentence}." for sentence in wrong]
    if wrong:
        problems.append("No key was rebound.")
    return MachineFile(path=path, machine=replace(machine, keys=keys), problems=tuple(problems))


def _content(path: Path) -> dict[str, Any]:
    with path.open("rb") as file:
        content = file.read(MOST_BYTES + 1)
    if len(content) > MOST_BYTES:
        raise ValueError("it is too long")
    import tomllib

    return tomllib.loads(content.decode("utf-8-sig"))


def _unread(path: Path, why: str) -> MachineFile:
    sentence = f"The settings of this machine were not taken, because {why}. Correct or remove {path}."
    return MachineFile(path=path, problems=(sentence,))


def _keys(written: object) -> tuple[dict[str, str], list[str]]:
    """Return the keys to take and what is wrong with them; with anything wrong no key is taken."""
    if not isinstance(written, dict):
        return {}, ["keys is a table of command names and keys"]
    flat = dict(_flattened(written))
    wrong = [f"the key of {name} is written in quotes" for name, key in flat.items() if not isinstance(key, str)]
    if wrong or not flat:
        return {}, wrong
    load_all_commands()
    keys = {name: key.strip() for name, key in flat.items()}
    wrong = [f"the key of {name} is empty" for name, key in keys.items() if not key]
    wrong += rebound_problems(REGISTRY, keys)
    return ({}, wrong) if wrong else (keys, [])


def _flattened(written: Mapping[str, Any], before: str = "") -> list[tuple[str, Any]]:
    """A name with a point in it, written without quotes, makes a table in TOML: take it as the name that was meant."""
    pairs: list[tuple[str, Any]] = []
    for name, value in written.items():
        pairs += _flattened(value, f"{before}{name}.") if isinstance(value, dict) else [(f"{before}{name}", value)]
    return pairs


def load_all_commands() -> None:
    """Load every screen, so that the registry knows every command."""
    from breakdesk.tui import everywhere, screens

    assert everywhere.COMMANDS
    for module in iter_modules(screens.__path__):
        import_module(f"{screens.__name__}.{module.name}")


def keep_machine(path: Path, *, theme: str | None = None, never_streams: bool | None = None) -> str:
    """Write settings into the file, whole or not at all; all else in it stays as a person wrote it.

    Returns a sentence about what went wrong, empty where nothing did. A file that cannot be read is left alone.
    """
    import tomllib

    changes: dict[str, str] = {}
    if theme is not None:
        changes["theme"] = f'"{theme}"'
    if never_streams is not None:
        changes["never_streams"] = "true" if never_streams else "false"
    try:
        text = path.read_text(encoding="utf-8-sig") if path.exists() else ""
        tomllib.loads(text)
        new = _with(text, changes)
        tomllib.loads(new)
        _replace(path, new)
    except ValueError as error:
        return f"Not kept: {path} is not in the form that it needs (TOML: {error}). Correct or remove it."
    except OSError as error:
        return f"Not kept: {path} cannot be written ({error.strerror or error})."
    return ""


def _with(text: str, changes: Mapping[str, str]) -> str:
    """Return the file's text with settings changed; they stand before the first table."""
    lines = text.splitlines()
    first_table = next((number for number, line in enumerate(lines) if line.lstrip().startswith("[")), len(lines))
    for name, value in changes.items():
        pattern = re.compile(rf"\s*{name}\s*=")
        place = next((number for number, line in enumerate(lines[:first_table]) if pattern.match(line)), None)
        if place is None:
            lines.insert(0, f"{name} = {value}")
            first_table += 1
        else:
            lines[place] = f"{name} = {value}"
    return "\n".join(lines) + "\n"


def _replace(path: Path, text: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        Path(name).replace(path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise

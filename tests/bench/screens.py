"""What a person feels at the screen: the start, each key, each change of place; seen through a pseudo-terminal."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from table import Row, median, p95, ratio_row
from terminal import Answer, Terminal

from breakdesk.desk.answering import person_view
from breakdesk.desk.desk import open_desk
from breakdesk.desk.listing import owed_rows
from breakdesk.rules.tags import shown

HERE = Path(__file__).parent
PYTHON = sys.executable
SCREEN = (PYTHON, "-m", "breakdesk")
BARE_WORDS = "bare and ready"
USEFUL = "decisions for you"
"""The last words that stand on the first screen once it is useful."""
STARTS, KEYS, VISITS = 7, 40, 8
BACKUP_SECONDS = 20.0
"""After so long the first backup of a session is over."""


@dataclass(frozen=True, slots=True)
class Place:
    """A list or a line to type in: the keys that lead to it, and the keys that are typed there in turn."""

    name: str
    way: tuple[str, ...]
    keys: tuple[str, ...]


PLACES = (
    Place("Today", ("f2",), ("down", "up")),
    Place("Catch, entry line", ("f3",), ("m", "a", "r", "t", "backspace", "backspace", "backspace", "backspace")),
    Place("Owed", ("f4",), ("down", "up")),
    Place("All claims", ("f4", "c"), ("down", "up")),
    Place("Search, line", ("f5",), ("b", "r", "backspace", "backspace")),
    Place("Parcels", ("f6",), ("down", "up")),
    Place("Outlook", ("f7",), ("down", "up")),
    Place("a participant", ("f4", "enter"), ("down", "up")),
)


@contextmanager
def at_the_desk(path: Path) -> Iterator[Terminal]:
    """The program with a desk, its first screen ready."""
    with Terminal(SCREEN, _environment(path)) as terminal:
        terminal.wait_for(USEFUL)
        yield terminal


def _environment(path: Path) -> Mapping[str, str]:
    return {"BREAKDESK_DESK": str(path), "BREAKDESK_CONFIG": str(path.with_name("no-settings.toml"))}


def bare(kind: str) -> Sequence[str]:
    """The command of a bare program."""
    return (PYTHON, str(HERE / "bare.py"), kind)


def starts(desks: Mapping[int, Path]) -> list[Row]:
    """From the command to the first useful screen, taken in turn so that a busy machine is busy for all."""
    theirs: list[float] = []
    ours: dict[int, list[float]] = {size: [] for size in desks}
    for _ in range(STARTS):
        with Terminal(bare("empty")) as terminal:
            theirs.append(terminal.wait_for(BARE_WORDS))
        for size, path in desks.items():
            with Terminal(SCREEN, _environment(path)) as terminal:
                ours[size].append(terminal.wait_for(USEFUL))
    rows = [ratio_row(f"start to the first useful screen, {size:,} claims", 1.5, ours[size], theirs) for size in desks]
    return [*rows, growth_row("first screen", ours)]


def growth_row(what: str, times: Mapping[int, Sequence[float]]) -> Row:
    """How much longer it takes with 100 times the claims."""
    small, large = median(times[1_000]), median(times[100_000])
    grown = large / small
    measured = f"{grown:.2f} times ({small:.1f} ms to {large:.1f} ms)"
    return Row(f"growth from 1,000 to 100,000 claims: {what}", "at most 1.3 times", measured, grown <= 1.3)


def _answers(terminal: Terminal, keys: Sequence[str], count: int) -> list[Answer]:
    return [terminal.press(keys[number % len(keys)]) for number in range(count)]


def _firsts(answers: Sequence[Answer]) -> list[float]:
    return [answer.first for answer in answers if answer.first is not None]


def echoes(path: Path) -> list[Row]:
    """From a key to the first byte that comes back, beside a bare line to type in."""
    rows = []
    with Terminal(bare("input")) as plain, at_the_desk(path) as terminal:
        plain.wait_for(BARE_WORDS)
        plain.settle()
        time.sleep(BACKUP_SECONDS)
        for place in PLACES:
            _go(terminal, place.way)
            ours, theirs, last = [], [], []
            for number in range(KEYS):
                theirs += _firsts([plain.press("x")])
                answer = terminal.press(place.keys[number % len(place.keys)])
                ours += _firsts([answer])
                last += [answer.last] if answer.last is not None else []
            rows.append(_echo_row(place.name, ours, theirs))
            if place.name.startswith("Catch"):
                rows.append(_within("entry line, key to the finished screen", 30, last))
            terminal.press("escape")
            terminal.press("f2")
    return rows


def _go(terminal: Terminal, way: Sequence[str]) -> None:
    for key in way:
        terminal.press(key)
        terminal.settle()


def _echo_row(name: str, ours: Sequence[float], theirs: Sequence[float]) -> Row:
    if not ours:
        return Row(f"key to first echo: {name}", "", "nothing to move in", None)
    middle, high = median(ours) / median(theirs), p95(ours) / p95(theirs)
    measured = (
        f"median {middle:.2f} times ({median(ours):.1f} ms against {median(theirs):.1f} ms), "
        f"95 in 100 {high:.2f} times ({p95(ours):.1f} ms against {p95(theirs):.1f} ms)"
    )
    return Row(f"key to first echo: {name}", "at most 1.5 and 2 times", measured, middle <= 1.5 and high <= 2)


def _within(what: str, most: float, times: Sequence[float], *, worst: bool = False) -> Row:
    high = max(times) if worst else p95(times)
    goal = f"{'none' if worst else '95 in 100'} {'over' if worst else 'within'} {most:g} ms"
    measured = f"median {median(times):.1f} ms, 95 in 100 within {p95(times):.1f} ms, longest {max(times):.1f} ms"
    return Row(what, goal, measured, high <= most)


def changes(path: Path) -> tuple[list[Row], list[float]]:
    """Going from place to place, opening a participant, searching and scrolling; also the times of the participant."""
    desk = open_desk(path)
    first = owed_rows(desk, 0, 1)[0]
    view = person_view(desk, first.person_id)
    desk.close()
    assert view is not None
    assert view.owed is not None
    tag = shown(view.owed.claims[0].claim.tag)
    with at_the_desk(path) as terminal:
        time.sleep(BACKUP_SECONDS)
        for key in ("f4", "f5", "f6", "f7", "f2"):
            terminal.press(key)
            terminal.settle()
        switched = [terminal.press(key) for _ in range(VISITS) for key in ("f4", "f5", "f6", "f2")]
        terminal.press("f4")
        opened = []
        for _ in range(VISITS):
            terminal.settle()
            opened.append(terminal.press_until("enter", tag))
            terminal.settle()
            terminal.press("escape")
        terminal.press("f5")
        terminal.settle()
        searched = []
        for text in ("brin", "adela", "s m", "release", "fe fl"):
            searched += _lasts(terminal, text)
            searched += _lasts(terminal, ["backspace"] * len(text))
        _go(terminal, ("f4", "c"))
        scrolled = _lasts(terminal, ["page down"] * 60 + ["end", "home", "end", "page up", "home", "down"] * 5)
    return [
        _within("switching screens, to the picture of the place as it was left", 50, _firsts(switched)),
        _within("switching screens, to the place read anew", 50, [a.last for a in switched if a.last is not None]),
        _within("opening a participant, to their first claim", 50, opened),
        _within("searching as you type", 50, searched),
        _within("scrolling and jumping in the list of all claims", 30, scrolled, worst=True),
    ], opened


def _lasts(terminal: Terminal, keys: Sequence[str]) -> list[float]:
    return [answer.last for answer in (terminal.press(key) for key in keys) if answer.last is not None]


def memory(desks: Mapping[int, Path]) -> list[Row]:
    """What the running screen holds after it was used, beside a bare program."""
    with Terminal(bare("empty")) as terminal:
        terminal.wait_for(BARE_WORDS)
        terminal.settle()
        theirs = terminal.memory()
    held = {}
    for size in (1_000, 100_000):
        with at_the_desk(desks[size]) as terminal:
            terminal.settle()
            for key in ("f4", "end", "f5", "b", "f6", "f2"):
                terminal.press(key)
                terminal.settle()
            held[size] = terminal.memory()
    small, large = held[1_000], held[100_000]
    if theirs is None or small is None or large is None:
        return [Row("memory of the running screen", "at most 2 times", "this system does not say", None)]
    measured = f"{large / theirs:.2f} times ({large:.0f} MB against {theirs:.0f} MB)"
    flat = f"{large / small:.2f} times ({small:.0f} MB to {large:.0f} MB)"
    return [
        Row("memory of the running screen, 100,000 claims", "at most 2 times", measured, large / theirs <= 2),
        Row("memory from 1,000 to 100,000 claims", "flat (at most 1.1 times)", flat, large / small <= 1.1),
    ]

"""The pages of the settings and the rows on each: what is set, since when, and what is usual."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Final

from breakdesk.desk.desk import Desk
from breakdesk.desk.house_wording import wordings
from breakdesk.desk.maker_list import ListedMaker, makers_listed
from breakdesk.desk.makers import MarkedMaker, marked_makers
from breakdesk.desk.problems import Problem
from breakdesk.desk.terms import TermsView, TermView, terms_of
from breakdesk.rules.parties import House
from breakdesk.rules.wording import counted
from breakdesk.tui import masking
from breakdesk.tui.machine import MachineFile
from breakdesk.tui.masking import Secret
from breakdesk.tui.term_words import earlier_words, later_words, since_words, term_words, value_words
from breakdesk.tui.theme import DEFAULT_THEME, THEME_WORDS
from breakdesk.tui.wording import day_words, path_words

DAYS_LISTED: Final = 3


@dataclass(frozen=True, slots=True)
class Page:
    """One page: the house, a maker (by name), or this machine."""

    kind: str
    label: str
    maker: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One row: what it is, what holds now, since when, what is usual, and what it does in sentences."""

    kind: str
    label: str
    now: str | Secret
    since: str = ""
    usual: str = ""
    about: str = ""
    term: TermView | None = None


@dataclass(frozen=True, slots=True)
class Settings:
    """What the settings screen needs of the desk at once."""

    house: TermsView
    makers: tuple[tuple[ListedMaker, TermsView], ...]
    marked: Mapping[str, MarkedMaker]
    own_texts: int
    """How many messages have a text of the house's own."""


def read_settings(desk: Desk) -> Settings:
    """The terms of the house and of every maker."""
    views = []
    for listed in makers_listed(desk):
        view = terms_of(desk, listed.name)
        if not isinstance(view, Problem):
            views.append((listed, view))
    house = terms_of(desk)
    assert isinstance(house, TermsView), "the house is always there"
    own_texts = sum(item.own for item in wordings(desk))
    return Settings(house, tuple(views), {marked.name: marked for marked in marked_makers(desk)}, own_texts)


def pages_of(settings: Settings) -> list[Page]:
    """All pages in their order."""
    makers = [Page("maker", listed.name, listed.name) for listed, _ in settings.makers]
    return [Page("house", "The house"), *makers, Page("machine", "This machine")]


def items_of(page: Page, settings: Settings, house: House, machine: MachineFile, theme: str, today: date) -> list[Item]:
    """The rows of a page."""
    if page.kind == "house":
        name = Item(kind="name", label="Name", now=house.name, about="What people see, in messages too.")
        wording = Item(
            kind="wording",
            label="Wording of messages",
            now=counted(settings.own_texts, "text of yours", "texts of yours") if settings.own_texts else "as it comes",
            usual="as it comes",
            about="What messages say, text by text. Enter opens them beside how they read to a real participant.",
        )
        terms = list(_term_items(settings.house, today))
        place = next((place for place, item in enumerate(terms, 1) if item.term and item.term.name == "tone"), 0)
        return [name, *terms[:place], wording, *terms[place:]]
    if page.kind == "maker":
        listed, view = next(pair for pair in settings.makers if pair[0].name == page.maker)
        standing = _standing(settings.marked.get(listed.name), today)
        return [*_term_items(view, today), *_maker_items(listed, view, today), standing]
    return _machine_items(machine, theme)


def _term_items(view: TermsView, today: date) -> Iterable[Item]:
    for term in view.terms:
        words = term_words(term.name, of_maker=view.maker is not None)
        about = " ".join(
            filter(None, (words.about, later_words(term, words, today), earlier_words(term, words, today)))
        )
        yield Item(
            kind="term",
            label=words.label,
            now=value_words(term.name, term.today, words),
            since=since_words(term, today),
            usual=value_words(term.name, term.default, words),
            about=about,
            term=term,
        )


def _maker_items(listed: ListedMaker, view: TermsView, today: date) -> list[Item]:
    noted = sorted(day for day, _ in view.noted if day >= today)
    public = sorted((day, name) for day, name in view.holidays if day >= today)
    coming = ", ".join(f"{day_words(day, today)} ({name})" for day, name in public[:DAYS_LISTED])
    return [
        Item(
            kind="closed",
            label="Closed days",
            now=", ".join(day_words(day, today) for day in noted[:DAYS_LISTED]) or "none noted",
            about=f"Days that you noted, beside the public holidays. Next holidays: {coming or 'none are stored'}.",
        ),
        Item(
            kind="contact",
            label="Contact",
            now=masking.email(listed.contact) if listed.contact else "–",
            about="How to write to this maker about claims: an address, a page, a name.",
        ),
    ]


def _standing(marked: MarkedMaker | None, today: date) -> Item:
    about = "Say once that a maker closed, was bought, moved or changed its ways: for all its claims, undone as one."
    if marked is None:
        return Item(kind="mark", label="What happened", now="as usual", about=about)
    again = f"To be looked at again on {day_words(marked.review_on, today)}." if marked.review_on else ""
    follows = f" {marked.successor} carries on." if marked.successor else ""
    return Item(
        kind="mark",
        label="What happened",
        now=marked.what,
        since="due now" if marked.is_due else "marked",
        usual="as usual",
        about=f"{marked.what}: noted at {marked.claims:,} of its claims. {again}{follows} Enter takes the mark off.",
    )


def _machine_items(machine: MachineFile, theme: str) -> list[Item]:
    rebound = len(machine.machine.keys)
    wrong = f" {' '.join(machine.problems)}" if machine.problems else ""
    return [
        Item(
            kind="theme",
            label="Look",
            now=THEME_WORDS.get(theme, theme),
            usual=THEME_WORDS[DEFAULT_THEME],
            about=THEME_ABOUT,
        ),
        Item(
            kind="streams",
            label="Streaming",
            now="never: off air" if machine.machine.never_streams else "may be",
            usual="may be",
            about="On a machine that never streams the desk opens off air. Starting a break always goes on air.",
        ),
        Item(
            kind="keys",
            label="Keys",
            now=f"{rebound} of your own" if rebound else "as they come",
            usual="as they come",
            about=f"Any key can be another. Enter tells how.{wrong}",
        ),
        Item(
            kind="file", label="Settings file", now=machine.path.name, about=f"{path_words(machine.path)} {FILE_ABOUT}"
        ),
    ]


THEME_ABOUT: Final = "The colours of every screen on this machine. Where NO_COLOR is set, there is no colour at all."
FILE_ABOUT: Final = (
    "holds what is set for this machine alone. It may be edited by hand; BREAKDESK_CONFIG names another file."
)


def keys_text(path: Path) -> str:
    """How keys are bound anew, as a page."""
    return (
        f"Write the keys into the settings file of this machine:\n{path_words(path)}\n \n"
        "[keys]\n"
        '"today.undo" = "z"\n'
        '"owed.find" = "f"\n \n'
        "On the left stands the name of a command, on the right one key: a letter, f1 to f12, or a combination such as "
        "ctrl+t. docs/settings.md lists all commands. A key that a field, a list or the terminal needs, or "
        "that another command of the same screen has, is refused with a sentence at the next start, and then no key "
        "is changed."
    )

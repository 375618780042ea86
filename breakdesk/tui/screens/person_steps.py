"""Asks about people: whom, by the first letters of a name or a handle, and what they were promised for which day."""

from __future__ import annotations

from datetime import date

from breakdesk.desk.people import people_called
from breakdesk.desk.searching import Hit
from breakdesk.rules.wording import day_in_words
from breakdesk.tui.day_entry import read_day
from breakdesk.tui.dialogs import AskText
from breakdesk.tui.masking import Secret
from breakdesk.tui.screens.acting_screen import ActingScreen, needed
from breakdesk.tui.wording import person_words

HOW_TO_NAME = "The first letters of a name or a handle."


async def ask_person(screen: ActingScreen, title: str, *parts: str | Secret, without: int | None = None) -> Hit | None:
    """Ask until somebody is found or nobody is wanted; `without` is not among them."""
    typed, nobody = "", ""
    while True:
        about = (*parts, *((" ",) if parts else ()), nobody or HOW_TO_NAME)
        typed = await screen.ask(AskText(title, *about, value=typed, check=needed)) or ""
        if not typed:
            return None
        hits = await screen.desk.call(people_called, typed)
        people = {hit.person_id: hit for hit in hits if hit.person_id != without}
        if len(people) == 1:
            return next(iter(people.values()))
        if people:
            names = [(str(key), person_words(hit.name, hit.handle, hit.on_air_name)) for key, hit in people.items()]
            picked = await screen.pick("Which one?", names)
            return None if picked is None else people[int(picked)]
        nobody = "Nobody else here is called like that. Type other letters; Esc goes back."


def words_for(hit: Hit) -> Secret:
    """A participant who was found, for the screen."""
    return person_words(hit.name, hit.handle, hit.on_air_name)


def promise_dialog(today: date) -> AskText:
    """Asks in one line for the day of a promise and for its words: somebody is on the phone meanwhile."""
    return AskText(
        "What was promised, and for which day?",
        "The day first (fri, 10 for ten days, or 2026-12-04), then a few words. It comes back among the decisions.",
        check=lambda line: _promise_problem(line, today),
    )


def promise_parts(line: str, today: date) -> tuple[date, str]:
    """The day and the words of such a line. Raises ValueError with a sentence."""
    day, _, words = line.strip().partition(" ")
    return read_day(day, today), words.strip()


def _promise_problem(line: str, today: date) -> str | None:
    try:
        day, words = promise_parts(line, today)
    except ValueError as error:
        return str(error)
    if day < today:
        return f"{day_in_words(day)} is past."
    return None if words else "Say in a few words what was promised."

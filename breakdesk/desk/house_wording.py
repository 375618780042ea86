"""The house's own wording: its files, what is wrong with them, how they would read to a real participant, and versions.

The files stand in the desk's folder under `templates`; a file that is written over or taken away is kept beside it
under `template versions`, so that it can be said what was written when, and brought back.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path

from breakdesk.desk.answering import answer_for_person
from breakdesk.desk.ask_messages import ask_draft
from breakdesk.desk.desk import Desk
from breakdesk.desk.problems import Done, Problem, Result
from breakdesk.desk.public_list import public_list
from breakdesk.desk.telling import telling_for
from breakdesk.desk.viewing import today
from breakdesk.files.messages.channels import DIRECT, EMAIL, SMS
from breakdesk.files.messages.checking import check_source, check_templates, sample_variables
from breakdesk.files.messages.delay import delay_message
from breakdesk.files.messages.language import known_language
from breakdesk.files.messages.sources import (
    NAMES,
    TONES,
    Source,
    TemplateProblem,
    Templates,
    compiled,
    own_source,
    read_source,
    shipped_source,
)
from breakdesk.store.kept_files import write_durably

FOLDER, VERSIONS = "templates", "template versions"
TRIED = "this text"
_STAMP = "%Y%m%dT%H%M%S%fZ"
_VERSION = re.compile(r"(\d{8}T\d{12}Z)\.txt")


@dataclass(frozen=True, slots=True)
class Place:
    """Where a file of wording stands: for every tone and language, or for one of them."""

    tone: str = ""
    language: str = ""

    @property
    def parts(self) -> tuple[str, ...]:
        """The folders that lead there."""
        return tuple(part for part in (self.language, self.tone) if part)


@dataclass(frozen=True, slots=True)
class Wording:
    """One template as the house has it. `own` is False where the shipped text stands."""

    name: str
    place: Place
    text: str
    own: bool


def wordings(desk: Desk, place: Place | None = None) -> tuple[Wording, ...]:
    """Every template with the text that a message would be made from at a place."""
    return tuple(wording(desk, name, place) for name in NAMES)


def wording(desk: Desk, name: str, place: Place | None = None) -> Wording:
    """A template with the text that a message would be made from; `own` where the place itself has a file."""
    place = place or Place()
    folder = desk.folder / FOLDER
    tone = place.tone or TONES[0]
    source = own_source(folder, tone, place.language or "en", name) or shipped_source(tone, name)
    return Wording(name, place, source.text, _file(desk, place, name).is_file())


def check(desk: Desk) -> tuple[TemplateProblem, ...]:
    """Everything wrong with the house's files, by file and line."""
    return check_templates(desk.folder / FOLDER)


def check_text(name: str, text: str) -> tuple[TemplateProblem, ...]:
    """What is wrong with a text as the template of this name, rendered against every state."""
    return check_source(name, Source(TRIED, text))


def save(desk: Desk, name: str, text: str, place: Place | None = None) -> Result:
    """Writes a template of the house; what stood there is kept. A text with a mistake is not written."""
    place = place or Place()
    bad = _bad_place(name, place)
    if bad is not None:
        return bad
    problems = check_text(name, text)
    if problems:
        first = problems[0]
        return Problem(f"{name}, line {first.line}: {first.sentence}", "Correct it; the text was not saved.")
    path = _file(desk, place, name)
    try:
        _keep(desk, path)
        write_durably(path, (text if text.endswith("\n") else text + "\n").encode())
    except OSError as error:
        return Problem(f"{path} cannot be written: {error.strerror}.", "Look at the space and the rights.")
    return Done(f"{name} is saved; messages are written with it from now on.")


def use_shipped(desk: Desk, name: str, place: Place | None = None) -> Result:
    """Takes the house's file away, so that the shipped text stands again; the file is kept as a version."""
    place = place or Place()
    path = _file(desk, place, name)
    if name not in NAMES or not path.is_file():
        return Problem(f"{name} is the shipped text already.")
    try:
        _keep(desk, path)
        path.unlink()
    except OSError as error:
        return Problem(f"{path} cannot be taken away: {error.strerror}.", "Look at its rights.")
    return Done(f"{name} is the shipped text again; yours is kept among the versions.")


@dataclass(frozen=True, slots=True)
class Version:
    """A text that once stood: until when it did, and what it said."""

    until: datetime
    text: str


def versions(desk: Desk, name: str, place: Place | None = None) -> tuple[Version, ...]:
    """The texts of a template that were replaced, newest first."""
    folder = _versions_folder(desk, _file(desk, place or Place(), name))
    found = []
    for path in sorted(folder.glob("*.txt"), reverse=True) if folder.is_dir() else ():
        stamp = _VERSION.fullmatch(path.name)
        if stamp is not None:
            until = datetime.strptime(stamp[1], _STAMP).replace(tzinfo=UTC)
            found.append(Version(until, read_source(path).text))
    return tuple(found)


def _keep(desk: Desk, path: Path) -> None:
    if not path.is_file():
        return
    folder = _versions_folder(desk, path)
    write_durably(folder / f"{datetime.now(UTC):{_STAMP}}.txt", path.read_bytes())


def _versions_folder(desk: Desk, path: Path) -> Path:
    return desk.folder / VERSIONS / path.relative_to(desk.folder / FOLDER).with_suffix("")


def _file(desk: Desk, place: Place, name: str) -> Path:
    return (desk.folder / FOLDER).joinpath(*place.parts, f"{name}.txt")


def _bad_place(name: str, place: Place) -> Problem | None:
    if name not in NAMES:
        return Problem(f"No message uses a template called {name}.", f"The names are {', '.join(NAMES)}.")
    if place.tone and place.tone not in TONES:
        return Problem(f"There is no tone {place.tone}.", f"The tones are {', '.join(TONES)}.")
    if place.language and known_language(place.language) != place.language:
        return Problem(f"{place.language} is not a language that is known.", "Write it as de, fr or pt_BR.")
    return None


@dataclass(frozen=True, slots=True)
class Preview:
    """How a text would read. `real` is False where no claim has that news now, so that invented values stand in."""

    text: str
    problems: tuple[TemplateProblem, ...]
    real: bool


def preview(desk: Desk, name: str, text: str, person_id: int | None, tone: str = "") -> Preview:
    """A template's text, not saved, as a real participant would read it; nobody is told and nothing is written."""
    problems = check_text(name, text)
    if problems:
        return Preview("", problems, real=False)
    folder = desk.folder / FOLDER
    templates = Templates(folder if folder.is_dir() else None, {name: Source(TRIED, text)})
    shown = "" if name.startswith(("need", "news")) and not _applies(desk, name, person_id) else _real(
        desk, name, person_id, templates, tone
    )  # fmt: skip
    return Preview(shown, (), real=True) if shown else Preview(_sample(name, text), (), real=False)


def _applies(desk: Desk, name: str, person_id: int | None) -> bool:
    """Whether a message to the participant would use the template now."""
    if person_id is None:
        return False
    kind, _, word = name.partition("_")
    view = telling_for(desk, person_id).view
    if kind == "need":
        return any(need.kind == word for need in view.needs)
    return bool(view.waiting) if word == "waiting" else any(group.word == word for group in view.news)


def _real(desk: Desk, name: str, person_id: int | None, templates: Templates, tone: str) -> str:
    if name.startswith("ask"):
        askable = [[item.claim for item in maker.claims] for maker in today(desk).today.ask if maker.claims]
        return ask_draft(desk, askable[0], templates).message.whole if askable else ""
    if name == "public":
        listed = public_list(desk, templates)
        return listed.message.text if listed.people else ""
    if person_id is None:
        return ""
    if name == "answer":
        return answer_for_person(desk, person_id, templates)
    channel = {"subject": EMAIL, "sms": SMS, "message": DIRECT}.get(name, "")
    telling = telling_for(desk, person_id, tone, channel, templates)
    if name == "delay_notice":
        return delay_message(telling.view, tone or TONES[0], templates=templates).text if telling.view.waiting else ""
    return telling.message.whole if telling.items else ""


def _sample(name: str, text: str) -> str:
    from breakdesk.files.messages.environment import render

    template = compiled(Source(TRIED, text))
    assert not isinstance(template, TemplateProblem), "it was checked"
    shown: Sequence[str] = [render(template, variables) for variables in sample_variables(name)]
    return max(shown, key=len)


def people_for_preview(desk: Desk, limit: int = 200) -> tuple[tuple[int, str, str, date | None], ...]:
    """Participants to try a text on: key, on-air name or handle, name, and when their next telling is due."""
    from breakdesk.desk.bulk import Wanted, choose

    found = choose(desk, Wanted(), again=True)[:limit]
    return tuple(
        (item.person_id, item.on_air_name or item.handle or "a participant", item.name, item.due_on) for item in found
    )

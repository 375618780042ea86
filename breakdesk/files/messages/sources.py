"""Where wording comes from: the house's own text files first, then the shipped ones, never nothing."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from pathlib import Path
from typing import TYPE_CHECKING

from breakdesk.files.messages import wording
from breakdesk.files.messages.language import language_chain, shipped_language

if TYPE_CHECKING:
    from jinja2 import Template

TONES = ("warm", "brief")
NAMES = (
    "message",
    "subject",
    "sms",
    "public",
    "ask",
    "ask_subject",
    "answer",
    "delay_notice",
    *(f"need_{kind}" for kind in wording.NEEDS),
    *(f"news_{word}" for word in wording.NEWS),
)


@dataclass(frozen=True, slots=True)
class TemplateProblem:
    """What is wrong with one file of wording: the file, the line (from 1) and a sentence."""

    file: str
    line: int
    sentence: str

    def __str__(self) -> str:
        return f"{self.file}, line {self.line}: {self.sentence}"


@dataclass(frozen=True, slots=True)
class Source:
    """One template as it was read; `problem` where the file could not be read."""

    file: str
    text: str
    problem: TemplateProblem | None = None


class Templates:
    """The wording of a house, read once. Make a new one after a file was changed.

    `tried` stands in place of the house's files of those names, for a preview of what was not saved.
    """

    def __init__(self, folder: Path | None = None, tried: Mapping[str, Source] | None = None) -> None:
        self._folder = folder
        self._tried = dict(tried or {})
        self._sets: dict[tuple[str, str], TemplateSet] = {}

    def for_tone(self, tone: str, language: str) -> TemplateSet:
        """Wording for a tone (an unknown one is `warm`) and a language."""
        key = (tone if tone in TONES else TONES[0], language)
        if key not in self._sets:
            self._sets[key] = TemplateSet(self._folder, *key, self._tried)
        return self._sets[key]


class TemplateSet:
    """All templates of one tone and language, the house's own before the shipped ones."""

    def __init__(self, folder: Path | None, tone: str, language: str, tried: Mapping[str, Source]) -> None:
        self._language = language
        own = {name: own_source(folder, tone, language, name) for name in NAMES} if folder is not None else {}
        self._own: dict[str, Source | None] = {**own, **tried}
        self._shipped = {name: shipped_source(tone, name) for name in NAMES}
        self._compiled: dict[str, Template | TemplateProblem] = {}
        self.version = _version([self._own.get(name) or self._shipped[name] for name in NAMES])

    def language_of(self, name: str) -> str:
        """The language of the days and amounts in a text: its reader's, but never a foreign one in a shipped text."""
        return self._language if self._own.get(name) is not None else shipped_language(self._language)

    def render(self, name: str, variables: Mapping[str, object], warn: Callable[[TemplateProblem], None]) -> str:
        """Text of one template. A broken file of the house's own is reported and the shipped one used in its place."""
        own = self._own.get(name)
        if own is not None:
            text = self._try_own(own, variables)
            if isinstance(text, str):
                return text
            warn(text)
        from breakdesk.files.messages.environment import render

        template = self._compile(self._shipped[name])
        assert not isinstance(template, TemplateProblem), template
        return render(template, variables)

    def _try_own(self, source: Source, variables: Mapping[str, object]) -> str | TemplateProblem:
        from breakdesk.files.messages.environment import line_of, render, sentence_of

        template = self._compile(source)
        if isinstance(template, TemplateProblem):
            return template
        try:
            return render(template, variables)
        except Exception as error:  # a template is input: whatever it raises is its own mistake
            return TemplateProblem(source.file, line_of(error, source.file), sentence_of(error))

    def _compile(self, source: Source) -> Template | TemplateProblem:
        if source.problem is not None:
            return source.problem
        if source.file not in self._compiled:
            self._compiled[source.file] = compiled(source)
        return self._compiled[source.file]


def compiled(source: Source) -> Template | TemplateProblem:
    """The template ready to render, or what is wrong with it."""
    from breakdesk.files.messages.environment import MessageEnvironment, compile_template, line_of, sentence_of

    try:
        return compile_template(MessageEnvironment(), source.text, source.file)
    except Exception as error:  # a template is input: whatever its reading raises is its own mistake
        return TemplateProblem(source.file, line_of(error, source.file), sentence_of(error))


@cache
def shipped_templates() -> Templates:
    """The wording that comes with Breakdesk."""
    return Templates()


@cache
def shipped_source(tone: str, name: str) -> Source:
    """A shipped template."""
    path = resources.files("breakdesk.files.messages") / "templates" / tone / f"{name}.txt"
    return Source(f"shipped/{tone}/{name}.txt", path.read_text(encoding="utf-8"))


def own_source(folder: Path, tone: str, language: str, name: str) -> Source | None:
    """The house's own file of that name, the one that fits language and tone best; None where it has none."""
    places = [place for known in language_chain(language) for place in (folder / known / tone, folder / known)]
    for place in [*places, folder / tone, folder]:
        path = place / f"{name}.txt"
        if path.is_file():
            return read_source(path)
    return None


def read_source(path: Path) -> Source:
    """A file of the house as text; one that cannot be read is a source with a problem."""
    try:
        return Source(str(path), path.read_text(encoding="utf-8-sig"))
    except UnicodeDecodeError:
        return Source(str(path), "", TemplateProblem(str(path), 1, "It is not UTF-8 text; save it as UTF-8."))
    except OSError:
        return Source(str(path), "", TemplateProblem(str(path), 1, "It cannot be read; look at its permissions."))


def _version(sources: list[Source]) -> str:
    digest = hashlib.sha256()
    for source in sources:
        digest.update(len(source.text).to_bytes(4, "big") + source.text.encode("utf-8", "surrogatepass"))
    return digest.hexdigest()[:12]

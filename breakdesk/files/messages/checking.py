"""Every file of a house's wording rendered against every state, before anybody is written to."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from breakdesk.files.messages import wording
from breakdesk.files.messages.channels import KINDS
from breakdesk.files.messages.language import known_language
from breakdesk.files.messages.sources import NAMES, TONES, Source, TemplateProblem, compiled, read_source
from breakdesk.files.messages.variables import (
    AnswerText,
    PublicGroupText,
    PublicLineText,
    answer_claim_text,
    group_text,
    need_text,
    reference_text,
)
from breakdesk.files.messages.views import AnswerClaim, AskReference, ClaimLine, Need, NeedKind
from breakdesk.rules.money import Money

if TYPE_CHECKING:
    from jinja2 import Template

_DAY = date(2026, 7, 3)
_FULL = ClaimLine(
    tag="7K3M",
    what="Ilvo Marrin, Gold /25",
    product="Harbor Prime",
    maker="Norwind",
    pulled_on=_DAY,
    submitted_on=_DAY,
    reply_by=_DAY,
    offer_what="Tove Aldan, Silver /50",
    tracking="RA473124829GB",
    closed_how="refunded",
    amount=Money(1250, "USD"),
    outlook="Half of such cards come within 90 days.",
    note="The maker waits for the signature.",
)
_BARE = ClaimLine(tag="7K3M", what="Ilvo Marrin")
_CLAIM_SETS = (
    (_FULL,),
    (_BARE,),
    (_FULL, replace(_FULL, what="Tove Aldan")),
    (_BARE, replace(_FULL, tracking="", note="")),
    tuple(replace(_FULL, what=f"Card {number}", tracking=str(number)) for number in range(7)),
)
_NAMES = {"name": "Ana Lindqvist", "handle": "@ana", "house": "Corner Table Breaks"}


def check_templates(folder: Path) -> tuple[TemplateProblem, ...]:
    """Everything wrong with the files of a folder of wording, by file and line; empty where all is well.

    Looks into the folder itself, its tones and its languages, the places that the messages are made from.
    """
    problems: list[TemplateProblem] = []
    for path in sorted(folder.rglob("*.txt")) if folder.is_dir() else []:
        problems.extend(check_file(path, folder))
    return tuple(problems)


def check_file(path: Path, folder: Path) -> tuple[TemplateProblem, ...]:
    """What is wrong with one file of wording."""
    misplaced = _misplaced(path, folder)
    if misplaced is not None:
        return (misplaced,)
    return check_source(path.stem, read_source(path))


def check_source(name: str, source: Source) -> tuple[TemplateProblem, ...]:
    """What is wrong with a template's text, rendered as the template `name` against every state; each mistake once."""
    from breakdesk.files.messages.environment import line_of, render, sentence_of

    template: Template | TemplateProblem = source.problem or compiled(source)
    if isinstance(template, TemplateProblem):
        return (template,)
    problems: dict[TemplateProblem, None] = {}
    for variables in sample_variables(name):
        try:
            render(template, variables)
        except Exception as error:  # a template is input: whatever it raises is its own mistake
            problems[TemplateProblem(source.file, line_of(error, source.file), sentence_of(error))] = None
    return tuple(problems)


def sample_variables(name: str) -> list[dict[str, object]]:
    """The variables of a template in every state: one card, some, many, all known, hardly anything known."""
    kind, _, word = name.partition("_")
    if kind == "news":
        return [_news_variables(word, claims) for claims in _CLAIM_SETS]
    if kind == "need":
        return [{**_NAMES, "need": need_text(need, "en")} for need in _sample_needs() if need.kind == word]
    if kind == "ask":
        return [_ask_variables(count) for count in (1, 2, 7)]
    if kind == "delay":
        return [_news_variables("waiting", claims) for claims in _CLAIM_SETS]
    if kind == "answer":
        return [_answer_variables(claims) for claims in _sample_answers()]
    if kind == "public":
        groups = (PublicGroupText("Here with us", (PublicLineText("@ana", "Ilvo Marrin"),)),)
        return [
            {"house": "Corner Table Breaks", "on": day, "groups": some}
            for day in ("", "3 July")
            for some in ((), groups)
        ]
    return [variables for channel in KINDS for variables in _message_variables(channel)]


def _misplaced(path: Path, folder: Path) -> TemplateProblem | None:
    if path.stem not in NAMES:
        return TemplateProblem(str(path), 1, f"No message uses a file of this name; the names are {', '.join(NAMES)}.")
    places = path.relative_to(folder).parts[:-1]
    languages = [place for place in places if place not in TONES]
    in_order = len(places) < 2 or (len(places) == 2 and places[0] not in TONES and places[1] in TONES)
    if not in_order or any(known_language(place) != place for place in languages):
        said = "No message looks here; use the folder itself, or folders named by language, tone, or language/tone."
        return TemplateProblem(str(path), 1, said)
    return None


def _news_variables(word: str, claims: tuple[ClaimLine, ...]) -> dict[str, object]:
    group = group_text(word, claims, "en")
    shared = {name: getattr(group, name) for name in ("claims", "count", "one", "few", "cards", "same")}
    return {**_NAMES, **shared, "claim": group.claims[0]}


def _sample_needs() -> list[Need]:
    kinds: tuple[NeedKind, ...] = ("choose", "confirm_address", "confirm_delivery")
    bare = [Need(kind=kind) for kind in kinds]
    return bare + [replace(need, by=_DAY, tag="7K3M", what="Ilvo Marrin", offer_what="Tove Aldan") for need in bare]


def _message_variables(channel: str) -> list[dict[str, object]]:
    needs = tuple(replace(need_text(need, "en"), text="Please answer.") for need in _sample_needs())
    waiting = [replace(group_text("waiting", claims, "en"), text="Still waiting.") for claims in ((), *_CLAIM_SETS[:4])]
    news = tuple(
        replace(group_text(word, claims, "en"), text="News.") for word in wording.NEWS for claims in _CLAIM_SETS[:3]
    )
    common: dict[str, object] = {**_NAMES, "channel": channel, "summary": "1 card: here with us"}
    return [
        {**common, "needs": some_needs, "news": some_news, "waiting": group, "next_update": update}
        for some_needs in ((), needs[:1], needs)
        for some_news in ((), news)
        for group in waiting
        for update in ("", "Friday 3 July 2026")
    ]


def _ask_variables(count: int) -> dict[str, object]:
    asked = AskReference(reference="R-1", what="Ilvo Marrin", submitted_on=_DAY)
    references = [asked if number % 2 else AskReference(reference="", what="Tove Aldan") for number in range(count)]
    return {
        "maker": "Norwind",
        "account": "" if count == 1 else "A7",
        "house": "Corner Table Breaks",
        "references": tuple(reference_text(reference, "en") for reference in references),
        "count": count,
        "one": count == 1,
    }


def _sample_answers() -> list[tuple[AnswerText, ...]]:
    bare = AnswerClaim(tag="7K3M", what="Ilvo Marrin", state="pulled")
    full = [
        replace(
            bare, state=state, pulled_on=_DAY, submitted_on=_DAY, asked_on=(_DAY,) * asks, next_step=step, next_day=_DAY
        )
        for state, step, asks in zip(wording.STATES, wording.NEXT_STEPS, range(8), strict=False)
    ]
    told = replace(full[0], last_told_on=_DAY, last_told_text="It is here.", tracking="RA473124829GB")
    texts = tuple(answer_claim_text(claim, "en") for claim in (bare, told, *full))
    return [(), *((text,) for text in texts), texts]


def _answer_variables(claims: tuple[AnswerText, ...]) -> dict[str, object]:
    return {
        "name": "Ana",
        "house": "Corner Table Breaks",
        "claims": claims,
        "count": len(claims),
        "one": len(claims) == 1,
    }

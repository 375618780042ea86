"""What a template can say: the documented variables, all of them finished text, numbers, or lists of these."""

from __future__ import annotations

from dataclasses import dataclass, fields
from operator import attrgetter

from breakdesk.files.messages import wording
from breakdesk.files.messages.language import day_text, list_text, money_text
from breakdesk.files.messages.plain import plain_line
from breakdesk.files.messages.views import AnswerClaim, AskReference, ClaimLine, Need

TOP_LEVEL = frozenset(
    (
        *("name", "handle", "house", "channel", "needs", "news", "waiting", "next_update", "summary"),
        *("claim", "claims", "count", "one", "few", "cards", "same", "need"),
        *("groups", "on", "maker", "account", "references"),
    )
)
MOST_IN_A_PHRASE = 3
LONGEST_PHRASE = 160


@dataclass(frozen=True, slots=True)
class ClaimText:
    """One claim; what is not known is empty."""

    tag: str
    what: str
    product: str
    maker: str
    pulled_on: str
    submitted_on: str
    reply_by: str
    offer: str
    tracking: str
    closed_how: str
    amount: str
    outlook: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupText:
    """Claims with the same news; `text` is the group's own finished paragraph."""

    word: str
    title: str
    short: str
    count: int
    one: bool
    few: bool
    cards: str
    claims: tuple[ClaimText, ...]
    same: ClaimText
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class NeedText:
    """What the participant must do; `text` is its finished sentence."""

    kind: str
    by: str
    tag: str
    what: str
    offer: str
    text: str = ""


@dataclass(frozen=True, slots=True)
class ReferenceText:
    """One line of an ask."""

    reference: str
    what: str
    submitted_on: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerText:
    """One claim of an answer."""

    tag: str
    what: str
    product: str
    state: str
    pulled_on: str
    submitted_on: str
    asked_on: str
    asks: int
    last_told_on: str
    last_told: str
    tracking: str
    next: str


@dataclass(frozen=True, slots=True)
class PublicLineText:
    """A handle and its cards."""

    handle: str
    cards: str


@dataclass(frozen=True, slots=True)
class PublicGroupText:
    """The lines under one heading of a public post."""

    title: str
    lines: tuple[PublicLineText, ...]


NO_CLAIM = ClaimText(*[""] * len(fields(ClaimText)))
_VALUES = attrgetter(*(field.name for field in fields(ClaimText)))
DOCUMENTED_PARTS = {
    kind: frozenset(field.name for field in fields(kind))
    for kind in (ClaimText, GroupText, NeedText, ReferenceText, AnswerText, PublicLineText, PublicGroupText)
}
"""What may stand after a dot, for each kind of value that has parts."""


def claim_text(claim: ClaimLine, language: str) -> ClaimText:
    """A claim in finished words."""
    return ClaimText(
        plain_line(claim.tag),
        plain_line(claim.what),
        plain_line(claim.product),
        plain_line(claim.maker),
        day_text(claim.pulled_on, language),
        day_text(claim.submitted_on, language),
        day_text(claim.reply_by, language),
        plain_line(claim.offer_what),
        plain_line(claim.tracking),
        wording.closing_words(claim.closed_how),
        money_text(claim.amount, language),
        plain_line(claim.outlook or ""),
        plain_line(claim.note),
    )


def group_text(word: str, lines: tuple[ClaimLine, ...], language: str) -> GroupText:
    """Claims of one news; `few` where their names fit into one phrase."""
    claims = tuple(claim_text(line, language) for line in lines)
    whats = tuple(claim.what for claim in claims)
    phrase = phrase_of(whats, language)
    return GroupText(
        word=word,
        title=wording.news_title(word),
        short=wording.news_short(word),
        count=len(claims),
        one=len(claims) == 1,
        few=len(claims) > 1 and _fits_a_phrase(whats, phrase),
        cards=phrase,
        claims=claims,
        same=_same(claims),
    )


def phrase_of(whats: tuple[str, ...], language: str) -> str:
    """Several cards in one phrase; semicolons keep more than two apart where a name holds a comma."""
    if len(whats) > 2 and any("," in what for what in whats):
        return "; ".join(whats)
    return list_text(whats, language)


def need_text(need: Need, language: str) -> NeedText:
    """A need in finished words, but for its sentence."""
    return NeedText(
        kind=need.kind,
        by=day_text(need.by, language),
        tag=plain_line(need.tag),
        what=plain_line(need.what),
        offer=plain_line(need.offer_what),
    )


def reference_text(reference: AskReference, language: str) -> ReferenceText:
    """A reference in finished words."""
    return ReferenceText(
        plain_line(reference.reference), plain_line(reference.what), day_text(reference.submitted_on, language)
    )


def answer_claim_text(claim: AnswerClaim, language: str) -> AnswerText:
    """A claim of an answer in finished words."""
    step = wording.next_step_words(claim.next_step, asked=bool(claim.asked_on), dated=claim.next_day is not None)
    return AnswerText(
        tag=plain_line(claim.tag),
        what=plain_line(claim.what),
        product=plain_line(claim.product),
        state=wording.state_words(claim.state, claim.closed_how),
        pulled_on=day_text(claim.pulled_on, language),
        submitted_on=day_text(claim.submitted_on, language),
        asked_on=list_text(tuple(day_text(day, language) for day in claim.asked_on), language),
        asks=len(claim.asked_on),
        last_told_on=day_text(claim.last_told_on, language),
        last_told=plain_line(claim.last_told_text),
        tracking=plain_line(claim.tracking),
        next=f"{step} {day_text(claim.next_day, language)}".rstrip(),
    )


def _fits_a_phrase(whats: tuple[str, ...], phrase: str) -> bool:
    if len(whats) > MOST_IN_A_PHRASE or len(phrase) > LONGEST_PHRASE:
        return False
    return len(whats) == 2 or not any("," in what for what in whats)


def _same(claims: tuple[ClaimText, ...]) -> ClaimText:
    """For each value the one that all claims share, else empty."""
    if not claims:
        return NO_CLAIM
    if len(claims) == 1:
        return claims[0]
    columns = zip(*map(_VALUES, claims), strict=True)
    return ClaimText(*[values[0] if len(set(values)) == 1 else "" for values in columns])

"""Messages from views: one for a participant, one for a maker, an answer for the phone, a post for everybody."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from breakdesk.files.messages import wording
from breakdesk.files.messages.channels import (
    DIRECT_MESSAGE,
    EMAIL,
    EMAIL_MESSAGE,
    PUBLIC,
    PUBLIC_POST,
    SMS,
    Channel,
    Message,
    shape,
)
from breakdesk.files.messages.language import day_text, known_language
from breakdesk.files.messages.plain import plain_line
from breakdesk.files.messages.sources import TemplateProblem, Templates, TemplateSet, shipped_templates
from breakdesk.files.messages.variables import (
    GroupText,
    NeedText,
    PublicGroupText,
    PublicLineText,
    answer_claim_text,
    group_text,
    need_text,
    phrase_of,
    reference_text,
)
from breakdesk.files.messages.views import (
    AnswerView,
    AskView,
    ClaimLine,
    Need,
    NewsGroup,
    PublicLine,
    PublicView,
    TellingView,
)
from breakdesk.rules.wording import counted

NEED_NEWS = {"confirm_address": "address", "confirm_delivery": "delivery"}
NEED_ORDER = {kind: position for position, kind in enumerate(wording.NEEDS)}
NEWS_ORDER = {word: position for position, word in enumerate(wording.NEWS)}


class Writer:
    """One message in the making: its templates, and what went wrong with them."""

    def __init__(self, templates: Templates | None, tone: str, language: str) -> None:
        self.templates: TemplateSet = (templates or shipped_templates()).for_tone(tone, known_language(language))
        self.problems: list[TemplateProblem] = []

    def write(self, name: str, variables: Mapping[str, object]) -> str:
        """Text of one template, the shipped one where the house's own is broken."""
        return self.templates.render(name, variables, self.problems.append)

    def finish(self, text: str, channel: Channel, subject: str = "") -> Message:
        """The channel's shape, with each problem told once."""
        warnings = tuple(dict.fromkeys(f"{problem} The shipped wording was used." for problem in self.problems))
        return shape(text, channel, subject=subject, warnings=warnings, templates=self.templates.version)


def tell_message(
    view: TellingView, tone: str = "warm", channel: Channel = DIRECT_MESSAGE, templates: Templates | None = None
) -> Message:
    """All news of one participant in one message. On the public channel only handle, card and state are said."""
    if channel.kind == PUBLIC:
        return public_post(public_view(view), tone, channel, templates)
    writer = Writer(templates, tone, view.language)
    common = {"name": address_name(view), "handle": plain_line(view.handle), "house": plain_line(view.house_name)}
    variables: dict[str, object] = {**common, "channel": channel.kind}
    news, waiting = _sorted_news(view)
    variables["needs"] = tuple(_written_need(need, writer, common) for need in _sorted_needs(view.needs))
    variables["news"] = tuple(_written_group(group.word, group.claims, writer, common) for group in news)
    variables["waiting"] = _written_group("waiting", waiting, writer, common)
    variables["next_update"] = day_text(
        view.next_update_on, writer.templates.language_of("sms" if channel.kind == SMS else "message")
    )
    variables["summary"] = _summary(news, waiting)
    if channel.kind == SMS:
        return writer.finish(writer.write("sms", variables), channel)
    subject = writer.write("subject", variables) if channel.kind == EMAIL else ""
    return writer.finish(writer.write("message", variables), channel, subject)


def ask_message(
    view: AskView, tone: str = "warm", channel: Channel = EMAIL_MESSAGE, templates: Templates | None = None
) -> Message:
    """One polite message to a maker about all references of one account."""
    writer = Writer(templates, tone, view.language)
    language = writer.templates.language_of("ask")
    references = tuple(reference_text(reference, language) for reference in view.references)
    variables: dict[str, object] = {
        "maker": plain_line(view.maker),
        "account": plain_line(view.account),
        "house": plain_line(view.house_name),
        "references": references,
        "count": len(references),
        "one": len(references) == 1,
    }
    subject = writer.write("ask_subject", variables) if channel.kind == EMAIL else ""
    return writer.finish(writer.write("ask", variables), channel, subject)


def answer_text(view: AnswerView, tone: str = "warm", templates: Templates | None = None) -> str:
    """The short answer that is copied while a customer is on the phone."""
    return answer_message(view, tone, templates=templates).text


def answer_message(
    view: AnswerView, tone: str = "warm", channel: Channel = DIRECT_MESSAGE, templates: Templates | None = None
) -> Message:
    """The same answer as a message, in parts and with its warnings."""
    writer = Writer(templates, tone, view.language)
    language = writer.templates.language_of("answer")
    claims = tuple(answer_claim_text(claim, language) for claim in view.claims)
    variables: dict[str, object] = {
        "name": plain_line(view.participant_name) or "there",
        "house": plain_line(view.house_name),
        "claims": claims,
        "count": len(claims),
        "one": len(claims) == 1,
    }
    subject = f"{variables['house']}: your cards" if channel.kind == EMAIL else ""
    return writer.finish(writer.write("answer", variables), channel, subject)


def public_post(
    view: PublicView, tone: str = "warm", channel: Channel = PUBLIC_POST, templates: Templates | None = None
) -> Message:
    """A post that anyone can read: handles, cards and where they are, nothing else."""
    writer = Writer(templates, tone, view.language)
    language = writer.templates.language_of("public")
    variables: dict[str, object] = {
        "house": plain_line(view.house_name),
        "on": day_text(view.on, language),
        "groups": _public_groups(view.lines, language),
    }
    return writer.finish(writer.write("public", variables), channel)


def public_view(view: TellingView) -> PublicView:
    """What of a telling may be said in public. A handle that is the full name gives way to the on-air name."""
    handle = public_handle(view)
    lines = [
        PublicLine(handle=handle, what=claim.what, word=group.word) for group in view.news for claim in group.claims
    ]
    lines += [PublicLine(handle=handle, what=claim.what, word="waiting") for claim in view.waiting]
    return PublicView(house_name=view.house_name, lines=tuple(lines), language=view.language)


def public_handle(view: TellingView) -> str:
    """The name that the public may read: handle, else on-air name, never the full name."""
    private = plain_line(view.participant_name).casefold()
    for candidate in (plain_line(view.handle), plain_line(view.on_air_name)):
        if candidate and candidate.casefold() != private:
            return candidate
    return "a participant"


def address_name(view: TellingView) -> str:
    """How a private message addresses its reader."""
    names = (view.participant_name, view.handle, view.on_air_name)
    return next((name for name in map(plain_line, names) if name), "there")


def _sorted_needs(needs: tuple[Need, ...]) -> list[Need]:
    """Choices first, then the soonest; what has no day last."""
    return sorted(needs, key=lambda need: (NEED_ORDER[need.kind], need.by is None, str(need.by), need.what, need.tag))


def _sorted_news(view: TellingView) -> tuple[list[NewsGroup], tuple[ClaimLine, ...]]:
    """Groups of one word made one, in the order of their weight; a need that says the same replaces its group."""
    needed = {NEED_NEWS[need.kind] for need in view.needs if need.kind in NEED_NEWS}
    by_word: dict[str, tuple[ClaimLine, ...]] = {}
    for group in view.news:
        word = wording.known_news(group.word)
        by_word[word] = by_word.get(word, ()) + group.claims
    waiting = by_word.pop("waiting", ()) + view.waiting
    words = sorted(
        (word for word, claims in by_word.items() if claims and word not in needed), key=NEWS_ORDER.__getitem__
    )
    return [NewsGroup(word=word, claims=by_word[word]) for word in words], waiting


def _written_need(need: Need, writer: Writer, common: Mapping[str, object]) -> NeedText:
    name = f"need_{need.kind}"
    text = need_text(need, writer.templates.language_of(name))
    return replace(text, text=writer.write(name, {**common, "need": text}))


def _written_group(word: str, claims: tuple[ClaimLine, ...], writer: Writer, common: Mapping[str, object]) -> GroupText:
    name = f"news_{word}"
    group = group_text(word, claims, writer.templates.language_of(name))
    if not claims:
        return group
    variables = {
        **common,
        "claims": group.claims,
        "claim": group.claims[0],
        "count": group.count,
        "one": group.one,
        "few": group.few,
        "cards": group.cards,
        "same": group.same,
    }
    return replace(group, text=writer.write(name, variables))


def _summary(news: list[NewsGroup], waiting: tuple[ClaimLine, ...]) -> str:
    groups = [(group.word, len(group.claims)) for group in news] or ([("waiting", len(waiting))] if waiting else [])
    return ", ".join(f"{counted(count, 'card')}: {wording.news_short(word)}" for word, count in groups)


def _public_groups(lines: tuple[PublicLine, ...], language: str) -> tuple[PublicGroupText, ...]:
    order = [*wording.PUBLIC.values(), wording.PUBLIC_OTHERWISE]
    by_title: dict[str, dict[str, list[str]]] = {}
    for line in lines:
        handles = by_title.setdefault(wording.public_title(line.word), {})
        handles.setdefault(plain_line(line.handle) or "a participant", []).append(plain_line(line.what))
    return tuple(
        PublicGroupText(
            title, tuple(_public_line(handle, whats, language) for handle, whats in by_title[title].items())
        )
        for title in sorted(by_title, key=order.index)
    )


def _public_line(handle: str, whats: list[str], language: str) -> PublicLineText:
    return PublicLineText(handle, phrase_of(tuple(dict.fromkeys(whats)), language))

"""Today's five lists as text."""

from __future__ import annotations

from breakdesk.cli.output import say, say_table
from breakdesk.cli.wording import instant_words, last_moment_words, weekday_words
from breakdesk.desk.describing import what_of
from breakdesk.desk.summary import WHY_WORDS, summarise
from breakdesk.desk.viewing import TodayView
from breakdesk.files.messages.wording import news_short
from breakdesk.rules.claim import Listed
from breakdesk.rules.rounds.items import MakerToAsk, ToDecide
from breakdesk.rules.wording import age_words, counted


def say_today(view: TodayView) -> None:
    """Prints what day it is, then each round: its sentence, what burns, and its list."""
    house, lists = view.parties.house, view.today
    zone = house.zone_at(lists.as_of)
    say(f"{house.name}, {instant_words(lists.as_of, zone)} ({zone})")
    walks = (_say_submit, _say_ask, _say_tell, _say_ship, _say_decide)
    for part, walk in zip(summarise(view).rounds, walks, strict=True):
        say()
        burning = f" {part.burning}" if part.burning else ""
        say(f"{part.name.upper()}: {part.count:,} {part.text}.{burning}")
        if part.count:
            walk(view)
    if view.notices:
        say()
        say(f"{counted(view.notices, 'notice')} of delay to be given: `breakdesk notices` lists them.")
    if view.on_hold:
        say()
        say(f"On hold, and in no list: {counted(view.on_hold, 'claim')}.")


def owner_of(view: TodayView, claim: Listed) -> str:
    """Whom a claim is for, in words."""
    if claim.owner_kind == "several":
        return "several"
    return view.parties.owner_name(claim) or "nobody yet"


def _say_submit(view: TodayView) -> None:
    zone = view.parties.house.zone_at(view.today.as_of)
    rows = []
    for item in view.today.submit:
        marks = ["seen on camera"] if item.claim.seen_on_camera else []
        if item.expired:
            marks.append("expired")
        rows.append(
            (
                item.claim.tag,
                last_moment_words(item.submit_by, zone) or "no limit",
                view.parties.maker_of(item.claim).name or "no maker",
                what_of(item.claim),
                owner_of(view, item.claim),
                ", ".join(marks),
            )
        )
    say_table(("tag", "submit by", "maker", "card", "for", "note"), rows)


def _say_ask(view: TodayView) -> None:
    for maker in view.today.ask:
        say(f"{maker.maker.name or 'No maker'}: {_office(view, maker)}.")
        rows = [
            (item.claim.tag, item.claim.reference, age_words(item.age), what_of(item.claim), owner_of(view, item.claim))
            for item in maker.claims
        ]
        say_table(("tag", "reference", "submitted since", "card", "for"), rows)


def _office(view: TodayView, maker: MakerToAsk) -> str:
    if maker.open_now:
        return "the office is open now"
    return f"the office opens {instant_words(maker.opens_at, view.parties.house.zone_at(view.today.as_of))}"


def _say_tell(view: TodayView) -> None:
    rows = []
    for person in view.today.tell:
        news = [f"{item.claim.tag} {news_short(item.news)}" for item in person.items if item.news != "waiting"]
        waiting = sum(1 for item in person.items if item.news == "waiting")
        said = "; ".join(news)
        if waiting:
            still = counted(waiting, "claim still waits", "claims still wait")
            said = f"{said}; {still}" if said else still
        rows.append((person.person.name, weekday_words(person.due_on), said))
    say_table(("participant", "due", "news"), rows)


def _say_ship(view: TodayView) -> None:
    rows = [
        (
            person.person.name,
            "confirmed" if person.address_confirmed else "to be confirmed",
            "; ".join(f"{claim.tag} {what_of(claim)}" for claim in person.claims),
        )
        for person in view.today.ship
    ]
    say_table(("participant", "address", "cards"), rows)


def _say_decide(view: TodayView) -> None:
    rows = [decide_row(view, item) for item in view.today.decide]
    say_table(DECIDE_HEADINGS, rows)


DECIDE_HEADINGS = ("tag", "why", "since", "card", "for")


def decide_row(view: TodayView, item: ToDecide) -> tuple[str, str, str, str, str]:
    """One decision as a row; a promise to a person has its number in place of a tag, a marked maker its name."""
    if item.review is not None:
        return "maker", "look at it again", weekday_words(item.since), item.review.what, item.review.maker
    tag = item.claim.tag if item.claim else f"promise {item.promise_id}"
    card = what_of(item.claim) if item.claim else ""
    whom = owner_of(view, item.claim) if item.claim else item.participant or ""
    return tag, WHY_WORDS[item.why][0], weekday_words(item.since), card, whom

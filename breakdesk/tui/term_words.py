"""Every term in plain words: what it is called, what it does, and how its values read."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Final

from breakdesk.desk.terms import SettledValue, TermView
from breakdesk.tui.wording import day_words


@dataclass(frozen=True, slots=True)
class TermWords:
    """How a term is called in a list, and what it does in a sentence or two."""

    label: str
    about: str
    unit: tuple[str, str] = ("", "")
    """What its number counts: one, and several."""


_DAYS = ("day", "days")
_UNKNOWN_DAYS = {"0": "not known"}

HOUSE_WORDS: Final = {
    "zone": TermWords("Time zone", "Days begin and end here: every date of the house is a day in this zone."),
    "currency": TermWords("Currency", "What an amount is in where nothing else is written."),
    "country": TermWords("Country", "Where parcels start; an address elsewhere counts as abroad. Two letters."),
    "submit_within_days": TermWords(
        "Submit within", "A claim is to be submitted so many days after its pull, or before it expires.", _DAYS
    ),
    "tell_urgent_within_days": TermWords(
        "Urgent news within", "An offer, a refusal, a card that came or was shipped is told within so many days.", _DAYS
    ),
    "tell_routine_within_days": TermWords("Other news within", "All other news is told within so many days.", _DAYS),
    "update_every_days": TermWords(
        "Never silent for", "Who waits hears from you at least once in so many days, even without news.", _DAYS
    ),
    "address_fresh_days": TermWords(
        "An address holds for", "After so many days without a delivery an address is to be confirmed again.", _DAYS
    ),
    "make_good_within_days": TermWords(
        "Make good within", "A refusal not made good within so many days is late among the decisions.", _DAYS
    ),
    "remind_every_days": TermWords(
        "Remind every", "Who has to confirm an address is reminded after so many days, three times at most.", _DAYS
    ),
    "arrived_after_days": TermWords("Ask “did it arrive?”", "So many days after shipping within the country.", _DAYS),
    "arrived_after_days_abroad": TermWords(
        "The same, abroad", "So many days after shipping to another country.", _DAYS
    ),
    "offer_without_date_days": TermWords(
        "An offer without a day", "Where the maker names no day for the answer, it is taken to be this far away.", _DAYS
    ),
    "no_reply_business_days": TermWords(
        "No reply after", "An ask without any answer comes back after so many business days.", _DAYS
    ),
    "references_per_ask": TermWords(
        "Claims in one ask", "At most so many references stand in one message to a maker.", ("claim", "claims")
    ),
    "insure_from": TermWords("Insure from", "A parcel worth this much (whole units of the currency) is insured."),
    "sign_from": TermWords("Signature from", "A parcel worth this much (whole units) asks for a signature."),
    "delay_notice": TermWords(
        "Notices of delay",
        "Lists people to be given a notice with a choice where goods they paid for come late. A reminder, not legal "
        "advice: it is not settled whether such a rule applies to a claim card, and your local law decides.",
    ),
    "delay_notice_days": TermWords(
        "A delay begins after", "So many days after the pull, and again after a notice.", _DAYS
    ),
    "outlook_in_messages": TermWords(
        "Outlook in messages", "Whether messages carry the sentence of the outlook. It is a look back, never a promise."
    ),
    "tone": TermWords("Tone of messages", "The shipped wording is warm or brief; your own templates come before both."),
    "direct_limit": TermWords(
        "Longest direct message", "A longer one is cut at sentence ends and numbered.", ("character", "characters")
    ),
    "quiet_direct": TermWords(
        "Quiet hours, direct", "No direct message in these hours of the participant's day. Such as 21:00-08:00."
    ),
    "quiet_email": TermWords("Quiet hours, e-mail", "No e-mail is sent in these hours of the participant's day."),
    "quiet_sms": TermWords("Quiet hours, short message", "No short message in these hours of the participant's day."),
    "weekly_day": TermWords("Weekly day", "The day of the week on which gathered news is told. Such as friday."),
    "gather_routine_news": TermWords(
        "Busy-day mode", "While on, other news is not due by days but on the weekly day; urgent news stays as it is."
    ),
    "public_list_tells": TermWords(
        "The public list tells",
        "Whether a posted public list counts as having told what it says of pulls and submissions.",
    ),
    "offer_unanswered": TermWords(
        "An offer nobody answers", "By the last day: decide each, or wait or take for all of them, said in the history."
    ),
    "card_steps": TermWords(
        "Steps for each card", "Parted by semicolons; “(optional)” or “from 250” (whole units) may end a step."
    ),
    "parcel_steps": TermWords("Steps for a parcel", "The same for the whole parcel, after those of its cards."),
    "combine_days": TermWords("Hold and combine", "A parcel may wait for other cards at most so long.", _DAYS),
    "break_terms": TermWords(
        "Terms of the break", "Which version buyers are shown, and where it stands; kept with a claim closed under it."
    ),
    "consent_needed": TermWords(
        "Consent first", "Whether a refund, a credit, another card or a buy-out needs the participant's recorded yes."
    ),
    "loss_opens_after_days": TermWords("Loss report from", "The carrier takes it so many days after shipping.", _DAYS),
    "loss_opens_after_days_abroad": TermWords("Loss report from, abroad", "For a parcel to another country.", _DAYS),
    "loss_closes_after_days": TermWords(
        "Loss report until", "Its conditions decide; so many days after shipping is what the desk reminds of.", _DAYS
    ),
    "loss_closes_after_days_abroad": TermWords("Loss report until, abroad", "For a parcel to another country.", _DAYS),
    "start_line_weeks": TermWords(
        "Start line",
        "Drawn on a day: updates and asks that waited before it are spread over so many weeks. Deadlines stay.",
        ("week", "weeks"),
    ),
}

MAKER_WORDS: Final = {
    "zone": TermWords("Time zone", "Its days and office hours are in this zone; claims expire at its midnight."),
    "country": TermWords("Country", "Its public holidays close the office. Two letters; empty for none."),
    "subdivision": TermWords("Part of the country", "A state or province with own holidays, such as IL; or empty."),
    "opens": TermWords("Opens", "From this minute on, Monday to Friday, the office can be asked. Such as 09:00."),
    "closes": TermWords("Closes", "From this minute on the office is closed. Such as 17:00."),
    "ask_after_months": TermWords(
        "Ask first after", "Months from submission until asking is reasonable; 4 to 6 is common practice, no source.",
        ("month", "months"),
    ),
    "ask_every_days": TermWords("Ask again after", "So many days after an ask the next one is reasonable.", _DAYS),
    "expired_policy": TermWords("Expired cards", "What it does with a card that expired; this proposes the choice."),
    "damage_within_days": TermWords(
        "Damage filed within", "Days from the pull in which it takes a damage claim; 0 where that is not known.", _DAYS
    ),
    "shortage_within_days": TermWords(
        "Missing hit filed within", "Days from the pull for a box short of its cards; 0 where not known.", _DAYS
    ),
    "damage_evidence": TermWords("Evidence of damage", "What it wants to see, parted by semicolons."),
    "shortage_evidence": TermWords("Evidence of a missing hit", "What it wants to see, parted by semicolons."),
}  # fmt: skip

CHOICE_WORDS: Final = {
    "expired_policy": {
        "accepts": "accepts them",
        "ask_first": "wants to be asked",
        "refuses": "refuses them",
        "unknown": "not known",
    },
    "damage_within_days": _UNKNOWN_DAYS,
    "shortage_within_days": _UNKNOWN_DAYS,
    "offer_unanswered": {"decide": "decide each", "wait": "wait, for all", "take": "take, for all"},
}
"""Values that are written for programs, as people say them."""


def choice_words(name: str, value: str) -> str:
    """One of the values that a term may have, as people say it."""
    return CHOICE_WORDS.get(name, {}).get(value, value)


def term_words(name: str, *, of_maker: bool) -> TermWords:
    """The words of a term."""
    return (MAKER_WORDS if of_maker else HOUSE_WORDS)[name]


def value_words(name: str, value: str, words: TermWords) -> str:
    """A value as people say it: "60 days", "wants to be asked", a dash for nothing."""
    said = CHOICE_WORDS.get(name, {}).get(value)
    if said is not None:
        return said
    one, several = words.unit
    if several:
        return f"{value} {one if value == '1' else several}"
    return value or "–"


def since_words(view: TermView, today: date) -> str:
    """From when on the value of today holds: a day, "always", or a dash for a default that nobody settled."""
    current = _current(view, today)
    if current.recorded_at is None:
        return "–"
    return "always" if current.from_day is None else day_words(current.from_day, today)


def later_words(view: TermView, words: TermWords, today: date) -> str:
    """What is settled for days to come, as a sentence; empty where nothing is."""
    later = [value for value in view.values if value.from_day is not None and value.from_day > today]
    said = [f"from {day_words(item.from_day, today)}: {value_words(view.name, item.value, words)}" for item in later]
    return f"Settled for later: {'; '.join(said)}." if said else ""


def earlier_words(view: TermView, words: TermWords, today: date) -> str:
    """What held before, as a sentence; empty where nothing did."""
    current = _current(view, today)
    said = [_over_time(view.name, item, words, today) for item in view.values[: view.values.index(current)]]
    return f"Before that: {'; '.join(said)}." if said else ""


def _over_time(name: str, item: SettledValue, words: TermWords, today: date) -> str:
    since = f" from {day_words(item.from_day, today)}" if item.from_day else ""
    return f"{value_words(name, item.value, words)}{since}"


def _current(view: TermView, today: date) -> SettledValue:
    holding = [value for value in view.values if value.from_day is None or value.from_day <= today]
    return holding[-1]

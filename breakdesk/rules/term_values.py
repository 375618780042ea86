"""What a term may be: each value read once, or refused with a sentence for a person."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from datetime import date
from typing import Final

from breakdesk.rules.evidence import read_pieces
from breakdesk.rules.money import is_currency
from breakdesk.rules.office import check_hours, parse_hour
from breakdesk.rules.packing_steps import read_steps, written_steps
from breakdesk.rules.public_holidays import known_country, known_subdivision
from breakdesk.rules.quiet import QUIET_TERMS, read_hours, written_hours
from breakdesk.rules.terms import (
    EXPIRED_POLICIES,
    HOUSE_DEFAULTS,
    MAKER_DEFAULTS,
    OFFER_RULES,
    TONES,
    WEEKDAYS,
    Terms,
)
from breakdesk.rules.wording import day_in_words
from breakdesk.rules.zones import zone

COUNTS: Final[Mapping[str, tuple[int, int]]] = {
    "submit_within_days": (0, 365),
    "tell_urgent_within_days": (0, 60),
    "tell_routine_within_days": (0, 60),
    "update_every_days": (1, 365),
    "address_fresh_days": (1, 3650),
    "make_good_within_days": (0, 365),
    "remind_every_days": (1, 60),
    "arrived_after_days": (1, 120),
    "arrived_after_days_abroad": (1, 365),
    "offer_without_date_days": (1, 365),
    "no_reply_business_days": (1, 60),
    "references_per_ask": (1, 100),
    "insure_from": (0, 1_000_000),
    "sign_from": (0, 1_000_000),
    "delay_notice_days": (1, 365),
    "direct_limit": (100, 100_000),
    "ask_after_months": (0, 36),
    "ask_every_days": (1, 365),
    "combine_days": (1, 365),
    "loss_opens_after_days": (0, 365),
    "loss_opens_after_days_abroad": (0, 365),
    "loss_closes_after_days": (1, 730),
    "loss_closes_after_days_abroad": (1, 730),
    "start_line_weeks": (0, 26),
    "damage_within_days": (0, 3650),
    "shortage_within_days": (0, 3650),
}
"""The least and the largest of each term that is a whole number."""
SWITCHES: Final = ("delay_notice", "outlook_in_messages", "gather_routine_news", "public_list_tells", "consent_needed")
CHOICES: Final[Mapping[str, tuple[str, ...]]] = {
    "expired_policy": EXPIRED_POLICIES,
    "tone": TONES,
    "weekly_day": WEEKDAYS,
    "offer_unanswered": OFFER_RULES,
}
HOURS: Final = ("opens", "closes")
STEPS: Final = ("card_steps", "parcel_steps")
EVIDENCE: Final = ("damage_evidence", "shortage_evidence")

_COUNTRY = re.compile("[A-Z]{2}")
_WHOLE = re.compile("[0-9]{1,9}")


def check_value(name: str, written: str, *, of_maker: bool) -> str:
    """Read a term as written and return it as it is kept.

    Raises ValueError with a sentence for an unknown term, zone, country, hour, policy or currency and for a count out
    of its range. How terms go together is told by `clashes`.
    """
    known = MAKER_DEFAULTS if of_maker else HOUSE_DEFAULTS
    if name not in known:
        whose = "a maker" if of_maker else "the house"
        raise ValueError(f"{name!r} is no term of {whose}; there are {', '.join(known)}.")
    value = written.strip()
    if name in COUNTS:
        return _count(name, value)
    if name in SWITCHES:
        if value.casefold() not in ("on", "off"):
            raise ValueError(f"{name} is on or off, not {value!r}.")
        return value.casefold()
    if name in HOURS:
        parse_hour(value)
        return value
    if name == "zone":
        return zone(value).key
    if name == "currency":
        if not is_currency(value.upper()):
            raise ValueError(f"{value!r} is not a currency code; write one of ISO 4217, such as USD or EUR.")
        return value.upper()
    if name in CHOICES:
        if value.casefold() not in CHOICES[name]:
            raise ValueError(f"{value!r} is not a value of {name}; use one of {', '.join(CHOICES[name])}.")
        return value.casefold()
    if name in STEPS:
        return written_steps(read_steps(value))
    if name in EVIDENCE:
        return "; ".join(read_pieces(value))
    if name in QUIET_TERMS.values():
        return written_hours(read_hours(value))
    return _country(value, of_maker=of_maker) if name == "country" else value


def _count(name: str, value: str) -> str:
    least, largest = COUNTS[name]
    if not _WHOLE.fullmatch(value) or not least <= int(value) <= largest:
        raise ValueError(f"{name} is a whole number from {least} to {largest:,}, not {value!r}.")
    return str(int(value))


def _country(value: str, *, of_maker: bool) -> str:
    code = value.upper()
    if not code:
        return ""
    if not _COUNTRY.fullmatch(code):
        raise ValueError(f"{value!r} is not a country; write two letters of ISO 3166-1, like US.")
    if of_maker and not known_country(code):
        raise ValueError(f"The public holidays of {code} are not known; leave the country empty and note closed days.")
    return code


def change_days(terms: Terms) -> list[date]:
    """The days on which any term changes, oldest first, beginning with the first of all days."""
    days = {version.from_day or date.min for versions in terms.versions.values() for version in versions}
    return sorted({date.min, *days})


def clashes(terms: Terms) -> Iterator[str]:
    """A sentence for each way in which a maker's terms cannot hold together on some day."""
    for day in change_days(terms):
        since = "" if day == date.min else f" from {day_in_words(day)} on"
        opens, closes = terms.on("opens", day), terms.on("closes", day)
        try:
            check_hours(parse_hour(opens), parse_hour(closes))
        except ValueError:
            yield f"The office would open at {opens} and close at {closes}{since}; it has to close after it opens."
        country, part = terms.on("country", day), terms.on("subdivision", day)
        if part and not (country and known_subdivision(country, part)):
            yield (
                f"The public holidays of {part} in {country or 'no country'} are not known{since}; "
                "write the part as in ISO 3166-2 without the country, like IL."
            )

"""What the house and its makers have settled, each with the day from which it holds.

A period is measured with the value in force on the day from which it counts, so a change today never
moves a date that was already running.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Final

from breakdesk.rules.packing_steps import CARD_STEPS, PARCEL_STEPS

HOUSE_DEFAULTS: Final[Mapping[str, str]] = {
    "zone": "America/Chicago",
    "currency": "USD",
    "country": "",
    "submit_within_days": "3",
    "tell_urgent_within_days": "1",
    "tell_routine_within_days": "3",
    "update_every_days": "60",
    "address_fresh_days": "90",
    "make_good_within_days": "7",
    "remind_every_days": "5",
    "arrived_after_days": "10",
    "arrived_after_days_abroad": "25",
    "offer_without_date_days": "14",
    "no_reply_business_days": "5",
    "references_per_ask": "10",
    "insure_from": "100",
    "sign_from": "500",
    "delay_notice": "off",
    "delay_notice_days": "30",
    "outlook_in_messages": "off",
    "tone": "warm",
    "direct_limit": "2000",
    "quiet_direct": "",
    "quiet_email": "",
    "quiet_sms": "",
    "weekly_day": "friday",
    "gather_routine_news": "off",
    "public_list_tells": "off",
    "offer_unanswered": "decide",
    "card_steps": CARD_STEPS,
    "parcel_steps": PARCEL_STEPS,
    "combine_days": "30",
    "consent_needed": "off",
    "break_terms": "",
    "loss_opens_after_days": "7",
    "loss_opens_after_days_abroad": "21",
    "loss_closes_after_days": "60",
    "loss_closes_after_days_abroad": "120",
    "start_line_weeks": "0",
}
"""Every term of the house with its value where nothing else was settled; counts are in days, amounts in whole units."""

MAKER_DEFAULTS: Final[Mapping[str, str]] = {
    "zone": "America/Chicago",
    "country": "US",
    "subdivision": "",
    "opens": "09:00",
    "closes": "17:00",
    "ask_after_months": "4",
    "ask_every_days": "30",
    "expired_policy": "unknown",
    "damage_within_days": "0",
    "shortage_within_days": "0",
    "damage_evidence": "photo of the front; photo of the back; wrapper; box code; receipt",
    "shortage_evidence": "photos of all cards; all wrappers; box code; receipt",
}
"""Every term of a maker. Asking after 4 months, and what is wanted as evidence, are common practice, no source.

A window of 0 days to file a damage or a shortage stands for one that nobody has settled.
"""

WEEKDAYS: Final = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
TONES: Final = ("warm", "brief")
OFFER_RULES: Final = ("decide", "wait", "take")
"""What becomes of an offer that nobody answered by its day: the house decides each, or one answer for all."""
EXPIRED_POLICIES: Final = ("accepts", "ask_first", "refuses", "unknown")


@dataclass(frozen=True, slots=True)
class Version:
    """One settled value and the first day on which it holds (None: since always)."""

    value: str
    from_day: date | None = None


@dataclass(frozen=True, slots=True)
class Terms:
    """The settled values of one house or one maker over time."""

    defaults: Mapping[str, str]
    versions: Mapping[str, tuple[Version, ...]] = field(default_factory=dict)
    """Per name, oldest first."""

    def on(self, name: str, day: date) -> str:
        """The value of `name` in force on `day`; the default where nothing was settled by then.

        Raises KeyError for a name that is no term.
        """
        versions = self.versions.get(name)
        if versions:
            for version in reversed(versions):
                if version.from_day is None or version.from_day <= day:
                    return version.value
        return self.defaults[name]

    def count_on(self, name: str, day: date) -> int:
        """A term that is a whole number, such as a count of days."""
        return int(self.on(name, day))


def terms_from(defaults: Mapping[str, str], rows: Iterable[tuple[str, str, date | None]]) -> Terms:
    """Terms from stored rows of (name, value, from day), in any order; the last of one day wins."""
    by_name: dict[str, dict[date | None, str]] = {}
    for name, value, from_day in rows:
        by_name.setdefault(name, {})[from_day] = value
    return Terms(
        defaults,
        {
            name: tuple(
                Version(value, from_day)
                for from_day, value in sorted(values.items(), key=lambda item: item[0] or date.min)
            )
            for name, values in by_name.items()
        },
    )

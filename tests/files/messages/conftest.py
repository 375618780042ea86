"""Views of the invented world, for all tests of messages."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from types import SimpleNamespace
from typing import Any

import pytest

from breakdesk.files.messages.views import ClaimLine, Need, NewsGroup, TellingView
from breakdesk.rules.money import Money

FULL = ClaimLine(
    tag="7K3M",
    what="Ilvo Marrin",
    product="Harbor Prime",
    maker="Norwind",
    pulled_on=date(2026, 1, 3),
    submitted_on=date(2026, 1, 5),
    reply_by=date(2026, 7, 3),
    offer_what="Tove Aldan",
    tracking="RA473124829GB",
    closed_how="refunded",
    amount=Money(1250, "USD"),
    note="The maker waits for a signature.",
)


def cards(*names: str, **changes: Any) -> tuple[ClaimLine, ...]:
    """One claim a name, alike but for the name."""
    return tuple(replace(FULL, what=name, **changes) for name in names)


def telling(**changes: Any) -> TellingView:
    """A telling to one invented participant."""
    plain = TellingView(
        participant_name="Ana Lindqvist",
        handle="@ana_l",
        on_air_name="Ana",
        channel="direct",
        language="en",
        zone="America/Denver",
        house_name="Corner Table Breaks",
    )
    return replace(plain, **changes)


def news(word: str, *names: str, **changes: Any) -> TellingView:
    """A telling with one group of news."""
    return telling(news=(NewsGroup(word=word, claims=cards(*names, **changes)),))


CHOOSE = Need(kind="choose", by=date(2026, 7, 3), tag="7K3M", what="Ilvo Marrin", offer_what="Tove Aldan")
ADDRESS = Need(kind="confirm_address", by=date(2026, 7, 1), what="Ilvo Marrin")
DELIVERY = Need(kind="confirm_delivery", what="Ilvo Marrin")


@pytest.fixture
def samples() -> SimpleNamespace:
    """Everything here, by name."""
    return SimpleNamespace(
        cards=cards, telling=telling, news=news, CHOOSE=CHOOSE, ADDRESS=ADDRESS, DELIVERY=DELIVERY, FULL=FULL
    )

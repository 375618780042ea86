"""The JSON that other programs rely on, built from what the rules give."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from typing import Any

from breakdesk.rules.maker_outlook import MakerOutlook
from breakdesk.rules.outlook import Forecast, curve_rows
from breakdesk.rules.owed import Owed
from breakdesk.rules.parties import Parties
from breakdesk.rules.rounds.items import Today
from breakdesk.rules.zones import in_zone


def instant_text(instant: datetime | None, zone: str) -> str | None:
    """An instant in the house's offset, in whole seconds."""
    return None if instant is None else in_zone(instant, zone).replace(microsecond=0).isoformat()


def day_text(day: date | None) -> str | None:
    """A day as ISO 8601 writes it."""
    return None if day is None else day.isoformat()


def today_json(today: Today, parties: Parties) -> dict[str, Any]:
    """The object that `today --json` prints."""
    zone = parties.house.zone_at(today.as_of)
    return {
        "as_of": instant_text(today.as_of, zone),
        "house_zone": zone,
        "submit": [
            {
                "tag": item.claim.tag,
                "participant": parties.owner_name(item.claim),
                "maker": parties.maker_of(item.claim).name,
                "expires_on": day_text(item.claim.expires_on),
                "submit_by": instant_text(item.submit_by, zone),
                "expired": item.expired,
                "seen_on_camera": item.claim.seen_on_camera,
            }
            for item in today.submit
        ],
        "ask": [
            {
                "maker": maker.maker.name,
                "open_now": maker.open_now,
                "opens_at": instant_text(maker.opens_at, zone),
                "claims": [
                    {
                        "tag": item.claim.tag,
                        "reference": item.claim.reference or None,
                        "submitted_on": day_text(item.claim.submitted_on),
                        "ask_from": day_text(item.ask_from),
                        "age_days": item.age.days,
                        "age_months": item.age.months,
                        "band": item.band,
                    }
                    for item in maker.claims
                ],
            }
            for maker in today.ask
        ],
        "tell": [
            {
                "participant": person.person.name,
                "due_on": day_text(person.due_on),
                "claims": [
                    {"tag": item.claim.tag, "news": item.news, "since": day_text(item.since)} for item in person.items
                ],
            }
            for person in today.tell
        ],
        "ship": [
            {
                "participant": person.person.name,
                "address": "confirmed" if person.address_confirmed else "to_confirm",
                "claims": [claim.tag for claim in person.claims],
            }
            for person in today.ship
        ],
        "decide": [
            {
                "tag": item.claim.tag if item.claim else None,
                "participant": item.participant,
                "why": item.why,
                "since": day_text(item.since),
                **({"maker": item.review.maker} if item.review is not None else {}),
            }
            for item in today.decide
        ],
    }


def owed_json(owed: Iterable[Owed], products: Mapping[int, str]) -> list[dict[str, Any]]:
    """The list that `owed --json` prints."""
    return [
        {
            "participant": item.participant,
            "value": dict(sorted(item.value.items())),
            "no_value": item.no_value,
            "claims": [
                {
                    "tag": line.claim.tag,
                    "state": line.claim.state,
                    "subject": line.claim.subject or None,
                    "team": line.claim.team or None,
                    "product": products.get(line.claim.product_id or 0),
                    "age_days": line.age.days,
                    "age_months": line.age.months,
                    "band": line.band,
                    "last_told": day_text(line.claim.last_told_on),
                    "next_tell": day_text(line.next_tell),
                }
                for line in item.claims
            ],
        }
        for item in owed
    ]


def outlook_json(items: Iterable[MakerOutlook]) -> list[dict[str, Any]]:
    """The list that `outlook --json` prints."""
    return [
        {
            "maker": item.maker,
            "pooled": item.pooled,
            "submitted": item.submitted,
            "waiting": item.waiting,
            "filled": item.filled,
            "refused": item.refused,
            "median_days": item.median_days,
            "curve": curve_rows(item.curve),
        }
        for item in items
    ]


def forecast_json(tag: str, forecast: Forecast) -> dict[str, Any]:
    """The object that `outlook TAG --json` prints; days are further days, null where the data do not reach."""
    return {
        "tag": tag,
        "waited_days": forecast.waited_days,
        "half_within_days": forecast.half_within_days,
        "most_within_days": forecast.most_within_days,
        "share_within_90_days": forecast.share_within_90_days,
    }

"""The outlook of a real desk: what enters, how each end is treated, and what one claim is told."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

import pytest

from breakdesk.desk.curve_drawing import draw_curve, marks_legend, marks_of
from breakdesk.desk.outlook import ClaimForecast, MessageOutlook, forecast_of, outlook, outlook_of_maker
from breakdesk.desk.problems import Done, Problem
from breakdesk.desk.settling import Close, close, refuse_claim, void
from breakdesk.desk.shipping import Ship, back_in_hand, parcel_failed, ship, start_parcel
from breakdesk.desk.telling import telling_for
from breakdesk.desk.terms import Settle, settle
from breakdesk.files.as_json import forecast_json, outlook_json
from breakdesk.rules.maker_outlook import MakerOutlook, total_expected
from breakdesk.store import models
from breakdesk.store.claims import claim_with_tag

if TYPE_CHECKING:
    from conftest import Filled

START = date(2026, 1, 1)


def claim(days: int | None = None, *, submitted: date = START, **more: object) -> dict[str, object]:
    """A claim of one participant whose card came so many days after submission."""
    row: dict[str, object] = {"participant": "Odalys Brumal", "pulled_at": submitted, "submitted_on": submitted}
    if days is not None:
        row["in_hand_on"] = submitted + timedelta(days=days)
    return {**row, **more}


def of_maker(filled: Filled, name: str = "Pellwether Issue") -> MakerOutlook:
    found = outlook_of_maker(filled.desk, name)
    assert isinstance(found, MakerOutlook)
    return found


def done(result: object) -> Done:
    assert isinstance(result, Done), result
    return result


def test_one_item_for_each_maker_by_name_and_last_the_one_for_all(filled: Filled) -> None:
    filled.load(claim(10), claim(maker="Nagisora Card Company"), claim(maker="", product="A box nobody knows"))
    items = outlook(filled.desk)
    assert [item.maker for item in items] == ["Nagisora Card Company", "Pellwether Issue", None]
    assert [item.submitted for item in items] == [1, 1, 3]


def test_json_to_the_letter(filled: Filled) -> None:
    filled.load(*(claim(days) for days in range(10, 20)), claim(), claim(refused_on=START + timedelta(days=12)))
    nobody, maker, everyone = outlook_json(outlook(filled.desk))
    assert list(maker) == ["maker", "pooled", "submitted", "waiting", "filled", "refused", "median_days", "curve"]
    assert list(maker["curve"][0]) == ["day", "at_risk", "filled", "survival", "low", "high"]
    assert (maker["pooled"], maker["submitted"], maker["waiting"], maker["filled"], maker["refused"]) == (
        False, 12, 1, 10, 1,
    )  # fmt: skip
    # At risk on day 13: 12 less three that came and the one refused on day 12.
    assert [(step["day"], step["at_risk"]) for step in maker["curve"]][:4] == [(10, 12), (11, 11), (12, 10), (13, 8)]
    assert everyone["maker"] is None
    assert nobody["pooled"] is True
    assert nobody["submitted"] == 0
    assert (nobody["curve"], nobody["median_days"]) == (everyone["curve"], everyone["median_days"])


def test_nine_arrivals_are_pooled_ten_are_not(filled: Filled) -> None:
    filled.load(
        *(claim(days) for days in range(9)), claim(200, maker="Nagisora Card Company", submitted=date(2025, 1, 1))
    )
    assert of_maker(filled).pooled
    assert of_maker(filled).filled == 9
    filled.load(claim(30))
    assert not of_maker(filled).pooled


@pytest.mark.parametrize(
    ("more", "counts"),
    [
        ({"plan": "give"}, (0, 0, 0, 0)),
        ({"closed_on": "2026-02-01", "closed_how": "given"}, (0, 0, 0, 0)),
        ({"submitted_on": ""}, (0, 0, 0, 0)),
        ({"shipped_on": "2026-02-01"}, (1, 0, 1, 0)),
        ({"closed_on": "2026-02-01", "closed_how": "delivered"}, (1, 0, 1, 0)),
        ({"closed_on": "2026-02-01", "closed_how": "terms", "fault": "nobody"}, (1, 0, 0, 0)),
        ({"closed_on": "2026-02-01", "closed_how": "refunded", "fault": "maker"}, (1, 1, 0, 0)),
        ({"refused_on": "2026-02-01"}, (1, 0, 0, 1)),
        ({"refused_on": "2026-02-01", "closed_on": "2026-02-03", "closed_how": "refunded"}, (1, 0, 0, 1)),
    ],
    ids=[
        "to be given", "given", "never submitted", "sent to the participant", "delivered by the maker",
        "closed under the terms", "refunded and still waiting", "refused", "refused, then refunded",
    ],
)  # fmt: skip
def test_what_each_end_counts_as(filled: Filled, more: dict[str, Any], counts: tuple[int, ...]) -> None:
    filled.load(claim(**more))
    item = outlook(filled.desk)[-1]
    assert (item.submitted, item.waiting, item.filled, item.refused) == counts


def test_an_end_without_the_card_is_censored_on_its_day(filled: Filled) -> None:
    filled.load(
        claim(31, tag="CAME"),
        claim(closed_on="2026-01-21", closed_how="terms", fault="nobody"),
        claim(shipped_on="2026-02-11"),
    )
    curve = outlook(filled.desk)[-1].curve
    assert [(step.day, step.at_risk, step.filled) for step in curve.steps] == [(31, 2, 1), (41, 1, 1)]


def test_void_is_censored_on_its_day_and_not_on_a_later_one(filled: Filled) -> None:
    filled.load(claim(tag="VOIDED"), claim(40))
    done(void(filled.at(2026, 1, 21, 18), "VOIDED", "entered twice"))
    assert [(step.day, step.at_risk) for step in outlook(filled.desk)[-1].curve.steps] == [(40, 1)]


def test_a_card_that_comes_back_from_the_post_had_arrived_before(filled: Filled) -> None:
    filled.load(claim(20, tag="RETURN"))
    done(start_parcel(filled.at(2026, 2, 1, 18), ["RETURN"]))
    done(ship(filled.at(2026, 2, 1, 18), Ship(parcel_id=1, reason="in a hurry")))
    done(parcel_failed(filled.at(2026, 3, 1, 18), 1, "returned"))
    done(back_in_hand(filled.at(2026, 3, 2, 18), "RETURN"))
    assert [step.day for step in outlook(filled.desk)[-1].curve.steps] == [20]


def test_as_of_a_day_in_the_past_later_facts_are_left_out(filled: Filled) -> None:
    filled.load(claim(40), claim(refused_on="2026-03-01"), claim(submitted=date(2026, 4, 1)))
    item = outlook(filled.at(2026, 2, 1, 18))[-1]
    assert (item.submitted, item.waiting, item.filled, item.refused) == (2, 2, 0, 0)
    assert item.waited_days == (31, 31)
    today = outlook(filled.desk)[-1]
    assert (today.submitted, today.waiting, today.filled, today.refused) == (3, 1, 1, 1)


def test_waiting_days_are_days_of_the_house(filled: Filled) -> None:
    filled.load(claim(tag="LATE", submitted=date(2026, 6, 1)))
    # 05:30 in UTC is still the evening before in Denver.
    evening = forecast_of(filled.at(2026, 6, 15, 5, 30), "LATE")
    morning = forecast_of(filled.at(2026, 6, 15, 6, 30), "LATE")
    assert not isinstance(evening, Problem)
    assert not isinstance(morning, Problem)
    assert (evening.forecast.waited_days, morning.forecast.waited_days) == (13, 14)


def test_forecast_of_a_waiting_claim(filled: Filled) -> None:
    filled.load(*(claim(days, submitted=date(2025, 1, 1)) for days in range(100, 200, 10)), claim(tag="WAITS"))
    found = forecast_of(filled.at(2026, 4, 21, 18), "waits")
    assert not isinstance(found, Problem)
    # It waited 110 days; eight of the ten took longer: half of those within 40 more, four in five within 70 more.
    assert forecast_json(found.tag, found.forecast) == {
        "tag": "WAITS",
        "waited_days": 110,
        "half_within_days": 40,
        "most_within_days": 70,
        "share_within_90_days": 1.0,
    }
    assert not found.pooled
    assert "no promise" in found.sentence


@pytest.mark.parametrize("tag", ["NONE", "PULLED", "CAME"])
def test_no_forecast_for_what_does_not_wait(filled: Filled, tag: str) -> None:
    filled.load(claim(tag="PULLED", submitted_on=""), claim(5, tag="CAME"))
    assert isinstance(forecast_of(filled.desk, tag), Problem)


def test_a_settled_claim_goes_on_waiting_until_it_is_refused(filled: Filled) -> None:
    filled.load(claim(tag="PAID"))
    done(close(filled.desk, Close(tag="PAID", how="bought_out", amount="20", fault="nobody")))
    assert outlook(filled.desk)[-1].waiting == 1
    done(refuse_claim(filled.desk, "PAID"))
    item = outlook(filled.desk)[-1]
    assert (item.waiting, item.refused) == (0, 1)


def test_the_sentence_goes_into_messages_only_where_switched_on(filled: Filled) -> None:
    filled.load(
        *(claim(days) for days in range(20, 32)),
        claim(tag="WAITS", submitted=date(2026, 6, 1), last_told_on="2026-06-10"),
    )
    keys = [row.id for row in models.Claim.select()]
    waiting = claim_with_tag("WAITS")
    assert waiting is not None
    person = models.Claim.get_by_id(waiting).owner_id
    assert MessageOutlook(filled.desk).sentences(keys) == {}
    assert "promise" not in telling_for(filled.desk, person).message.text
    done(settle(filled.desk, Settle(name="outlook_in_messages", value="on")))
    found = forecast_of(filled.desk, "WAITS")
    assert not isinstance(found, Problem)
    assert MessageOutlook(filled.desk).sentences(keys) == {waiting: found.sentence}
    assert found.sentence in telling_for(filled.desk, person).message.text


def test_expected_arrivals_add_up_over_makers(filled: Filled) -> None:
    filled.load(*(claim(50) for _ in range(10)), *(claim(submitted=date(2026, 6, 1)) for _ in range(4)))
    within_30, within_60, _ = total_expected(outlook(filled.desk))
    assert (within_30.cards, within_30.unknown) == (0, 0)
    assert (within_60.cards, within_60.unknown) == (4, 0)


@pytest.mark.parametrize("width", [24, 72, 100])
def test_the_drawing_keeps_its_width_and_falls(filled: Filled, width: int) -> None:
    filled.load(*(claim(days) for days in range(10, 120, 10)), claim())
    lines = draw_curve(outlook(filled.desk)[-1].curve, width)
    assert max(map(len, lines)) == width
    rows = [lines.index(line) for column in range(5, width) for line in lines if line[column : column + 1] == "#"]
    assert rows == sorted(rows)
    assert rows[0] == 0
    assert all(line.isascii() for line in lines)


def test_nothing_to_draw_without_a_day_of_waiting(filled: Filled) -> None:
    assert draw_curve(outlook(filled.desk)[-1].curve) == []


def test_the_rest_of_a_wait_is_marked_on_the_curve(filled: Filled) -> None:
    filled.load(
        *(claim(days) for days in range(10, 170, 10)), claim(submitted=date(2026, 4, 26), tag="HERE"), claim(tag="LONG")
    )
    found = forecast_of(filled.desk, "HERE")
    assert isinstance(found, ClaimForecast)
    marks = marks_of(found.forecast)
    half, most = found.forecast.half_within_days, found.forecast.most_within_days
    assert half is not None
    assert most is not None
    assert [mark.day for mark in marks] == [50, 50 + half, 50 + most]
    *picture, axis, _days = draw_curve(found.curve, 72, 11, marks)
    columns, last = 72 - 5, found.curve.last_day or 0
    for mark in marks:
        assert axis[5:].index(mark.sign) == round((mark.day or 0) * (columns - 1) / last)
    here = axis.index("1")
    assert {line[here : here + 1] for line in picture} <= {".", "#", ":"}
    assert [line.partition(":")[0] for line in marks_legend(marks, found.curve)] == [
        "1  where it stands now", "2  half of those that waited as long had come", "3  80 in 100 of them had come",
    ]  # fmt: skip
    # Without marks it is the same picture of the same curve.
    assert [line.replace(".", " ").rstrip() for line in picture] == draw_curve(found.curve, 72, 11)[:-2]


def test_marks_that_the_data_do_not_reach_are_named_and_not_drawn(filled: Filled) -> None:
    filled.load(*(claim(days) for days in range(10, 40)), claim(tag="LONG"))
    found = forecast_of(filled.desk, "LONG")
    assert isinstance(found, ClaimForecast)
    marks = marks_of(found.forecast)
    said = marks_legend(marks, found.curve)
    assert [line.endswith("the data do not reach that far") for line in said] == [False, True, True]
    axis = draw_curve(found.curve, marks=marks)[-2]
    assert [sign in axis for sign in "123"] == [True, False, False]

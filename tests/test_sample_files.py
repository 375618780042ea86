"""The sample desk's files keep their promises: read here with plain csv and dates, without the package's own rules."""

from __future__ import annotations

import csv
import datetime
import re
import subprocess
import sys
from collections import Counter
from functools import cache
from pathlib import Path

import pytest
from openpyxl import load_workbook

from breakdesk.rules.tags import is_well_formed

Row = dict[str, str]
FOLDER = Path(__file__).resolve().parent.parent / "sample_breaks"
SCRIPT = Path(__file__).resolve().parent / "make_sample.py"
ANCHOR = datetime.date(2026, 6, 15)
BETWEEN_PEOPLE = {"refunded", "credited", "replaced", "bought_out"}
IN_TURN = ("pulled_at", "submitted_on", "in_hand_on", "shipped_on")
DATE_COLUMNS = ("submitted_on", "last_asked_on", "last_told_on", "in_hand_on", "shipped_on", "closed_on", "refused_on")


def read(path: Path) -> list[Row]:
    if path.suffix == ".csv":
        with path.open(encoding="utf-8", newline="") as file:
            return list(csv.DictReader(file))
    header, *lines = load_workbook(path, read_only=True).worksheets[0].iter_rows(values_only=True)
    return [{str(name): str(cell or "") for name, cell in zip(header, line, strict=True)} for line in lines]


@cache
def rows(pattern: str) -> list[Row]:
    return [row for path in sorted(FOLDER.glob(pattern)) for row in read(path)]


def many(cell: str) -> list[str]:
    return cell.split(";") if cell else []


def age(cell: str) -> int:
    return (ANCHOR - datetime.date.fromisoformat(cell[:10])).days


def add_months(start: datetime.date, months: int) -> datetime.date:
    year, month = divmod(start.year * 12 + start.month - 1 + months, 12)
    last = (datetime.date(year + (month == 11), (month + 1) % 12 + 1, 1) - datetime.timedelta(days=1)).day
    return datetime.date(year, month + 1, min(start.day, last))


def state(claim: Row) -> str:
    if claim["closed_on"]:
        before_arrival = not claim["in_hand_on"] or claim["closed_on"] < claim["in_hand_on"]
        if not (claim["closed_how"] in BETWEEN_PEOPLE and before_arrival and not claim["refused_on"]):
            return "closed"
    for column in ("refused_on", "shipped_on", "in_hand_on", "submitted_on"):
        if claim[column]:
            return column.removesuffix("_on")
    return "pulled"


def ownership(claim: Row) -> set[str] | None:
    """The names that the spots give the card to ("" for the house); None where they do not say."""
    spots = [
        spot
        for spot in rows("spots-*")
        if spot["break"] == claim["break"] and claim["product"] in many(spot["product"])
    ]
    form = spots[0]["format"]
    if form == "team":
        wanted = set(many(claim["team"]))
    elif form == "player":
        wanted = set(many(claim["subject"]))
    elif form == "serial" and claim["serial"]:
        wanted = {claim["serial"][-1]}
    else:
        return None
    held = [spot for spot in spots if wanted & set(many(spot["spot"]))]
    return {name for spot in held for name in many(spot["participant"]) or [""]}


def owner(claim: Row) -> str:
    """The participant, "house", "several" or "nobody"; a claim settled with money belongs to the house."""
    if state(claim) != "closed" and claim["closed_how"] in BETWEEN_PEOPLE:
        return "house"
    if claim["participant"]:
        return claim["participant"]
    if not claim["break"]:
        return "house"
    owners = ownership(claim)
    if not owners:
        return "nobody" if owners is None else "house"
    return "several" if len(owners) > 1 else next(iter(owners)) or "house"


def claims(*states: str) -> list[Row]:
    return [claim for claim in rows("claims.csv") if not states or state(claim) in states]


def askable(claim: Row, maker: Row, moved: int = 0) -> bool:
    shift = datetime.timedelta(days=moved)
    start = datetime.date.fromisoformat(claim["submitted_on"]) + shift
    ask_from = add_months(start, int(maker["ask_after_months"]))
    if claim["last_asked_on"]:
        asked = datetime.date.fromisoformat(claim["last_asked_on"]) + shift
        ask_from = max(ask_from, asked + datetime.timedelta(days=int(maker["ask_every_days"])))
    return ANCHOR + shift >= ask_from


def address_is_confirmed(name: str) -> bool:
    person = next(row for row in rows("participants.csv") if row["participant"] == name)
    days = [claim["closed_on"] for claim in claims() if owner(claim) == name and claim["closed_how"] == "delivered"]
    newest = max([*days, person["address_confirmed_on"]])
    return bool(person["address"] and newest) and age(newest) <= 90


def test_the_world_has_the_promised_size() -> None:
    assert len(rows("house.csv")) == 1
    assert len(rows("makers.csv")) == 4
    assert len({row["handle"] for row in rows("participants.csv")}) == len(rows("participants.csv")) == 60
    assert len(list(FOLDER.glob("checklist-*.csv"))) == 8
    assert all(40 <= len(read(path)) <= 120 for path in FOLDER.glob("checklist-*.csv"))
    assert len(list(FOLDER.glob("spots-*"))) == len({row["break"] for row in rows("spots-*")}) == 24
    assert len(list(FOLDER.glob("spots-*.xlsx"))) == 1
    assert len({row["tag"] for row in claims()}) == len(rows("claims.csv")) == 180
    assert all(is_well_formed(row["tag"]) for row in claims())


def test_makers_differ_in_zone_hours_patience_and_policy() -> None:
    makers = rows("makers.csv")
    assert {row["zone"].split("/")[0] for row in makers} == {"America", "Europe", "Asia"}
    assert {row["expired_policy"] for row in makers} == {"accepts", "ask_first", "refuses", "unknown"}
    for column in ("zone", "opens", "closed_days", "ask_after_months", "contact"):
        assert len({row[column] for row in makers}) >= 3


def test_every_format_is_sold_at_least_twice_over_fourteen_months() -> None:
    formats = {row["break"]: row["format"] for row in rows("spots-*")}
    counts = Counter(formats.values())
    assert set(counts) == {"team", "player", "letter", "box", "hit_draft", "serial", "personal"}
    assert min(counts.values()) >= 2
    ages = [age(row["starts_at"]) for row in rows("spots-*")]
    assert min(ages) == 0
    assert 420 <= max(ages) <= 430
    assert not [claim for claim in claims() if claim["break"].startswith("124 ")]


@pytest.mark.parametrize("case", ["several teams", "shared", "unsold", "sold again", "several products"])
def test_spots_show_every_way_of_selling(case: str) -> None:
    found = {
        "several teams": lambda row: row["format"] == "team" and ";" in row["spot"],
        "shared": lambda row: ";" in row["participant"],
        "unsold": lambda row: not row["participant"] and not row["order"],
        "sold again": lambda row: row["order"].endswith("-R"),
        "several products": lambda row: ";" in row["product"],
    }[case]
    assert sum(map(found, rows("spots-*"))) >= 2


def test_everything_named_exists() -> None:
    people = {row["participant"] for row in rows("participants.csv")}
    cards = {
        (row["product"], row["subject"], row["team"], row["variation"], row["numbered_to"])
        for row in rows("checklist-*")
    }
    makers = {row["maker"] for row in rows("makers.csv")}
    opened = {(row["break"], product) for row in rows("spots-*") for product in many(row["product"])}
    assert {name for row in rows("spots-*") for name in many(row["participant"])} <= people
    for claim in claims():
        assert claim["maker"] in makers
        assert claim["participant"] in people | {""}
        assert (claim["product"], claim["subject"], claim["team"], claim["variation"], claim["numbered_to"]) in cards
        assert not claim["break"] or (claim["break"], claim["product"]) in opened


def test_named_owners_are_those_of_the_spots() -> None:
    checked = [claim for claim in claims() if claim["break"] and claim["participant"] and ownership(claim) is not None]
    assert len(checked) >= 40
    assert all(ownership(claim) == {claim["participant"]} for claim in checked)


def test_days_come_in_order_and_never_after_the_anchor_day() -> None:
    for claim in claims():
        assert all(age(claim[column]) >= 0 for column in ("pulled_at", *DATE_COLUMNS) if claim[column])
        days = [claim[column][:10] for column in IN_TURN if claim[column]]
        assert days == sorted(days)
        assert all(claim[column] >= claim["pulled_at"][:10] for column in DATE_COLUMNS if claim[column])
        assert not claim["refused_on"] or not claim["in_hand_on"]
        assert not claim["last_asked_on"] or claim["last_asked_on"] > claim["submitted_on"]


def test_submit_round_has_every_danger() -> None:
    waiting = [claim for claim in claims("pulled") if claim["plan"] != "give"]
    expiring = [age(claim["expires_on"]) for claim in waiting if claim["expires_on"]]
    assert any(age(claim["pulled_at"]) <= 2 for claim in waiting)
    assert any(age(claim["pulled_at"]) > 3 for claim in waiting)
    assert any(-7 <= days < 0 for days in expiring)
    too_late = [claim for claim in waiting if "" < claim["expires_on"] < claim["pulled_at"][:10]]
    assert {claim["maker"] for claim in too_late} >= {"Pellwether Issue", "Nagisora Card Company"}
    assert any(claim["pulled_at"][:10] < claim["expires_on"] < ANCHOR.isoformat() for claim in waiting)
    assert sum(claim["seen_on_camera"] == "yes" for claim in waiting) >= 2
    assert [claim for claim in claims("pulled") if claim["plan"] == "give"]


def test_ask_round_is_the_same_whatever_day_the_sample_is_moved_to() -> None:
    makers = {row["maker"]: row for row in rows("makers.csv")}
    submitted = claims("submitted")
    today = {claim["tag"]: askable(claim, makers[claim["maker"]]) for claim in submitted}
    assert {claim["maker"] for claim in submitted if today[claim["tag"]]} == set(makers)
    assert sum(today.values()) >= 20
    assert (
        sum(not now and bool(claim["last_asked_on"]) for claim, now in zip(submitted, today.values(), strict=True)) >= 8
    )
    assert sum(not now for now in today.values()) >= 30
    assert max(age(claim["submitted_on"]) for claim in submitted) >= 480
    for moved in range(1, 1500, 3):
        assert today == {claim["tag"]: askable(claim, makers[claim["maker"]], moved) for claim in submitted}


def test_some_have_news_some_have_heard_nothing_for_long_some_never() -> None:
    told: dict[str, list[int]] = {}
    for claim in claims():
        told.setdefault(owner(claim), []).extend([age(claim["last_told_on"])] if claim["last_told_on"] else [])
    waiting = {owner(claim) for claim in claims("submitted")} - {"house", "several", "nobody"}
    assert sum(not told[name] for name in waiting) >= 3
    assert sum(bool(told[name]) and min(told[name]) > 60 for name in waiting) >= 5
    untold = [claim for claim in claims("in_hand", "refused") if age(claim["in_hand_on"] or claim["refused_on"]) >= 2]
    news = [claim for claim in untold if (claim["last_told_on"] or "") < (claim["in_hand_on"] or claim["refused_on"])]
    assert {state(claim) for claim in news if owner(claim) != "house"} == {"in_hand", "refused"}


def test_ship_round_has_confirmed_and_unconfirmed_addresses() -> None:
    people = [owner(claim) for claim in claims("in_hand") if owner(claim) != "house"]
    assert sum(map(address_is_confirmed, people)) >= 5
    assert sum(not address_is_confirmed(name) for name in people) >= 4
    assert sum(owner(claim) == "house" for claim in claims("in_hand")) >= 2
    shipped = [age(claim["shipped_on"]) for claim in claims("shipped")]
    assert min(shipped) < 9
    assert 12 in shipped
    assert all(claim["tracking"] for claim in claims("shipped"))


def test_decide_round_has_refusals_and_owners_to_be_settled() -> None:
    refused = [age(claim["refused_on"]) for claim in claims("refused")]
    assert min(refused) < 7 < max(refused)
    kinds = Counter(owner(claim) for claim in claims("pulled", "submitted"))
    assert kinds["several"] >= 3
    assert kinds["nobody"] >= 3
    assert kinds["house"] >= 6


def test_claims_end_in_every_way_and_some_are_settled_while_the_card_is_still_to_come() -> None:
    ends = {claim["closed_how"] for claim in claims("closed")}
    assert ends == BETWEEN_PEOPLE | {"delivered", "given", "terms", "unclaimed", "kept"}
    assert {claim["closed_how"] for claim in claims("submitted")} == BETWEEN_PEOPLE | {""}
    assert {claim["fault"] for claim in claims() if claim["fault"]} >= {"maker", "carrier", "nobody"}
    assert {claim["kind"] for claim in claims()} == {"redemption", "damage", "shortage"}


def test_outlook_has_two_curves_and_a_maker_with_too_few_arrivals() -> None:
    arrivals = Counter(claim["maker"] for claim in claims() if claim["in_hand_on"] and claim["submitted_on"])
    assert sum(count > 10 for count in arrivals.values()) >= 2
    assert any(0 < count < 10 for count in arrivals.values())


def test_values_and_codes_vary() -> None:
    assert {claim["value"][-4:] for claim in claims()} >= {"", " EUR", " USD"}
    codes = [claim["code"] for claim in claims() if claim["kind"] == "redemption"]
    assert "" in codes
    assert len(set(codes) - {""}) == len([code for code in codes if code])


def test_readme_names_fitting_claims_for_stories() -> None:
    states = {claim["tag"]: state(claim) for claim in claims()}
    stories = re.findall(
        r"^\| (.+) \| ([0-9A-Z]{6}) \|$", (FOLDER / "README.md").read_text(encoding="utf-8"), re.MULTILINE
    )
    assert len({tag for _, tag in stories}) == len(stories) >= 15
    for story, tag in stories:
        wanted = "submitted"
        if story.startswith(("submitting failed", "parked in the submit")):
            wanted = "pulled"
        elif story.startswith("a parcel"):
            wanted = "shipped"
        elif "in hand" in story:
            wanted = "in_hand"
        assert (story, states[tag]) == (story, wanted)


def test_the_script_writes_the_same_files_again(tmp_path: Path) -> None:
    subprocess.run([sys.executable, str(SCRIPT), str(tmp_path)], check=True)
    assert {path.name for path in tmp_path.iterdir()} == {path.name for path in FOLDER.iterdir()}
    for path in tmp_path.iterdir():
        if path.suffix == ".xlsx":
            assert read(path) == read(FOLDER / path.name)
        else:
            assert path.read_text(encoding="utf-8") == (FOLDER / path.name).read_text(encoding="utf-8")

"""Breaks, spots and checklists come from files."""

from __future__ import annotations

from breakdesk.files.headers import Kind
from tests.desk.loading.conftest import Bench, Rows

SPOT = {
    "break": "101 Hoops", "product": "Hobby Box", "starts_at": "2026-06-10T19:00", "format": "team",
    "spot": "Brindlecote Otters", "participant": "Makoa Keliʻihana", "order": "K1", "price_paid": "55.00",
}  # fmt: skip


def holders(bench: Bench) -> list[tuple[str, str | None]]:
    return bench.rows(  # type: ignore[return-value]
        "SELECT spot.holds, participant.name FROM spot LEFT JOIN spot_holder ON spot_holder.spot_id = spot.id "
        "LEFT JOIN participant ON participant.id = spot_holder.participant_id ORDER BY spot.id, participant.id"
    )


def test_a_break_stands_with_its_night_products_and_spots(bench: Bench) -> None:
    report = bench.loaded(
        house=[{"house": "J", "zone": "America/Denver"}],
        spots=[SPOT, SPOT | {"spot": "Skarnby Ferrymen;Quennick Bellows", "participant": "", "order": ""}],
    )
    assert report.counts[Kind.SPOTS].new == 2
    assert bench.rows("SELECT name, night, format FROM break") == [("101 Hoops", "2026-06-10", "team")]
    assert bench.rows("SELECT starts_at FROM break") == [(1781139600000000,)]
    assert bench.rows("SELECT count(*) FROM break_product") == [(1,)]
    assert bench.rows("SELECT holds, order_number, price, currency, product_id FROM spot") == [
        ("Brindlecote Otters", "K1", 5500, "USD", 1),
        ("Skarnby Ferrymen;Quennick Bellows", "", 5500, "USD", 1),
    ]
    assert holders(bench) == [("Brindlecote Otters", "Makoa Keliʻihana"), ("Skarnby Ferrymen;Quennick Bellows", None)]
    assert {problem.column for problem in report.warnings} == {"participant", "product"}


def test_a_spot_is_shared_in_one_cell_or_in_several_rows(bench: Bench) -> None:
    bench.loaded(
        spots=[
            SPOT | {"participant": "Ana Moor;Bo Lark"},
            SPOT | {"spot": "Skarnby Ferrymen", "participant": "Ana Moor", "price_paid": "20"},
            SPOT | {"spot": "Skarnby Ferrymen", "participant": "Bo Lark", "price_paid": "25"},
        ]
    )
    assert holders(bench) == [
        ("Brindlecote Otters", "Ana Moor"),
        ("Brindlecote Otters", "Bo Lark"),
        ("Skarnby Ferrymen", "Ana Moor"),
        ("Skarnby Ferrymen", "Bo Lark"),
    ]
    assert bench.rows("SELECT price FROM spot") == [(5500,), (4500,)]


def test_spots_match_by_break_product_spot_and_order(bench: Bench) -> None:
    bench.loaded(spots=[SPOT])
    same = SPOT | {"break": "101 HOOPS", "spot": "brindlecote otters", "order": "k1"}
    other_order, other_product = SPOT | {"order": "K2"}, SPOT | {"product": "Hobby Box;Patch Box"}
    report = bench.loaded(spots=[same, other_order, other_product])
    assert (report.counts[Kind.SPOTS].new, report.counts[Kind.SPOTS].known) == (2, 1)
    assert bench.rows("SELECT order_number, product_id FROM spot") == [("K1", 1), ("K2", 1), ("K1", None)]


def test_a_spot_that_changed_hands_is_changed_with_a_warning(bench: Bench) -> None:
    bench.loaded(spots=[SPOT])
    report = bench.loaded(spots=[SPOT | {"participant": "Bo Lark"}])
    assert report.counts[Kind.SPOTS].changed == 1
    assert "belonged to somebody else" in " ".join(problem.what for problem in report.warnings)
    assert holders(bench) == [("Brindlecote Otters", "Bo Lark")]


def test_a_trade_at_the_desk_survives_the_same_file(bench: Bench) -> None:
    bench.loaded(spots=[SPOT, SPOT | {"spot": "Skarnby Ferrymen", "participant": "Bo Lark"}])
    bench.rows("UPDATE spot_holder SET participant_id = 3 - participant_id")
    before = bench.dump()
    bench.loaded(spots=[SPOT, SPOT | {"spot": "Skarnby Ferrymen", "participant": "Bo Lark"}])
    assert bench.dump() == before


def test_a_second_night_needs_another_name_but_a_corrected_hour_does_not(bench: Bench) -> None:
    bench.loaded(spots=[SPOT])
    report = bench.load(spots=[SPOT | {"starts_at": "2026-06-17T19:00"}])
    assert [(problem.line, problem.column) for problem in report.errors] == [(2, "starts_at")]
    bench.loaded(spots=[SPOT | {"starts_at": "2026-06-10T20:30"}])
    assert bench.rows("SELECT night, version FROM break") == [("2026-06-10", 2)]


def test_a_break_without_format_is_by_team_and_says_so(bench: Bench) -> None:
    report = bench.loaded(spots=[{name: cell for name, cell in SPOT.items() if name != "format"}])
    assert ("format", 2) in {(problem.column, problem.line) for problem in report.warnings}
    assert bench.rows("SELECT format FROM break") == [("team",)]


def test_files_that_disagree_about_a_break_are_an_error(bench: Bench) -> None:
    report = bench.load(spots=[SPOT], more=[SPOT | {"format": "player"}])
    assert [(problem.file, problem.line, problem.column) for problem in report.errors] == [("more.csv", 2, "format")]


CARDS: Rows = [
    {"product": "Hobby Box", "maker": "Quarrowby Card Works", "card": "SG-1", "subject": "Ana Moor", "team": "Otters"},
    {"product": "Hobby Box", "maker": "", "card": "SG-1", "subject": "Ana Moor", "team": "Otters", "numbered_to": "25"},
    {"product": "Hobby Box", "maker": "", "card": "SG-2", "subject": "Bo Lark;Ana Moor", "features": "auto;patch"},
]


def test_a_checklist_brings_its_product_maker_and_cards(bench: Bench) -> None:
    report = bench.loaded(cards=CARDS)
    assert report.counts[Kind.CHECKLIST].new == 3
    assert bench.rows("SELECT product.name, maker.name FROM product JOIN maker ON maker.id = product.maker_id") == [
        ("Hobby Box", "Quarrowby Card Works")
    ]
    assert bench.rows("SELECT subject, team, numbered_to, features FROM card") == [
        ("Ana Moor", "Otters", None, ""),
        ("Ana Moor", "Otters", 25, ""),
        ("Bo Lark;Ana Moor", "", None, "auto;patch"),
    ]
    assert [problem.column for problem in report.warnings] == ["maker"]
    again = bench.loaded(cards=[*CARDS, CARDS[0]], more=[CARDS[0] | {"card": "SG-3"}])
    assert (again.counts[Kind.CHECKLIST].new, again.counts[Kind.CHECKLIST].known) == (1, 4)

"""Claims come from files: whose they are, what happened to them in which order, and what is found again."""

from __future__ import annotations

from datetime import date

import pytest

from breakdesk.files.headers import Kind
from breakdesk.rules.tags import is_well_formed
from breakdesk.store.claims import read_claims
from breakdesk.store.parties import read_people
from tests.desk.loading.conftest import Bench, Rows

ROW = {"tag": "A1", "maker": "Quarrowby Card Works", "subject": "Ana Moor", "pulled_at": "2026-03-01"}
HOUSE = {"house": "Juniper Kettle Breaks", "zone": "America/Denver"}


def spots(form: str, *pairs: tuple[str, str], starts: str = "2026-03-01T19:00") -> Rows:
    return [
        {
            "break": "Night",
            "product": "Hobby Box",
            "starts_at": starts,
            "format": form,
            "spot": spot,
            "participant": who,
        }
        for spot, who in pairs
    ]


def test_only_what_is_needed_gives_the_houses_own_claim_with_a_tag(bench: Bench) -> None:
    bench.loaded(claims=[{"maker": "Quarrowby Card Works", "subject": "Ana Moor", "pulled_at": "2026-03-01"}])
    (claim,) = read_claims(bench.desk.database)
    assert (claim.owner_kind, claim.state, claim.kind, claim.plan) == ("house", "pulled", "redemption", "submit")
    assert claim.pull_day == date(2026, 3, 1)
    assert is_well_formed(claim.tag)


def test_all_cells_arrive(bench: Bench) -> None:
    row = ROW | {
        "product": "Hobby Box", "account": "main", "participant": "Zoë Quarlesby", "kind": "damage", "team": "Otters",
        "variation": "Gold", "serial": "7/25", "features": "auto;patch", "expires_on": "2027-01-31",
        "value": "149.50 EUR", "plan": "give", "pulled_at": "2026-03-01T20:15-07:00", "seen_on_camera": "yes",
    }  # fmt: skip
    bench.loaded(house=[HOUSE], claims=[row])
    claim = bench.claim("a 1")
    assert (claim.kind, claim.plan, claim.team, claim.variation, claim.features) == (
        "damage", "give", "Otters", "Gold", "auto;patch",
    )  # fmt: skip
    assert (claim.serial, claim.numbered_to, claim.value, claim.currency) == (7, 25, 14950, "EUR")
    assert (claim.expires_on, claim.pulled_at, claim.seen_on_camera) == (date(2027, 1, 31), 1772421300000000, True)
    assert (claim.maker_id, claim.product_id, claim.account_id) == (1, 1, 1)
    assert claim.owner_id == bench.person("Zoë Quarlesby")


def test_the_maker_is_the_products_where_the_row_names_none(bench: Bench) -> None:
    card = {"product": "Hobby Box", "maker": "Quarrowby Card Works", "card": "1", "subject": "Ana Moor"}
    bench.loaded(
        cards=[card], claims=[{"tag": "A1", "product": "hobby box", "subject": "A", "pulled_at": "2026-03-01"}]
    )
    assert bench.claim("A1").maker_id == 1


def test_on_one_day_events_have_their_order(bench: Bench) -> None:
    day = "2026-03-01"
    dates = ("submitted_on", "last_asked_on", "in_hand_on", "shipped_on", "closed_on", "last_told_on")
    row = ROW | dict.fromkeys(dates, day) | {"closed_how": "delivered", "participant": "Bo Lark"}
    bench.loaded(claims=[row, ROW | {"tag": "A2", "refused_on": day, "submitted_on": day, "last_asked_on": day}])
    kinds = ["pulled", "submitted", "asked", "in_hand", "shipped", "closed", "told"]
    assert bench.story("A1") == [(kind, day) for kind in kinds]
    assert bench.story("A2") == [(kind, day) for kind in ("pulled", "submitted", "asked", "refused")]
    assert bench.claim("A1").state == "closed"


def test_a_history_runs_in_order_of_the_dates(bench: Bench) -> None:
    row = ROW | {
        "submitted_on": "2026-03-02", "reference": "Q 1", "last_told_on": "2026-03-03", "last_asked_on": "2026-05-01",
        "in_hand_on": "2026-06-01", "shipped_on": "2026-06-03", "tracking": "T 9", "participant": "Bo Lark",
    }  # fmt: skip
    bench.loaded(claims=[row])
    assert [kind for kind, _ in bench.story("A1")] == ["pulled", "submitted", "told", "asked", "in_hand", "shipped"]
    claim = bench.claim("A1")
    assert (claim.state, claim.reference, claim.tracking) == ("shipped", "Q 1", "T 9")
    assert [(news.word, news.since) for news in claim.news] == [("shipped", date(2026, 6, 3))]


def test_refunded_before_the_card_came_leaves_it_with_the_house(bench: Bench) -> None:
    row = ROW | {
        "participant": "Bo Lark", "submitted_on": "2026-03-02", "closed_on": "2026-04-01", "closed_how": "refunded",
        "closed_amount": "40.00", "fault": "maker", "last_told_on": "2026-04-02", "in_hand_on": "2026-06-01",
    }  # fmt: skip
    bench.loaded(claims=[row, row | {"tag": "A2", "in_hand_on": ""}, row | {"tag": "A3", "in_hand_on": "2026-03-20"}])
    claim = bench.claim("A1")
    assert (claim.state, claim.owner_kind, claim.settled_how, claim.settled_amount) == (
        "in_hand", "house", "refunded", 4000,
    )  # fmt: skip
    assert claim.news == ()
    assert (bench.claim("A2").state, bench.claim("A2").owner_kind) == ("submitted", "house")
    assert (bench.claim("A3").state, bench.claim("A3").closed_how) == ("closed", "refunded")
    person = bench.person("Bo Lark")
    assert bench.rows("SELECT participant_id, day, text_id FROM telling") == [(person, "2026-04-02", None)]
    assert read_people(bench.desk.database)[person].last_told_on == date(2026, 4, 2)


def test_refused_and_refunded_is_closed(bench: Bench) -> None:
    row = ROW | {
        "participant": "Bo Lark", "submitted_on": "2026-03-02", "refused_on": "2026-04-01", "closed_on": "2026-04-03",
        "closed_how": "credited",
    }  # fmt: skip
    bench.loaded(claims=[row, row | {"tag": "A2", "closed_on": "2026-03-20"}])
    for tag in ("A1", "A2"):
        assert (bench.claim(tag).state, bench.claim(tag).closed_how) == ("closed", "credited")


def test_a_telling_covers_only_its_own_claims(bench: Bench) -> None:
    row = ROW | {"participant": "Bo Lark", "last_told_on": "2026-03-05"}
    bench.loaded(claims=[row, row | {"tag": "A2"}, row | {"tag": "A3", "last_told_on": ""}])
    assert bench.rows("SELECT count(*) FROM telling") == [(1,)]
    assert bench.rows("SELECT claim_id FROM telling_claim ORDER BY 1") == [(1,), (2,)]
    assert [len(bench.claim(tag).news) for tag in ("A1", "A2", "A3")] == [0, 0, 1]


def test_a_night_past_midnight_is_one_night(bench: Bench) -> None:
    row = {"break": "Night", "product": "Hobby Box", "subject": "Ana Moor", "team": "Otters"}
    bench.loaded(
        house=[HOUSE],
        spots=spots("team", ("Otters", "Bo Lark"), starts="2026-03-01T22:30"),
        claims=[
            row | {"tag": "A1", "pulled_at": "2026-03-02T00:40"},
            row | {"tag": "A2", "pulled_at": "2026-03-02T22:31"},
            row | {"tag": "A3", "pulled_at": "2026-03-02"},
        ],
    )
    days = [bench.claim(tag).pull_day.day for tag in ("A1", "A2", "A3")]
    assert days == [1, 2, 2]
    assert bench.story("A1") == [("pulled", "2026-03-01")]


def test_the_spots_of_the_break_name_the_owner(bench: Bench) -> None:
    row = {"break": "Night", "product": "Hobby Box", "subject": "Ana Moor", "pulled_at": "2026-03-01"}
    bench.loaded(
        house=[HOUSE],
        spots=spots("team", ("Otters", "Bo Lark"), ("Ferrymen", "Ana Moor;Cy Fen"), ("Bellows", "")),
        claims=[
            row | {"tag": "ONE", "team": "Otters"},
            row | {"tag": "TWO", "team": "Ferrymen"},
            row | {"tag": "BOTH", "team": "Otters;Ferrymen"},
            row | {"tag": "UNSOLD", "team": "Bellows"},
            row | {"tag": "NAMED", "team": "Bellows", "participant": "Dee Hale"},
            row | {"tag": "MANY", "team": "Bellows", "participant": "Dee Hale;Bo Lark"},
            row | {"tag": "HOUSES", "team": "Otters", "participant": "juniper kettle breaks"},
        ],
    )
    bo, ana, cy, dee = (bench.person(name) for name in ("Bo Lark", "Ana Moor", "Cy Fen", "Dee Hale"))
    found = {
        claim.tag: (claim.owner_kind, claim.owner_id, claim.candidates) for claim in read_claims(bench.desk.database)
    }
    assert found == {
        "ONE": ("person", bo, ()),
        "TWO": ("several", None, (ana, cy)),
        "BOTH": ("several", None, (bo, ana, cy)),
        "UNSOLD": ("house", None, ()),
        "NAMED": ("person", dee, ()),
        "MANY": ("several", None, tuple(sorted((dee, bo)))),
        "HOUSES": ("house", None, ()),
    }


def test_a_serial_break_waits_for_the_card_and_is_settled_by_a_later_row(bench: Bench) -> None:
    row = {"tag": "A1", "break": "Night", "product": "Hobby Box", "subject": "Ana Moor", "pulled_at": "2026-03-01"}
    row |= {"numbered_to": "99", "submitted_on": "2026-03-02"}
    bench.loaded(spots=spots("serial", ("3", "Bo Lark"), ("4", "")), claims=[row | {"last_told_on": "2026-03-02"}])
    claim = bench.claim("A1")
    assert (claim.owner_kind, claim.owner_id, claim.news) == ("nobody", None, ())
    assert bench.rows("SELECT count(*) FROM telling") == [(0,)]
    bench.loaded(claims=[row | {"serial": "43/99", "in_hand_on": "2026-06-01"}])
    claim = bench.claim("A1")
    assert (claim.owner_kind, claim.owner_id, claim.serial, claim.state) == ("person", 1, 43, "in_hand")


def test_an_unknown_break_is_made_and_its_owner_stays_open(bench: Bench) -> None:
    report = bench.loaded(claims=[ROW | {"break": "Lost night"}, ROW | {"tag": "A2", "break": "Lost night",
                                                                       "participant": "Bo Lark"}])  # fmt: skip
    assert (bench.claim("A1").owner_kind, bench.claim("A2").owner_kind) == ("nobody", "person")
    assert {problem.column for problem in report.warnings} == {"break", "maker", "participant"}


def test_who_and_what_is_unknown_is_made_and_named_once(bench: Bench) -> None:
    row = ROW | {"product": "Hobby Box", "account": "main", "participant": "Bo Lark"}
    report = bench.loaded(claims=[row, row | {"tag": "A2", "subject": "Cy Fen"}])
    assert [(problem.line, problem.column, problem.value) for problem in report.warnings] == [
        (2, "maker", "Quarrowby Card Works"),
        (2, "product", "Hobby Box"),
        (2, "account", "main"),
        (2, "participant", "Bo Lark"),
    ]


def test_an_account_needs_a_maker(bench: Bench) -> None:
    report = bench.load(claims=[{"product": "Hobby Box", "subject": "A", "pulled_at": "2026-03-01", "account": "main"}])
    assert [(problem.line, problem.column) for problem in report.errors] == [(2, "account")]


def test_equal_rows_without_tags_are_as_many_claims(bench: Bench) -> None:
    row = {name: cell for name, cell in ROW.items() if name != "tag"}
    assert bench.loaded(claims=[row, row]).counts[Kind.CLAIMS].new == 2
    report = bench.loaded(claims=[row, row, row])
    assert (report.counts[Kind.CLAIMS].new, report.counts[Kind.CLAIMS].known) == (1, 2)
    report = bench.loaded(one=[row, row], other=[row, row])
    assert report.number is None


def test_a_known_tag_gains_dates_and_keeps_what_is_recorded(bench: Bench) -> None:
    row = ROW | {"participant": "Bo Lark", "submitted_on": "2026-03-02", "last_told_on": "2026-03-03"}
    bench.loaded(claims=[row])
    later = row | {
        "tag": "a-1", "last_asked_on": "2026-06-01", "in_hand_on": "2026-06-10", "last_told_on": "2026-06-11",
        "reference": "Q 7", "value": "12", "note": "corner soft",
    }  # fmt: skip
    report = bench.loaded(claims=[later])
    assert report.counts[Kind.CLAIMS].changed == 1
    claim = bench.claim("A1")
    assert (claim.state, claim.reference, claim.value, claim.last_told_on) == (
        "in_hand",
        "Q 7",
        1200,
        date(2026, 6, 11),
    )
    assert bench.rows("SELECT text FROM free_text") == [("corner soft",)]
    assert bench.rows("SELECT day FROM telling ORDER BY id") == [("2026-03-03",), ("2026-06-11",)]
    assert bench.rows("SELECT telling_id, claim_id FROM telling_claim") == [(1, 1), (2, 1)]
    before = bench.dump()
    assert bench.loaded(claims=[later]).number is None
    assert bench.dump() == before


@pytest.mark.parametrize(
    ("column", "cell"),
    [
        ("submitted_on", "2026-03-04"), ("last_told_on", "2026-03-02"), ("subject", "Somebody Else"), ("serial", "8"),
        ("participant", "Cy Fen"), ("maker", "Pellwether Issue"), ("expires_on", "2028-01-01"), ("value", "13"),
        ("kind", "damage"), ("reference", "Q 8"), ("pulled_at", "2026-02-28"), ("code", "another"), ("note", "other"),
    ],
)  # fmt: skip
def test_a_differing_cell_is_a_warning_and_alters_nothing(bench: Bench, column: str, cell: str) -> None:
    row = ROW | {
        "participant": "Bo Lark", "submitted_on": "2026-03-02", "last_told_on": "2026-03-03", "serial": "7",
        "expires_on": "2027-01-01", "value": "12", "reference": "Q 7", "code": "mossbank-1000-quartz", "note": "soft",
        "kind": "",
    }  # fmt: skip
    bench.loaded(
        people=[{"participant": "Cy Fen", "handle": "cy"}], makers=[{"maker": "Pellwether Issue"}], claims=[row]
    )
    before = bench.dump()
    report = bench.load(claims=[row | {column: cell}])
    assert [(problem.line, problem.column) for problem in report.warnings] == [(2, column)]
    assert report.number is None
    assert bench.dump() == before


def test_one_load_of_two_files_is_the_same_as_two_loads(bench: Bench) -> None:
    row = ROW | {"participant": "Bo Lark"}
    report = bench.loaded(one=[row], two=[row | {"submitted_on": "2026-03-02", "note": "soft"}])
    assert (report.counts[Kind.CLAIMS].new, report.counts[Kind.CLAIMS].changed) == (1, 1)
    assert bench.claim("A1").state == "submitted"
    assert bench.rows("SELECT text FROM claim JOIN free_text ON free_text.id = note_id") == [("soft",)]


def test_a_void_claim_gains_nothing(bench: Bench) -> None:
    from breakdesk.desk.acting import Act, act

    bench.loaded(claims=[ROW])

    def work(a: Act) -> str:
        a.add(1, "void", {})
        return ""

    act(bench.desk, "void", work)
    report = bench.load(claims=[ROW | {"submitted_on": "2026-03-02"}])
    assert [problem.column for problem in report.warnings] == ["tag"]
    assert bench.claim("A1").state == "void"


def test_tags_are_checked(bench: Bench) -> None:
    report = bench.load(claims=[ROW | {"tag": "x" * 25}, ROW | {"tag": "- -"}])
    assert [(problem.line, problem.column) for problem in report.errors] == [(2, "tag"), (3, "tag")]
    report = bench.loaded(claims=[ROW | {"tag": "ACD733"}, ROW | {"tag": "No. 12"}])
    assert [(problem.line, problem.value) for problem in report.warnings if problem.column == "tag"] == [(2, "ACD733")]

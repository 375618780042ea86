"""Rows are read and checked, every problem in one go."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.files.dates import Moment
from breakdesk.files.headers import Kind, columns_of
from breakdesk.files.problems import Problem, Severity, problem_sentence
from breakdesk.files.row_kinds import CardRow, ClaimRow, HouseRow, MakerRow, ParticipantRow, Row, SpotRow
from breakdesk.files.rows import parse_rows
from breakdesk.files.tables import read_content
from breakdesk.rules.money import Money

TODAY = date(2026, 6, 1)
PULL = date(2026, 1, 10)


def read(text: str) -> tuple[list[Row], list[Problem]]:
    reading = read_content("a.csv", text.encode())
    (table,) = reading.tables
    rows, problems = parse_rows(table, "America/Chicago", "USD", TODAY)
    return rows, [*reading.problems, *problems]


def rows_of(text: str) -> list[Row]:
    rows, problems = read(text)
    assert not problems, [problem_sentence(problem) for problem in problems]
    return rows


def said(text: str) -> str:
    return "\n".join(problem_sentence(problem) for problem in read(text)[1])


def claim(**cells: str) -> str:
    cells = {"maker": "Quillstone", "subject": "Ana Moor", "pulled_at": "2026-01-10", **cells}
    return f"{','.join(cells)}\n{','.join(cells.values())}\n"


def test_a_whole_claim() -> None:
    (row,) = rows_of(
        "Tag,Break,Product,Maker,Account,Buyer,Kind,Player,Team,Parallel,Print Run,Serial,Features,Code,Exp,Value,"
        "Plan,Pulled,Submitted,Ref,Last asked,Told,Received,Shipped,Tracking,Closed,How closed,Refund amount,Fault,"
        "Refused,Seen,Note\n"
        "7KQ4,Night 3,Tidelight,Quillstone,Main,Jo; Sam,damage,Ana Moor;Bo Lund,Herons,Blue,7/25,,auto; patch,C-1,"
        "2027-03-31,12.5,submit,2026-01-10 20:15,2026-01-11,R1,2026-05-12,2026-05-13,2026-05-20,2026-05-22,T1,"
        "2026-05-30,delivered,5 EUR,maker,,x,fine\n"
    )
    assert isinstance(row, ClaimRow)
    assert row == ClaimRow(
        tag="7KQ4",
        break_name="Night 3",
        product="Tidelight",
        maker="Quillstone",
        account="Main",
        participants=("Jo", "Sam"),
        kind="damage",
        subject="Ana Moor;Bo Lund",
        team="Herons",
        variation="Blue",
        numbered_to=25,
        serial=7,
        features="auto;patch",
        code="C-1",
        expires_on=date(2027, 3, 31),
        value=Money(1250, "USD"),
        plan="submit",
        pulled_at=Moment(PULL, datetime(2026, 1, 11, 2, 15, tzinfo=UTC)),
        submitted_on=date(2026, 1, 11),
        reference="R1",
        last_asked_on=date(2026, 5, 12),
        last_told_on=date(2026, 5, 13),
        in_hand_on=date(2026, 5, 20),
        shipped_on=date(2026, 5, 22),
        tracking="T1",
        closed_on=date(2026, 5, 30),
        closed_how="delivered",
        closed_amount=Money(500, "EUR"),
        fault="maker",
        refused_on=None,
        seen_on_camera=True,
        note="fine",
        line=2,
        cells=row.cells,
    )
    assert len(row.cells) == 32
    assert row.cells[:3] == ("7KQ4", "Night 3", "Tidelight")
    assert row.cells[10] == "7/25"


def test_only_three_cells_of_a_claim_are_needed() -> None:
    (row,) = rows_of(claim())
    assert isinstance(row, ClaimRow)
    assert (row.kind, row.plan, row.participants, row.seen_on_camera) == ("redemption", "submit", (), False)
    assert row.pulled_at == Moment(PULL, None)


def test_the_cells_of_a_claim_do_not_depend_on_the_order_of_the_columns() -> None:
    (one,) = rows_of("pulled_at,maker,subject\n2026-01-10,Quillstone,Ana Moor\n")
    (other,) = rows_of("player,pulled,product,maker\n Ana Moor ,2026-01-10,,Quillstone\n")
    assert isinstance(one, ClaimRow)
    assert isinstance(other, ClaimRow)
    assert one.cells == other.cells


def test_the_other_kinds() -> None:
    (house,) = rows_of("house,zone,currency,submit_within_days\nNight Desk,Europe/Oslo,nok,5\n")
    assert house == HouseRow("Night Desk", "Europe/Oslo", "NOK", "", 5, None, None, None, 2)
    (maker,) = rows_of(
        "maker,opens,closes,closed days,expired policy\nQuillstone,9:00,24:00,2026-12-24;2026-12-31,Ask first\n"
    )
    days = (date(2026, 12, 24), date(2026, 12, 31))
    assert maker == MakerRow("Quillstone", "", "", "", "09:00", "24:00", days, None, None, "ask_first", "", 2)
    (person,) = rows_of('name,handle,address,country,address confirmed\nJo,jo7,"1 Quay\nHaven",no,2026-05-01\n')
    assert isinstance(person, ParticipantRow)
    assert (person.address, person.address_country, person.address_confirmed_on) == (
        "1 Quay\nHaven",
        "NO",
        date(2026, 5, 1),
    )
    (card,) = rows_of("product,card,player,print run\nTidelight,A-1,Ana Moor;Bo Lund,1 of 1\n")
    assert card == CardRow("Tidelight", "", "A-1", "Ana Moor;Bo Lund", "", "", 1, "", 2)
    (spot,) = rows_of(
        "break,product,starts,format,spot,buyer,price\nNight 3,Tidelight;Dune,2026-01-10 20:00,Hit draft,4,,30\n"
    )
    assert spot == SpotRow(
        break_name="Night 3",
        products=("Tidelight", "Dune"),
        starts_at=Moment(PULL, datetime(2026, 1, 11, 2, 0, tzinfo=UTC)),
        format="hit_draft",
        spot=("4",),
        participants=(),
        order="",
        price_paid=Money(3000, "USD"),
        line=2,
    )


def test_several_participants_can_hold_a_spot_together() -> None:
    (spot,) = rows_of("spot,break,buyer\nHerons;Owls,Night 3,Jo; Sam\n")
    assert isinstance(spot, SpotRow)
    assert (spot.spot, spot.participants) == (("Herons", "Owls"), ("Jo", "Sam"))


def test_a_participant_without_a_name_goes_by_the_handle() -> None:
    (person,) = rows_of("handle\njo7\n")
    assert isinstance(person, ParticipantRow)
    assert person.participant == "jo7"


def test_everything_wrong_is_named_in_one_go_with_line_column_value_and_remedy() -> None:
    text = (
        "pulled_at,maker,subject,value,plan,expires_on,kind\n"
        "2026-01-10,Quillstone,Ana Moor,abc,keep it,3/4/2027,redemption\n"
        ",,,,,,redemption\n"
        "2026-01-10,Quillstone,Bo Lund,5,,,gift\n"
    )
    sentences = said(text)
    assert 'line 2, column value: this is not an amount of money: "abc".' in sentences
    assert 'line 2, column plan: this word is not known here: "keep it". Write one of submit, give.' in sentences
    assert "line 2, column expires_on: this date can be read as 4 March 2027 or 3 April 2027" in sentences
    assert "line 3, column product or maker: the cell is empty" in sentences
    assert "line 3, column subject: the cell is empty" in sentences
    assert "line 3, column pulled_at: the cell is empty" in sentences
    assert "Write one of redemption, damage, shortage." in sentences
    assert read(text)[0] == []


def test_no_problem_shows_a_code_or_an_address() -> None:
    sentences = said(claim(code="SECRET" * 60, reference="SECRET" * 60))
    assert "column code: the text is longer" in sentences
    assert "column reference: the text is longer" in sentences
    sentences += said("name,address,email,phone\nJo,SECRET\x07,SECRET,SECRET\x07\n")
    assert "column address: the text holds control characters" in sentences
    sentences += said("name,handle,email\nJo,jo7,SECRET\n") + said("spot\nA,SECRET\n")
    assert "does not look like an e-mail address" in sentences
    assert "SECRET" not in sentences


def test_a_missing_column_is_named_once() -> None:
    sentences = said("pulled_at,maker\n2026-01-10,Quillstone\n2026-01-10,Quillstone\n")
    assert sentences == (
        "a.csv, line 1, column subject: a file of claims needs this column. Add it, with a value in each row; or say "
        "which of your columns it is: m on the load screen, --columns on the command line."
    )


@pytest.mark.parametrize(
    ("cells", "sentence"),
    [
        ({"submitted_on": "2026-01-09"}, "column submitted_on: it was submitted before it was pulled"),
        ({"submitted_on": "2026-02-01", "refused_on": "2026-01-20"}, "refused before it was submitted"),
        ({"submitted_on": "2026-02-01", "in_hand_on": "2026-01-20"}, "it came before it was submitted"),
        ({"submitted_on": "2026-02-01", "last_asked_on": "2026-01-20"}, "asked before it was submitted"),
        ({"in_hand_on": "2026-03-01", "shipped_on": "2026-02-20"}, "shipped before it was in hand"),
        (
            {"shipped_on": "2026-03-01", "closed_on": "2026-02-20", "closed_how": "delivered"},
            "delivered before it was shipped",
        ),
        ({"closed_on": "2026-01-01", "closed_how": "refunded"}, "closed before it was pulled"),
        ({"last_told_on": "2026-01-01"}, "told before it was pulled"),
        ({"closed_on": "2026-03-01"}, "column closed_how: it was closed, but not how"),
        ({"closed_how": "refunded"}, "column closed_on: it says how it was closed, but not when"),
        ({"closed_amount": "5"}, "there is an amount, but it was not closed"),
        ({"fault": "weather"}, "Write one of maker, house, carrier, nobody."),
        ({"pulled_at": "2027-06-05"}, "column pulled_at: this day is more than a year ahead"),
        ({"closed_on": "2026-03-01", "closed_how": "burned"}, "Write one of delivered, given, refunded"),
    ],
)
def test_what_cannot_be_true_is_an_error(cells: dict[str, str], sentence: str) -> None:
    rows, problems = read(claim(**cells))
    assert not rows
    assert sentence in said(claim(**cells))
    assert any(problem.severity is Severity.ERROR for problem in problems)


@pytest.mark.parametrize(
    ("cells", "sentence"),
    [
        ({"serial": "26", "numbered_to": "25"}, "the serial is above the print run of 25"),
        ({"serial": "7/50", "numbered_to": "25"}, "disagree about the run, 25 and 50"),
        ({"submitted_on": "2026-06-02"}, "column submitted_on: warning: this day is still to come"),
        ({"pulled_at": "2026-06-02"}, "column pulled_at: warning: this day is still to come"),
    ],
)
def test_what_is_unlikely_is_a_warning_and_the_row_is_taken(cells: dict[str, str], sentence: str) -> None:
    rows, problems = read(claim(**cells))
    assert len(rows) == 1
    assert sentence in said(claim(**cells))
    assert all(problem.severity is Severity.WARNING for problem in problems)


def test_a_refund_may_come_before_the_card() -> None:
    rows_of(claim(submitted_on="2026-01-11", closed_on="2026-03-01", closed_how="refunded", in_hand_on="2026-05-01"))


PAST = ("submitted_on", "refused_on", "last_asked_on", "in_hand_on", "shipped_on")


@given(st.dictionaries(st.sampled_from(PAST), st.integers(-3, 100), max_size=5))
@settings(max_examples=150, deadline=None)
def test_only_days_in_order_are_taken(offsets: dict[str, int]) -> None:
    days = {column: PULL + timedelta(days=offset) for column, offset in offsets.items()}
    rows, _ = read(claim(**{column: day.isoformat() for column, day in days.items()}))
    pairs = [("submitted_on", after) for after in ("refused_on", "last_asked_on", "in_hand_on")]
    pairs.append(("in_hand_on", "shipped_on"))
    in_order = all(days[first] <= days[second] for first, second in pairs if first in days and second in days)
    after_pull = all(day >= PULL for column, day in days.items() if column != "last_asked_on")
    assert bool(rows) == (in_order and after_pull)


def test_rows_of_totals_at_the_end_are_left_out_with_a_warning() -> None:
    text = "spot,break,price_paid\nHerons,Night 3,30\nOwls,Night 3,40\nTotal,,70\n"
    rows, problems = read(text)
    assert len(rows) == 2
    assert [problem.severity for problem in problems] == [Severity.WARNING]
    assert len(read("spot,break\nHerons,Night 3\nTotal,Night 3\n")[0]) == 2
    assert len(read("pulled_at,subject,maker\n2026-03-04,Kit Moor,Tern Cards\nSum,1 card,\n")[0]) == 1


def test_rows_that_disagree_about_their_break_are_named() -> None:
    sentences = said(
        "spot,break,format,starts_at\nA,Night 3,letter,2026-01-10\nB,night 3,team,2026-01-11\nC,NIGHT 3,,\n"
    )
    assert 'line 3, column format: the break has another format in line 2: "team"' in sentences
    assert "line 3, column starts_at: the break has another starts_at in line 2" in sentences
    assert "line 4" not in sentences


def test_two_claims_with_one_tag_and_two_houses_are_named() -> None:
    header = ",".join(("tag", "pulled_at", "maker", "subject"))
    assert "another claim has this tag in line 2" in said(
        f"{header}\n7KQ4,2026-01-10,Quillstone,Ana Moor\n7kq4,2026-01-10,Quillstone,Bo Lund\n"
    )
    assert "more than one house" in said("house\nNight Desk\nDay Desk\n")


def test_an_office_cannot_close_before_it_opens() -> None:
    assert "the office would close at 08:00 but open at 09:00" in said("maker,closes\nQuillstone,08:00\n")


@given(st.sampled_from(list(Kind)), st.data())
@settings(max_examples=150, deadline=None)
def test_any_cells_give_rows_or_sentences(kind: Kind, data: st.DataObject) -> None:
    columns = columns_of(kind)
    cells = st.one_of(
        st.text(max_size=8), st.sampled_from(["2026-01-10", "7/25", "5 USD", "team", "24:00", "a;b", "x"])
    )
    lines = data.draw(st.lists(st.lists(cells, min_size=len(columns), max_size=len(columns)), min_size=1, max_size=4))
    quoted = ['"' + '","'.join(cell.replace('"', '""') for cell in line) + '"' for line in [list(columns), *lines]]
    reading = read_content("a.csv", "\n".join(quoted).encode("utf-8", "replace"))
    for table in reading.tables:
        rows, problems = parse_rows(table, "Asia/Tokyo", "JPY", TODAY)
        assert len(rows) <= len(table.rows)
        if len(rows) < len(table.rows):
            assert problems
        assert all("\n" not in problem_sentence(problem) for problem in problems)


def test_a_line_that_may_hold_several_cards_is_taken_for_one_with_a_warning() -> None:
    header = "pulled_at,maker,subject\n"
    for cell in ("Rook Ashby / Cal Dunmore", "Rook Ashby, Cal Dunmore", "2x Lee Dunn"):
        rows, problems = read(f'{header}2026-03-04,Tern Cards,"{cell}"\n')
        assert len(rows) == 1
        assert [problem.what for problem in problems] == ["these may be several cards, and are taken for one"]
    assert not read(f'{header}2026-03-04,Tern Cards,"Rook Ashby, Jr."\n')[1]


def test_a_date_with_two_readings_says_how_all_can_be_settled_at_once() -> None:
    assert "m, then f, on the load screen" in said("pulled_at,maker,subject\n3/4/2026,Tern Cards,Kit Moor\n")

"""Participants come from files; what changed at the desk since is not taken back by an old file."""

from __future__ import annotations

import time
from collections.abc import Callable

from breakdesk.desk.loading import load_files
from breakdesk.files.headers import Kind
from breakdesk.store import words
from tests.desk.loading.conftest import Bench, Rows

ZOE = {
    "participant": "Zoë Quarlesby", "handle": "zoeq", "on_air_name": "Zoë Q", "email": "zoeq@mail.example",
    "phone": "+1 303 555 0102", "channel": "chat", "zone": "America/New_York", "language": "en",
    "address": "7 Pepperbox Court\nSallow Creek", "address_country": "US", "address_confirmed_on": "2026-05-01",
}  # fmt: skip

ROW = {"maker": "Quarrowby Card Works", "subject": "Ana Moor", "pulled_at": "2026-03-01"}


def test_a_participant_has_contact_and_address_of_their_own(bench: Bench) -> None:
    bench.loaded(people=[ZOE])
    assert bench.rows("SELECT name, handle, on_air_name, channel, zone, language FROM participant") == [
        ("Zoë Quarlesby", "zoeq", "Zoë Q", "chat", "America/New_York", "en")
    ]
    assert bench.rows("SELECT email, phone FROM contact") == [("zoeq@mail.example", "+1 303 555 0102")]
    assert bench.rows("SELECT text, country, confirmed_on, since, ended_at FROM address") == [
        ("7 Pepperbox Court\nSallow Creek", "US", "2026-05-01", None, None)
    ]
    for typed in ("quarl", "zoeq", "zoe q"):
        assert words.find(bench.desk.database, typed, "participant", 5) == [1]


def test_the_history_names_columns_and_nothing_that_is_in_them(bench: Bench) -> None:
    bench.loaded(people=[ZOE])
    said = " ".join(row[0] for row in bench.rows("SELECT body FROM history_line"))
    assert "address" in said
    for secret in ("Pepperbox", "zoeq", "Quarlesby", "555"):
        assert secret not in said


def test_changed_cells_update_and_another_address_starts_anew(bench: Bench) -> None:
    bench.loaded(people=[ZOE])
    moved = ZOE | {"handle": "zoeqq", "email": "", "phone": "1", "address": "1 Reed Row", "address_confirmed_on": ""}
    report = bench.loaded(people=[moved])
    assert report.counts[Kind.PARTICIPANTS].changed == 1
    assert bench.rows("SELECT handle FROM participant") == [("zoeqq",)]
    assert bench.rows("SELECT email, phone FROM contact") == [("zoeq@mail.example", "1")]
    old, new = bench.rows("SELECT text, confirmed_on, since, ended_at IS NULL FROM address ORDER BY id")
    assert old == ("7 Pepperbox Court\nSallow Creek", "2026-05-01", None, 0)
    assert new == ("1 Reed Row", None, "2026-06-15", 1)
    assert words.find(bench.desk.database, "zoeqq", "participant", 5) == [1]


def test_the_same_row_does_not_take_back_what_changed_at_the_desk(bench: Bench) -> None:
    paths = bench.write(people=[ZOE])
    load_files(bench.desk, paths)
    bench.rows("UPDATE address SET text = 'the new house', confirmed_on = '2026-06-10'")
    bench.rows("UPDATE participant SET handle = 'renamed'")
    before = bench.dump()
    assert load_files(bench.desk, paths).number is None
    assert bench.dump() == before


def test_a_confirmation_is_never_set_back(bench: Bench) -> None:
    bench.loaded(people=[ZOE])
    bench.loaded(people=[ZOE | {"address_confirmed_on": "2026-04-01", "language": "de"}])
    assert bench.rows("SELECT confirmed_on FROM address") == [("2026-05-01",)]
    bench.loaded(people=[ZOE | {"address_confirmed_on": "2026-06-01"}])
    assert bench.rows("SELECT confirmed_on FROM address") == [("2026-06-01",)]


def test_names_match_folded_and_handles_where_no_name_does(bench: Bench) -> None:
    bench.loaded(people=[ZOE])
    report = bench.loaded(people=[{"participant": "ZOE QUARLESBY", "handle": "", "language": "fr"}])
    assert report.counts[Kind.PARTICIPANTS].changed == 1
    report = bench.loaded(people=[{"handle": "ZoeQ", "channel": "email"}])
    assert report.counts[Kind.PARTICIPANTS].changed == 1
    assert bench.rows("SELECT count(*), max(channel), max(language) FROM participant") == [(1, "email", "fr")]


def test_rows_that_disagree_about_a_person_are_an_error(bench: Bench) -> None:
    report = bench.load(people=[ZOE, ZOE | {"address": "2 Other Street"}], more=[ZOE | {"phone": "9"}])
    assert [(problem.file, problem.line, problem.column) for problem in report.errors] == [
        ("people.csv", 4, "address"),
        ("more.csv", 2, "phone"),
    ]


def test_the_house_is_no_participant_and_a_shared_handle_is_doubted(bench: Bench) -> None:
    bench.loaded(house=[{"house": "Juniper Kettle Breaks"}])
    report = bench.load(people=[{"participant": "juniper kettle breaks", "handle": "jk"}])
    assert [problem.column for problem in report.errors] == ["participant"]
    report = bench.loaded(people=[ZOE, {"participant": "Other Person", "handle": "ZOEQ"}])
    assert [(problem.line, problem.column) for problem in report.warnings] == [(4, "handle")]


def test_ten_times_the_people_take_about_ten_times_as_long(make_bench: Callable[[], Bench]) -> None:
    took = []
    for count in (400, 4000):
        bench = make_bench()
        people: Rows = [{"participant": f"Person {number}", "handle": f"h{number}"} for number in range(count)]
        claims: Rows = [ROW | {"tag": f"T{number}", "participant": f"Person {number}"} for number in range(count)]
        paths = bench.write(people=people, claims=claims)
        began = time.process_time()
        assert load_files(bench.desk, paths).saved
        took.append(time.process_time() - began)
    # A hundred times would be quadratic; the machine may be busy with other things.
    assert took[1] < 35 * took[0]

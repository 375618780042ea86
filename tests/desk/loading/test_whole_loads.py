"""A load is whole or not at all, once or many times, alone or beside somebody else."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime, timedelta
from pathlib import Path
from unicodedata import normalize

import pytest
from engines import change_by_hand
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from breakdesk.desk.clock import Clock
from breakdesk.desk.desk import open_desk
from breakdesk.desk.loading import load_files
from breakdesk.files.headers import Kind
from breakdesk.rules.rounds.items import Parked
from breakdesk.rules.rounds.today import today_lists
from breakdesk.store.claims import read_claims
from breakdesk.store.parties import read_parties
from tests import test_sample_files as plain
from tests.desk.loading.conftest import NOW, Bench, Rows

SAMPLE = Path(__file__).resolve().parents[3] / "sample_breaks"
ROW = {"tag": "A1", "maker": "Quarrowby Card Works", "subject": "Ana Moor", "pulled_at": "2026-03-01"}


def sample_files() -> list[Path]:
    return sorted(path for path in SAMPLE.iterdir() if path.suffix in (".csv", ".xlsx"))


def test_the_sample_loads_in_any_order_as_one_action(make_bench: Callable[[], Bench]) -> None:
    told = []
    for paths in (sample_files(), sample_files()[::-1]):
        bench = make_bench()
        report = load_files(bench.desk, paths)
        assert report.errors == ()
        assert bench.rows("SELECT number, kind FROM action") == [(1, "load")]
        assert {kind: counts.new for kind, counts in report.counts.items()} | {Kind.CHECKLIST: 0, Kind.SPOTS: 0} == {
            Kind.HOUSE: 1, Kind.MAKERS: 4, Kind.PARTICIPANTS: 60, Kind.CHECKLIST: 0, Kind.SPOTS: 0, Kind.CLAIMS: 180,
        }  # fmt: skip
        told.append({(claim.tag, claim.state, claim.owner_kind) for claim in read_claims(bench.desk.database)})
        before = bench.dump()
        again = load_files(bench.desk, paths)
        assert (again.saved, again.number, again.said.startswith("Nothing is new")) == (True, None, True)
        assert bench.dump() == before
    assert told[0] == told[1]


def test_files_one_by_one_are_the_same_desk(make_bench: Callable[[], Bench]) -> None:
    together, alone = make_bench(), None
    load_files(together.desk, sample_files())
    facts = {
        claim.tag: (claim.state, claim.owner_kind, claim.pull_day) for claim in read_claims(together.desk.database)
    }
    alone = make_bench()
    for prefix in ("house", "makers", "participants", "checklist", "spots", "claims"):
        for path in (path for path in sample_files() if path.name.startswith(prefix)):
            assert load_files(alone.desk, [path]).saved
    assert facts == {
        claim.tag: (claim.state, claim.owner_kind, claim.pull_day) for claim in read_claims(alone.desk.database)
    }


def test_the_desk_says_of_the_sample_what_its_files_say_read_plainly(bench: Bench) -> None:
    load_files(bench.desk, sample_files())
    people = read_parties(bench.desk.database).people
    for row in plain.rows("claims.csv"):
        claim = bench.claim(row["tag"])
        owner = people[claim.owner_id].name if claim.owner_id is not None else claim.owner_kind
        assert claim.state == plain.state(row), row["tag"]
        # Of what is over the plain reading does not say whose it was at the end.
        assert claim.state == "closed" or owner == normalize("NFC", plain.owner(row)), row["tag"]


def test_moved_dates_tell_the_same_of_another_day(make_bench: Callable[[], Bench]) -> None:
    lists = []
    for days in (0, 31):
        bench = make_bench()
        bench.tell[0] = NOW + timedelta(days=days)
        report = load_files(bench.desk, sample_files(), shift_days=days)
        assert report.errors == ()
        assert not [problem for problem in report.warnings if "still to come" in problem.what]
        parties = read_parties(bench.desk.database)
        today = today_lists(read_claims(bench.desk.database), parties, bench.tell[0], Parked())
        lists.append([item.claim.tag for item in today.submit])
        nights = bench.rows("SELECT max(night), max(starts_at) FROM break")
        assert nights[0][0] == (date(2026, 6, 15) + timedelta(days=days)).isoformat()
    assert lists[0] == lists[1] != []


def test_an_error_in_one_file_keeps_all_of_them_out_and_all_errors_are_said(bench: Bench) -> None:
    report = bench.load(
        people=[{"participant": "Bo Lark", "handle": "bo", "zone": "Nowhere"}],
        claims=[
            ROW | {"pulled_at": "soon"},
            ROW | {"tag": "A2", "subject": ""},
            ROW | {"tag": "A3", "submitted_on": "2026-02-01"},
            ROW | {"tag": "A4", "closed_on": "2026-04-01"},
            ROW | {"tag": "A5", "closed_how": "eaten", "closed_on": "2026-04-01"},
            ROW | {"tag": "A6", "value": "12,5"},
        ],
        missing=[],
    )
    found = {(problem.file, problem.line, problem.column) for problem in report.errors}
    assert {
        ("people.csv", 2, "zone"),
        ("claims.csv", 2, "pulled_at"),
        ("claims.csv", 3, "subject"),
        ("claims.csv", 4, "submitted_on"),
        ("claims.csv", 5, "closed_how"),
        ("claims.csv", 6, "closed_how"),
        ("claims.csv", 7, "value"),
    } <= found
    assert "missing.csv" in {file for file, _, _ in found}
    assert all(problem.remedy for problem in report.errors)
    assert (report.saved, report.said.startswith("Nothing was loaded")) == (False, True)
    assert bench.rows("SELECT count(*) FROM action") == [(0,)]
    assert bench.rows("SELECT count(*) FROM participant") == [(0,)]


def test_a_file_that_is_not_there_is_a_problem(bench: Bench) -> None:
    report = load_files(bench.desk, [bench.folder / "none.csv"])
    assert [problem.file for problem in report.errors] == ["none.csv"]


def test_checking_writes_nothing(bench: Bench) -> None:
    before = bench.dump()
    report = load_files(bench.desk, sample_files(), check_only=True)
    assert (report.saved, report.errors, report.counts[Kind.CLAIMS].new) == (False, (), 180)
    assert bench.dump() == before


@pytest.mark.parametrize("stage", ["reading", "checking claims.csv", "comparing claims", "writing claims", "finishing"])
def test_a_load_that_is_stopped_leaves_nothing(bench: Bench, stage: str) -> None:
    before = bench.dump()
    seen = []

    def go_on(doing: str, done: int, total: int) -> bool:
        seen.append(doing)
        return doing != stage

    report = load_files(bench.desk, sample_files(), progress=go_on)
    assert (report.saved, seen[-1]) == (False, stage)
    assert "stopped" in report.said
    assert bench.dump() == before


@pytest.mark.about_files
def test_what_another_program_wrote_meanwhile_is_seen(bench: Bench) -> None:
    paths = bench.write(claims=[ROW | {"participant": "Bo Lark"}])
    other = open_desk_beside(bench)

    def meanwhile(doing: str, done: int, total: int) -> bool:
        if doing == "comparing claims":
            other()
        return True

    report = load_files(bench.desk, paths, progress=meanwhile)
    assert report.saved
    assert bench.rows("SELECT name FROM participant") == [("Bo Lark",)]
    assert bench.rows("SELECT value FROM setting WHERE name = 'elsewhere'") == [("1",)]
    assert bench.claim("A1").owner_id == 77


def open_desk_beside(bench: Bench) -> Callable[[], None]:
    """Another connection that makes the participant, once."""
    done: list[bool] = []

    def write() -> None:
        if done:
            return
        done.append(True)
        change_by_hand(
            bench.desk.path,
            "INSERT INTO setting (name, value) VALUES ('elsewhere', '1')",
            "INSERT INTO participant (id, version, name, folded, handle, on_air_name, channel, fallback_channel, "
            "language, zone, wish, opted_out, on_hold) VALUES (77, 1, 'Bo Lark', 'bo lark', '', '', '', '', '', "
            "'', '', 0, 0)",
        )

    return write


names = st.sampled_from(["Bo Lark", "Ana Moor", "Zoë Quarlesby", ""])
days = st.dates(date(2026, 1, 1), date(2026, 6, 15)).map(date.isoformat)
maybe = st.one_of(st.just(""), days)
claim_rows = st.fixed_dictionaries(
    {
        "tag": st.sampled_from(["", "", "A1", "B2", "C3"]),
        "product": st.sampled_from(["Hobby Box", "Patch Box"]),
        "break": st.sampled_from(["", "Night", "Serial night"]),
        "participant": names,
        "subject": st.sampled_from(["Ana Moor", "Cy Fen"]),
        "team": st.sampled_from(["Otters", "Ferrymen", "Otters;Ferrymen"]),
        "serial": st.sampled_from(["", "13", "14"]),
        "pulled_at": st.sampled_from(["2025-12-01", "2025-12-31T20:00"]),
        "dates": st.lists(days, min_size=0, max_size=5).map(sorted),
        "last_told_on": maybe,
        "closed_how": st.sampled_from(["", "refunded", "bought_out", "terms"]),
        "closed_on": days,
        "note": st.sampled_from(["", "soft corner"]),
    }
)


def as_rows(drawn: list[dict[str, object]]) -> Rows:
    rows: Rows = []
    for row in drawn:
        row = dict(row)
        dates = row.pop("dates")
        assert isinstance(dates, list)
        columns = ("submitted_on", "last_asked_on", "in_hand_on", "shipped_on")
        row |= dict(zip(columns, dates, strict=False))
        if not row["closed_how"]:
            row["closed_on"] = ""
        rows.append({name: row.get(name, "") for name in (*drawn[0], *columns) if name != "dates"})
    return rows


SPOTS: Rows = [
    {"break": name, "product": "Hobby Box;Patch Box", "starts_at": "2025-12-31T19:00", "format": form, "spot": spot,
     "participant": who}
    for name, form, held in (
        ("Night", "team", (("Otters", "Bo Lark"), ("Ferrymen", "Ana Moor;Bo Lark"))),
        ("Serial night", "serial", (("3", "Ana Moor"), ("4", ""))),
    )
    for spot, who in held
]  # fmt: skip


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(drawn=st.lists(claim_rows, min_size=1, max_size=8), cut=st.integers(0, 8))
def test_loading_twice_changes_nothing_and_the_desk_agrees_with_its_history(
    tmp_path_factory: pytest.TempPathFactory, drawn: list[dict[str, object]], cut: int
) -> None:
    folder = tmp_path_factory.mktemp("twice")
    moment: datetime = NOW
    desk = open_desk(folder / "desk.db", Clock(lambda: moment), create=True, who="AB")
    bench = Bench(desk, folder, [moment])
    rows = as_rows(drawn)
    parts = bench.write(
        spots=SPOTS, **{f"claims{number}": part for number, part in enumerate((rows[:cut], rows[cut:])) if part}
    )
    reports = [load_files(desk, [path]) for path in parts]
    bench.check()
    before = bench.dump()
    for path, report in zip(parts, reports, strict=True):
        again = load_files(desk, [path])
        assert (again.saved, again.number) == (report.saved, None)
    assert bench.dump() == before
    desk.close()

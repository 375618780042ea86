"""Codes from files are sealed, belong to one claim each, and are never shown."""

from __future__ import annotations

from breakdesk.desk.codes import read_code
from breakdesk.store.sealing import key_path
from tests.desk.loading.conftest import Bench

CODE = "mossbank-1000-quartz"
ROW = {"tag": "A1", "maker": "Quarrowby Card Works", "subject": "Ana Moor", "pulled_at": "2026-03-01", "code": CODE}


def test_a_code_is_sealed_and_can_be_read_again(bench: Bench) -> None:
    bench.loaded(claims=[ROW])
    assert read_code(bench.desk, 1) == "MOSSBANK1000QUARTZ"
    everything = repr(bench.dump()).lower()
    assert "mossbank" not in everything


def test_a_code_of_another_claim_is_an_error_that_never_shows_it(bench: Bench) -> None:
    bench.loaded(claims=[ROW])
    report = bench.load(claims=[ROW | {"tag": "A2", "code": CODE.upper().replace("-", " ")}])
    (problem,) = report.errors
    assert (problem.line, problem.column, problem.value) == (2, "code", None)
    assert "A1" in problem.what
    assert "mossbank" not in repr(report).lower()


def test_a_code_twice_in_the_files_is_an_error(bench: Bench) -> None:
    report = bench.load(one=[ROW], two=[ROW | {"tag": "A2"}])
    assert [(problem.file, problem.column) for problem in report.errors] == [("two.csv", "code")]
    assert bench.rows("SELECT * FROM claim_code") == []


def test_a_lookalike_is_doubted_and_a_partial_code_is_taken(bench: Bench) -> None:
    report = bench.loaded(
        claims=[ROW, ROW | {"tag": "A2", "code": "m0ssbank-1000-quartz"}, ROW | {"tag": "A3", "code": "AB?9"}]
    )
    assert [(problem.line, problem.column) for problem in report.warnings if problem.column == "code"] == [(3, "code")]
    assert bench.rows("SELECT digest FROM claim_code WHERE claim_id = 3") == [(None,)]


def test_a_code_can_be_added_later(bench: Bench) -> None:
    bench.loaded(claims=[ROW | {"code": ""}])
    bench.loaded(claims=[ROW])
    assert read_code(bench.desk, 1) == "MOSSBANK1000QUARTZ"
    assert [kind for kind, _ in bench.story("A1")] == ["pulled", "code_entered"]


def test_an_unreadable_code_is_not_shown_either(bench: Bench) -> None:
    report = bench.load(claims=[ROW | {"code": "secret\x1b[31m"}])
    assert [problem.column for problem in report.errors] == ["code"]
    assert "secret" not in repr(report)


def test_without_the_key_file_nothing_is_loaded_and_the_reason_is_said(bench: Bench) -> None:
    from breakdesk.desk.clock import Clock
    from breakdesk.desk.desk import open_desk

    bench.loaded(claims=[ROW])
    key = key_path(bench.desk.path)
    kept = key.read_bytes()
    key.unlink()
    bench.desk.close()
    bench.desk = open_desk(bench.desk.path, Clock(lambda: bench.tell[0]))
    report = bench.load(claims=[ROW | {"tag": "A2", "code": "other"}])
    assert not report.saved
    assert [problem.file for problem in report.errors] == [key.name]
    key.write_bytes(kept)

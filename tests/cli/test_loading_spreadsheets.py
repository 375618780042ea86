"""A spreadsheet with headings of its own, and the start line, without a screen."""

from __future__ import annotations

import json

SHEET = "Who,What,Came out,Whose\nAnn Moor (@annm),Kit Moor,3/4/2025,Tern\n"
COLUMNS = {"Who": "participant", "What": "subject", "Came out": "pulled_at", "Whose": "maker"}


def test_columns_are_shown_kept_corrected_and_used(shell, tmp_path):
    file = tmp_path / "my list.csv"
    file.write_text(SHEET, encoding="utf-8")
    assert shell("load", file).code == 1
    shown = shell("load", file, "--columns")
    assert shown.code == 0
    assert "Came out" in shown.out
    assert "left out" in shown.out
    kept = shell("load", file, "--save-map", "night sheet")
    assert kept.code == 0
    path = tmp_path / "desk files" / "columns" / "night sheet.json"
    said = json.loads(path.read_text(encoding="utf-8"))
    assert set(said["columns"]) == {"who", "what", "cameout", "whose"}
    path.write_text(json.dumps({"columns": COLUMNS, "dates": "month_first"}), encoding="utf-8")
    checked = shell("load", file, "--map", "night sheet", "--check")
    assert checked.code == 0
    assert "once it is in" in checked.out
    assert not (tmp_path / "desk.db").exists()
    loaded = shell("load", file, "--map", "night sheet")
    assert loaded.out == "Loaded 1 claim (1 new).\n"
    assert shell("owed", "annm").code == 0


def test_a_match_that_is_not_there_or_wrong_is_a_sentence(shell, tmp_path):
    file = tmp_path / "my list.csv"
    file.write_text(SHEET, encoding="utf-8")
    missing = shell("load", file, "--map", "nothing")
    assert missing.code == 1
    assert "No match of columns is called nothing." in missing.err
    path = tmp_path / "desk files" / "columns" / "bad.json"
    path.parent.mkdir(parents=True)
    path.write_text('{"columns": {"Who": "colour"}}', encoding="utf-8")
    assert "This is no match of columns." in shell("load", file, "--map", "bad").err
    assert shell("load", file, "--save-map", "../out").code == 1
    assert not (tmp_path / "desk.db").exists()


def test_the_start_line_is_shown_and_drawn(shell, done, tmp_path):
    file = tmp_path / "claims.csv"
    rows = [f"Person {n},Kit Moor,Tern,2025-01-01,2025-01-02" for n in range(1, 8)]
    file.write_text("\n".join(["participant,subject,maker,pulled_at,submitted_on", *rows]), encoding="utf-8")
    done("load", file)
    assert "Nothing was changed." in done("start-line", "--check").out
    assert done("today", "--json").json["ask"] != []
    assert "The start line is drawn" in done("start-line", "--weeks", 2).out
    lists = done("today", "--json").json
    assert (lists["ask"], lists["tell"]) == ([], [])
    assert "There is no start line any more." in done("start-line", "--weeks", 0).out
    assert len(done("today", "--json").json["tell"]) == 7
    done("verify")

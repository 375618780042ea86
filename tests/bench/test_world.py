"""The generated benchmark desk is the same every time and has the sizes that were asked for."""

from __future__ import annotations

import csv
import subprocess
import sys
from pathlib import Path

SCRIPT = Path(__file__).resolve().parent / "world.py"
SIZES = {"claims": 400, "participants": 50, "breaks": 22, "makers": 4, "products": 6, "cards": 60}


def test_sizes_and_names_hold_and_text_is_the_same_again(tmp_path: Path) -> None:
    for folder in ("first", "second"):
        options = [word for name, count in SIZES.items() for word in (f"--{name}", str(count))]
        subprocess.run([sys.executable, str(SCRIPT), str(tmp_path / folder), *options], check=True, capture_output=True)
    files = sorted((tmp_path / "first").iterdir())
    assert len(files) == 5 + SIZES["products"]
    assert all(path.read_bytes() == (tmp_path / "second" / path.name).read_bytes() for path in files)
    rows = {path.stem: list(csv.DictReader(path.read_text(encoding="utf-8").splitlines())) for path in files}
    assert len({row["tag"] for row in rows["claims"]}) == SIZES["claims"]
    assert len({row["participant"] for row in rows["participants"]}) == SIZES["participants"]
    assert len({row["break"] for row in rows["spots"]}) == SIZES["breaks"]
    assert len({row["maker"] for row in rows["makers"]}) == SIZES["makers"]
    assert all(len(rows[f"checklist-{number:02d}"]) == SIZES["cards"] for number in range(1, SIZES["products"] + 1))
    assert {row["participant"] for row in rows["claims"]} <= {row["participant"] for row in rows["participants"]} | {""}
    waiting = [row for row in rows["claims"] if row["submitted_on"] and not row["in_hand_on"] and not row["refused_on"]]
    assert 0.5 < len(waiting) / SIZES["claims"] < 0.7

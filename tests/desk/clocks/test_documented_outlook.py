"""The table in the documentation is what the sample says."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from statistics import mean, median

from breakdesk.desk.clock import Clock
from breakdesk.desk.desk import open_desk
from breakdesk.desk.loading import load_files
from breakdesk.desk.outlook import outlook
from breakdesk.store import models

ROOT = Path(__file__).resolve().parents[3]


def test_the_naive_average_beside_the_estimate(tmp_path: Path) -> None:
    desk = open_desk(tmp_path / "desk.db", Clock(tell=lambda: datetime(2026, 6, 15, 18, tzinfo=UTC)), create=True)
    files = sorted(path for path in (ROOT / "sample_breaks").iterdir() if path.suffix in (".csv", ".xlsx"))
    assert load_files(desk, files).saved
    claims = models.Claim
    rows = claims.select().where(claims.submitted_on.is_null(False), claims.in_hand_on.is_null(False))
    came: dict[str | None, list[int]] = {}
    for row in rows:
        days = (row.in_hand_on - row.submitted_on).days
        came.setdefault(models.Maker.get_by_id(row.maker_id).name, []).append(days)
        came.setdefault(None, []).append(days)
    lines = (ROOT / "docs" / "rules.md").read_text(encoding="utf-8").splitlines()
    for item in outlook(desk):
        half = "not reached" if item.median_days is None else f"{item.median_days}{' (pooled)' if item.pooled else ''}"
        days = came[item.maker]
        cells = (
            item.maker or "all makers", len(days), f"{mean(days):.1f}", f"{median(days):g}", half, item.waiting,
        )  # fmt: skip
        assert f"| {' | '.join(map(str, cells))} |" in lines
    desk.close()

"""A draw worked out again from its receipt, by anybody and without a desk."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from breakdesk.rules.draw import prepare, reveal

RECEIPT = reveal(prepare("Claim K5A1", "winners", ["Petra", "Odo", "Mina"]), "s" * 40, ["lantern", "heron"])


def test_a_true_receipt_is_proved(shell: Callable[..., Any], tmp_path: Path) -> None:
    path = tmp_path / "receipt.txt"
    path.write_text(RECEIPT.to_text(), encoding="utf-8")
    ran = shell("recheck", str(path))
    assert ran.code == 0
    assert f"1. {RECEIPT.result[0]}" in ran.out
    assert "Laws on games of chance differ" in ran.out


@pytest.mark.parametrize(
    "text",
    [
        replace(RECEIPT, result=tuple(sorted({"Petra", "Odo", "Mina"} - set(RECEIPT.result))[:1])).to_text(),
        replace(RECEIPT, secret="t" * 40).to_text(),
        "",
        "\x1b[31mnot a receipt",
    ],
)
def test_anything_else_is_refused_in_a_sentence(shell: Callable[..., Any], tmp_path: Path, text: str) -> None:
    path = tmp_path / "receipt.txt"
    path.write_text(text, encoding="utf-8")
    ran = shell("recheck", str(path))
    assert ran.code == 1
    assert ran.err.strip()
    assert "\x1b" not in ran.err

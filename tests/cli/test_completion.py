"""The shell completes commands and options, and nothing is opened or written for it."""

from __future__ import annotations

import pytest


@pytest.mark.parametrize(
    ("words", "place", "found"),
    [
        ("breakdesk sta", 1, "start-line"),
        ("breakdesk start-line --we", 2, "--weeks"),
        ("breakdesk people sp", 2, "split"),
    ],
)
def test_words_are_completed(shell, monkeypatch, tmp_path, words, place, found):
    monkeypatch.setenv("_BREAKDESK_COMPLETE", "bash_complete")
    monkeypatch.setenv("COMP_WORDS", words)
    monkeypatch.setenv("COMP_CWORD", str(place))
    ran = shell()
    assert ran.code == 0
    assert found in [line.partition(",")[2] for line in ran.out.splitlines()]
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("name", ["zsh", "fish"])
def test_a_shell_is_given_its_lines(shell, monkeypatch, name):
    monkeypatch.setenv("_BREAKDESK_COMPLETE", f"{name}_source")
    ran = shell()
    assert ran.code == 0
    assert "_BREAKDESK_COMPLETE" in ran.out

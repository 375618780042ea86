"""The settings file of one machine: read with care, written whole, and never the reason that nothing starts."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.tui import machine
from breakdesk.tui.commands import EVERYWHERE, REGISTRY, rebound_problems
from breakdesk.tui.machine import Machine, keep_machine, machine_path, read_machine
from breakdesk.tui.settings_pages import keys_text
from breakdesk.tui.theme import THEME_WORDS


@pytest.fixture
def file(tmp_path):
    return tmp_path / "settings.toml"


def test_no_file_is_a_file_of_defaults(file):
    found = read_machine(file)
    assert found.machine == Machine(theme="night", never_streams=False, keys={})
    assert found.problems == ()


def test_all_that_can_be_set(file):
    file.write_text('theme = "day"\nnever_streams = true\n[keys]\n"today.undo" = "z"\n')
    found = read_machine(file)
    assert found.problems == ()
    assert found.machine == Machine(theme="day", never_streams=True, keys={"today.undo": "z"})


def test_a_command_may_be_written_without_quotes(file):
    file.write_text('[keys]\ntoday.undo = "z"\nowed.find = "f"\n')
    assert read_machine(file).machine.keys == {"today.undo": "z", "owed.find": "f"}


def test_the_example_that_the_settings_show_can_be_taken(file):
    page = keys_text(file)
    file.write_text(page[page.index("[keys]") : page.index("On the left")])
    found = read_machine(file)
    assert found.problems == ()
    assert len(found.machine.keys) == 2


@pytest.mark.parametrize(
    "content",
    [b"theme = = day", b"\xff\xfe\x00", b"theme", b"a" * 300_000, b"[" * 5000, b"x = " + b"[" * 5000, b'a = "\\q"'],
)
def test_a_broken_file_gives_a_sentence_and_defaults(file, content):
    file.write_bytes(content)
    found = read_machine(file)
    assert found.machine == Machine()
    (sentence,) = found.problems
    assert "The settings of this machine were not taken" in sentence
    assert str(file) in sentence


def test_a_folder_in_its_place_gives_a_sentence(tmp_path):
    found = read_machine(tmp_path)
    assert found.machine == Machine()
    assert "cannot be read" in found.problems[0]


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ('theme = "pink"', "theme is one of night"),
        ("theme = 3", "theme is one of night"),
        ('never_streams = "yes"', "never_streams is true or false"),
        ("colour = 1", "there is no setting called colour"),
        ("keys = 3", "keys is a table"),
        ('keys = {"today.undo" = 3}', "the key of today.undo is written in quotes"),
        ('keys = {"today.undo" = " "}', "the key of today.undo is empty"),
        ('keys = {"today.undoo" = "z"}', "there is no command called today.undoo"),
        ('keys = {"today.undo" = "l"}', "l belongs to today.look and to today.undo"),
        ('keys = {"today.undo" = "f2"}', "f2 belongs to"),
        ('keys = {"today.undo" = "ctrl+s"}', "can only be reached by keys that a terminal may keep"),
    ],
)
def test_what_is_wrong_keeps_only_its_own_part_out(file, line, said):
    other = "never_streams = true" if line.startswith("theme") else 'theme = "day"'
    file.write_text(f"{other}\n{line}\n")
    found = read_machine(file)
    assert any(said in sentence for sentence in found.problems), found.problems
    assert found.machine.keys == {}
    expected = Machine(never_streams=True) if line.startswith("theme") else Machine(theme="day")
    assert found.machine == expected


def test_one_wrong_key_changes_no_key(file):
    file.write_text('[keys]\n"today.undo" = "z"\n"today.look" = "f1"\n')
    found = read_machine(file)
    assert found.machine.keys == {}
    assert "No key was rebound." in found.problems


def test_writing_keeps_what_a_person_wrote(file):
    file.write_text('# my machine\ntheme = "night"  # dark\n\n[keys]\n"today.undo" = "z"\n')
    assert keep_machine(file, theme="day", never_streams=True) == ""
    text = file.read_text()
    assert text.startswith("never_streams = true\n# my machine\n")
    assert '\ntheme = "day"\n' in text
    found = read_machine(file)
    assert found.machine == Machine(theme="day", never_streams=True, keys={"today.undo": "z"})


def test_a_setting_inside_a_table_is_not_taken_for_ours(file):
    file.write_text('[keys]\n"today.undo" = "z"\n')
    assert keep_machine(file, never_streams=True) == ""
    assert read_machine(file).machine == Machine(never_streams=True, keys={"today.undo": "z"})


def test_a_broken_file_is_not_written_over(file):
    file.write_text("theme = = day")
    assert "Correct or remove it." in keep_machine(file, theme="day")
    assert file.read_text() == "theme = = day"


def test_a_folder_that_is_not_there_is_made_and_nothing_else_is_left(tmp_path):
    file = tmp_path / "new" / "settings.toml"
    assert keep_machine(file, theme="day") == ""
    assert [path.name for path in file.parent.iterdir()] == ["settings.toml"]


def test_where_it_cannot_be_written_it_is_said(tmp_path):
    (tmp_path / "plain").write_text("a file")
    assert "cannot be written" in keep_machine(tmp_path / "plain" / "settings.toml", theme="day")


def test_a_write_that_fails_half_way_leaves_the_old_file(file, monkeypatch):
    file.write_text('theme = "night"\n')

    def fail(_handle):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(machine.os, "fsync", fail)
    assert "No space left" in keep_machine(file, theme="day")
    assert file.read_text() == 'theme = "night"\n'
    assert len(list(file.parent.iterdir())) == 1


@settings(max_examples=60, deadline=None)
@given(
    theme=st.sampled_from(sorted(THEME_WORDS)), never=st.booleans(), before=st.sampled_from(["", "# a note\n", "\n\n"])
)
def test_what_is_kept_is_read(tmp_path_factory, theme, never, before):
    file = tmp_path_factory.mktemp("machine") / "settings.toml"
    file.write_text(before)
    assert keep_machine(file, theme=theme, never_streams=never) == ""
    assert read_machine(file).machine == Machine(theme=theme, never_streams=never)


def test_another_file_can_be_named(monkeypatch, tmp_path):
    monkeypatch.setenv("BREAKDESK_CONFIG", str(tmp_path / "mine.toml"))
    assert machine_path() == tmp_path / "mine.toml"
    monkeypatch.setenv("BREAKDESK_CONFIG", " ")
    assert machine_path().name == "settings.toml"
    assert "breakdesk" in machine_path().parts


def test_loading_all_commands_finds_every_place():
    machine.load_all_commands()
    assert {"today", "load", "settings", "totals", "year", "outlook", "notices", EVERYWHERE} <= set(REGISTRY.contexts())
    assert rebound_problems(REGISTRY, {}) == []


def test_the_screen_takes_what_is_set(monkeypatch, tmp_path, file):
    from breakdesk.desk.desk import open_desk
    from breakdesk.tui import app

    file.write_text('theme = "day"\nnever_streams = true\ncolour = 3\n[keys]\n"today.undo" = "z"\n')
    monkeypatch.setenv("BREAKDESK_CONFIG", str(file))
    open_desk(tmp_path / "desk.db", create=True).close()
    ran = []
    monkeypatch.setattr(app.Breakdesk, "run", lambda made: ran.append(made))
    assert app.run_screen(tmp_path / "desk.db") == 0
    (made,) = ran
    assert made.theme == "day"
    assert not made.on_air
    assert made.rebound == {"today.undo": "z"}
    assert made._notes[0] == "settings.toml: there is no setting called colour."


@pytest.mark.skipif(sys.platform == "win32" or os.geteuid() == 0, reason="the administrator may write anywhere")
def test_a_folder_that_may_not_be_written_is_said(tmp_path: Path):
    tmp_path.chmod(0o500)
    try:
        assert "cannot be written" in keep_machine(tmp_path / "settings.toml", theme="day")
    finally:
        tmp_path.chmod(0o700)

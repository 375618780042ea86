"""Settings and environment: any content, any value; the program still starts and says what is wrong."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from hostile_help import HOSTILE, LONGER, NASTY, Attack, assert_harmless
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from breakdesk.tui.machine import Machine, read_machine

SETTINGS = settings(
    max_examples=60 * LONGER,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
NAMES = ("BREAKDESK_WHO", "BREAKDESK_CONFIG", "BREAKDESK_TRACE", "COLUMNS", "LINES", "TERM", "LANG", "LC_ALL",
         "NO_COLOR", "HOME", "XDG_DATA_HOME", "USER", "LOGNAME", "PAGER", "EDITOR")  # fmt: skip

VALUES = ("1", "true", '"x"', "[]", "{}", "1979-05-27", "nan", '{ "today.look" = "\\u001b" }', "[[[]]]")


@SETTINGS
@given(content=st.one_of(st.binary(max_size=120), HOSTILE.map(lambda text: text.encode("utf-8", "surrogatepass"))))
def test_any_settings_file_is_read_or_named(tmp_path_factory: pytest.TempPathFactory, content: bytes) -> None:
    path = tmp_path_factory.mktemp("settings") / "settings.toml"
    path.write_bytes(content)
    read = read_machine(path)
    assert read.machine == Machine() or content.strip()
    assert not read.machine.never_streams or b"never_streams" in content


@SETTINGS
@given(
    name=st.sampled_from(["theme", "never_streams", "keys", "other"]),
    value=st.sampled_from(
        ["1", "true", '"x"', "[]", "{}", "1979-05-27", "nan", '{ "today.look" = "\\u001b" }', "[[[]]]"]
    ),
)
def test_any_value_of_a_setting(tmp_path_factory: pytest.TempPathFactory, name: str, value: str) -> None:
    path = tmp_path_factory.mktemp("settings") / "settings.toml"
    path.write_text(f"{name} = {value}\n")
    read = read_machine(path)
    assert read.machine.never_streams is (name == "never_streams" and value == "true")


@SETTINGS
@given(name=st.sampled_from(NAMES), value=HOSTILE)
def test_any_environment(attack: Attack, environment: Callable[[str, str], None], name: str, value: str) -> None:
    environment(name, value)
    attack.type("today")


@SETTINGS
@given(value=HOSTILE)
def test_any_name_of_the_desk(
    attack: Attack, environment: Callable[[str, str], None], tmp_path_factory: pytest.TempPathFactory, value: str
) -> None:
    folder = tmp_path_factory.mktemp("desk")
    attack.path = folder / value.replace("\0", "").lstrip("/\\")[:80]
    assert ".." in value or attack.path == folder or folder in attack.path.parents
    code, said = attack.type("today")
    assert code in (1, 2)
    assert_harmless(said)
    assert not list(folder.rglob("*"))


@pytest.mark.parametrize("who", NASTY)
def test_whoever_acts_is_kept_short_and_shown_safely(
    attack: Attack, environment: Callable[[str, str], None], tag: str, who: str
) -> None:
    environment("BREAKDESK_WHO", who)
    attack.type("note", tag, "hello")
    attack.type("claim", tag)
    attack.type("evidence", tag)


def test_a_settings_file_of_endless_size_is_not_read(tmp_path: Path) -> None:
    path = tmp_path / "settings.toml"
    path.write_bytes(b"#" * 10_000_000)
    assert read_machine(path).problems

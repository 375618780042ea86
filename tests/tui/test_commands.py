"""One registry, and no key that means two things."""

from __future__ import annotations

from collections.abc import Callable
from types import ModuleType

import pytest
from textual.binding import Binding
from textual.widgets import Input

from breakdesk.tui.base import DeskApp
from breakdesk.tui.commands import (
    EVERYWHERE,
    FIELD_KEYS,
    REGISTRY,
    Command,
    Registry,
    key_problems,
    key_words,
    rebound_problems,
)
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.widgets.note_area import NoteArea
from breakdesk.tui.widgets.sentences import Sentences


def command(name: str, *keys: str, context: str = "one") -> Command:
    return Command(id=f"{context}.{name}", keys=keys, label=name, tooltip=f"{name}.", context=context)


def test_no_chain_of_the_program_has_a_key_problem(load_app: Callable[[str], ModuleType]) -> None:
    for name in ("asking", "listing"):
        load_app(name)
    assert {"asking", "listing"} <= set(REGISTRY.contexts())
    for context in REGISTRY.contexts():
        assert key_problems(REGISTRY.chain(context)) == [], context


@pytest.mark.parametrize("widget", [Input, NoteArea, LongList, Sentences])
def test_the_keys_of_fields_and_lists_are_all_known(widget: type) -> None:
    owned = {
        key
        for binding in widget.BINDINGS  # type: ignore[attr-defined]
        if isinstance(binding, Binding)
        for key in binding.key.split(",")
    }
    assert owned <= FIELD_KEYS


def test_a_key_used_twice_is_named_with_both_commands() -> None:
    assert key_problems([command("park", "p"), command("pack", "p")]) == ["p belongs to one.park and to one.pack"]


def test_keys_of_fields_and_of_the_terminal_are_refused() -> None:
    assert len(key_problems([command("kill", "ctrl+k")])) == 1
    assert len(key_problems([command("save", "ctrl+s")])) == 1
    assert key_problems([command("save", "f12", "ctrl+s")]) == []


def test_keys_of_a_settings_file_are_checked_before_they_are_taken() -> None:
    registry = Registry()
    registry.add(command("park", "p"), command("pack", "k"))
    assert rebound_problems(registry, {"one.park": "x"}) == []
    assert rebound_problems(registry, {"one.park": "k"}) == ["k belongs to one.park and to one.pack"]
    assert rebound_problems(registry, {"one.pork": "x"}) == ["there is no command called one.pork"]
    assert len(rebound_problems(registry, {"one.park": "ctrl+s"})) == 1


def test_two_commands_cannot_share_an_id() -> None:
    registry = Registry()
    registry.add(command("park", "p"))
    registry.add(command("park", "p"))
    with pytest.raises(ValueError, match=r"one\.park"):
        registry.add(command("park", "x"))


def test_every_command_says_what_it_does_in_a_sentence() -> None:
    for entry in REGISTRY.all():
        assert entry.label, entry.id
        assert entry.tooltip.endswith("."), entry.id
        assert entry.id.startswith(f"{entry.context}."), entry.id


def test_every_command_of_everywhere_has_its_action_on_the_app() -> None:
    for entry in REGISTRY.of(EVERYWHERE):
        assert hasattr(DeskApp, f"action_{entry.handler.partition('(')[0]}"), entry.id


@pytest.mark.parametrize(
    ("key", "words"),
    [("f2", "F2"), ("question_mark", "?"), ("ctrl+p", "Ctrl+P"), ("escape", "Esc"), ("y", "y"), ("slash", "/")],
)
def test_keys_are_written_as_people_write_them(key: str, words: str) -> None:
    assert key_words(key) == words


async def test_a_rebound_key_works_and_is_shown(
    load_app: Callable[[str], ModuleType], seen: Callable[[object], str]
) -> None:
    module = load_app("listing")
    app = module.Listing(desk_name="Harbour", now=lambda: module.NOW, rebound={"listing.park": "x"})
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("x")
        await pilot.pause()
        assert "Parked until" in seen(app)
        assert "x Park" in seen(app)

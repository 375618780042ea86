"""Catching claims by keyboard, from the first break of the night to the last card of the pile."""

from __future__ import annotations

from collections.abc import Callable
from threading import Event
from typing import Any

import pytest
from textual.app import App
from textual.events import Paste
from textual.widgets import Input

from breakdesk.desk.breaks import break_state, claims_of_break, list_breaks
from breakdesk.desk.codes import enter_code, read_code
from breakdesk.desk.places import remember, remembered
from breakdesk.rules.tags import shown
from breakdesk.tui.commands import REGISTRY, key_problems
from breakdesk.tui.screens.catch import CatchScreen
from breakdesk.tui.screens.catch_pile import PileScreen
from breakdesk.tui.screens.catch_seats import seats_from
from breakdesk.tui.widgets.entry_line import EntryLine
from breakdesk.tui.widgets.key_line import StatusLine

from ..waiting import settle
from .conftest import Stage, settled, to_catch, type_line

Seen = Callable[[App[Any]], str]


def claims(stage: Stage, name: str = "Hoops night") -> list[Any]:
    lines = stage.ask(lambda _desk: list_breaks())
    return list(stage.ask(claims_of_break, next(line.id for line in lines if line.name == name)))


def line_of(screen: CatchScreen) -> EntryLine:
    return screen.query_one(EntryLine)


def status(screen: Any) -> str:
    return str(screen.query_one(StatusLine).text)


def test_no_key_means_two_things() -> None:
    for context in ("catch", "pile", "dialog.page"):
        assert key_problems(REGISTRY.chain(context)) == []


async def test_a_break_is_chosen_started_and_goes_on_air(stage: Stage, seen: Seen) -> None:
    app = stage.app(on_air=False)
    async with app.run_test(size=(100, 30)) as pilot:
        screen = await to_catch(pilot)
        assert "No break is running" in seen(app)
        await pilot.press("ctrl+b")
        await settled(pilot, lambda: "Hoops night" in seen(app))
        await pilot.press(*(["down"] if "▸ Last digits" in seen(app) else []), "enter")
        await settled(pilot, lambda: "Start it now" in seen(app))
        assert not app.on_air
        await pilot.press("enter")
        await settled(pilot, lambda: screen.state is not None and screen.state.running)
        assert app.on_air
        assert "Hoops night" in seen(app)


async def test_a_sure_line_is_saved_by_one_enter_and_the_line_is_ready_again(night: Stage, seen: Seen) -> None:
    app = night.app()
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await to_catch(pilot)
        night.wait(75)
        await type_line(pilot, "marl /10")
        shown = seen(app)
        assert "Kai Marlowe" in shown
        assert "/10" in shown
        await pilot.press("enter")
        assert line_of(screen).value == ""
        await settled(pilot, lambda: len(claims(night)) == 1)
        (claim,) = claims(night)
        assert (claim.numbered_to, claim.video_seconds, claim.variation) == (10, 75, "Gold")
        await settled(pilot, lambda: "write this on the sleeve" in seen(app))
        assert "F12: undo" in status(screen)
        assert "Petra" in seen(app)


async def test_doubt_needs_a_second_enter_and_any_key_takes_it_back(night: Stage, seen: Seen) -> None:
    app = night.app()
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await to_catch(pilot)
        await type_line(pilot, "marl 12/10")
        assert " serial " in seen(app)
        await pilot.press("enter")
        assert "Enter again saves it anyway" in seen(app)
        await pilot.press("space", "enter")
        assert claims(night) == []
        await pilot.press("enter")
        await settled(pilot, lambda: len(claims(night)) == 1)
        assert line_of(screen).value == ""


async def test_another_reading_is_one_key_away(night: Stage, seen: Seen) -> None:
    app = night.app()
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await to_catch(pilot)
        await type_line(pilot, "marl")
        assert "Down  Kai Marlowe Gold /10" in seen(app)
        await pilot.press("down")
        assert "reading 2 of" in seen(app)
        assert screen.reading is not None
        assert screen.reading.numbered_to.value == 10
        await pilot.press("up")
        assert screen.reading.numbered_to.value is None


async def test_shared_and_unknown_owners_say_so(night: Stage, seen: Seen) -> None:
    night.start("Last digits")
    app = night.app()
    async with app.run_test(size=(100, 30)) as pilot:
        screen = await to_catch(pilot)
        if screen.state is not None and screen.state.name == "Last digits":
            await pilot.press("ctrl+g")
            await settled(pilot, lambda: screen.state is not None and screen.state.name == "Hoops night")
        await type_line(pilot, "marlowe oster")
        assert "several, to be settled" in seen(app)
        await pilot.press("ctrl+g")
        await settled(pilot, lambda: screen.state is not None and screen.state.name == "Last digits")
        assert line_of(screen).value == ""
        await type_line(pilot, "kest")
        assert "nobody yet" in seen(app)
        await pilot.press("ctrl+g")
        await settled(pilot, lambda: line_of(screen).value == "marlowe oster")


async def test_what_is_kept_is_shown_and_let_go(night: Stage, seen: Seen) -> None:
    app = night.app()
    async with app.run_test(size=(100, 30)) as pilot:
        screen = await to_catch(pilot)
        await type_line(pilot, "marl box 3 exp 3/29")
        await pilot.press("enter")
        await settled(pilot, lambda: "kept: box 3, expires" in seen(app))
        await type_line(pilot, "kest")
        assert screen.reading is not None
        assert screen.reading.box.value == 3
        await pilot.press("ctrl+l")
        assert screen.reading.box.value is None
        assert "kept:" not in seen(app)


async def test_what_is_typed_while_the_break_is_still_being_opened_is_not_lost(night: Stage, seen: Seen) -> None:
    app = night.app()
    async with app.run_test(size=(100, 30)) as pilot:
        go_on = Event()
        night.desk.submit(lambda _desk: go_on.wait(10))
        await pilot.press("f3", *"marl /10")
        screen = app.screen
        assert isinstance(screen, CatchScreen)
        assert screen.seat is None
        go_on.set()
        await settled(pilot, lambda: "Kai Marlowe" in seen(app))
        assert line_of(screen).value == "marl /10"
        await pilot.press("enter")
        await settled(pilot, lambda: len(claims(night)) == 1)


async def test_a_half_typed_line_is_offered_again_at_the_next_start(night: Stage) -> None:
    app = night.app()
    async with app.run_test(size=(80, 24)) as pilot:
        await to_catch(pilot)
        await type_line(pilot, "marl au")
        await settled(pilot, lambda: "marl au" in night.ask(remembered, "catch"))
    again = night.app()
    async with again.run_test(size=(80, 24)) as pilot:
        screen = await to_catch(pilot)
        await settled(pilot, lambda: "Half typed when it was left: marl au" in status(screen))
        assert line_of(screen).value == ""
        await pilot.press("up")
        assert line_of(screen).value == "marl au"


async def test_a_line_of_the_last_start_is_forgotten_once_somebody_went_on_without_it(night: Stage) -> None:
    night.ask(remember, "catch", '{"at": "1", "seats": {"1": {"line": "marl au"}}}')
    app = night.app()
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await to_catch(pilot)
        await type_line(pilot, "una")
        await pilot.press("enter")
        await settled(pilot, lambda: len(claims(night)) == 1)
        await settled(pilot, lambda: "marl au" not in night.ask(remembered, "catch"))
        await pilot.press("up")
        assert line_of(screen).value == ""


async def test_what_a_pasted_text_loses_is_said(night: Stage) -> None:
    app = night.app()
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await to_catch(pilot)
        line_of(screen).post_message(Paste("marlowe " * 60))
        await settled(pilot, lambda: "Nothing was pasted" in status(screen))
        assert line_of(screen).value == ""
        line_of(screen).post_message(Paste("\nmarlowe\noster\n"))
        await settled(pilot, lambda: "first of 2 pasted lines" in status(screen))
        assert line_of(screen).value == "marlowe"


async def test_escape_lets_go_of_a_line_and_up_brings_it_back(night: Stage) -> None:
    app = night.app()
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await to_catch(pilot)
        await type_line(pilot, "marl")
        await pilot.press("escape")
        await pilot.pause()
        assert line_of(screen).value == ""
        await pilot.press("up")
        await pilot.pause()
        assert line_of(screen).value == "marl"


async def test_undo_and_redo_by_name(night: Stage, seen: Seen) -> None:
    app = night.app()
    async with app.run_test(size=(100, 30)) as pilot:
        await to_catch(pilot)
        await type_line(pilot, "marl")
        await pilot.press("enter")
        await settled(pilot, lambda: len(claims(night)) == 1)
        tag = claims(night)[0].tag
        await pilot.press("f12")
        await settled(pilot, lambda: f"Take back: pull {shown(tag)}" in seen(app))
        await pilot.press("enter")
        await settled(pilot, lambda: claims(night) == [])
        await pilot.press("f12")
        await settled(pilot, lambda: f"Do again: pull {shown(tag)}" in seen(app))
        assert "Take back" not in seen(app), "what was taken back cannot be taken back once more"
        await pilot.press("enter")
        await settled(pilot, lambda: len(claims(night)) == 1)


async def test_the_last_claim_is_seen_corrected_noted_and_given_a_code(night: Stage, seen: Seen) -> None:
    app = night.app()
    async with app.run_test(size=(100, 34)) as pilot:
        screen = await to_catch(pilot)
        await type_line(pilot, "marl")
        await pilot.press("enter")
        await settled(pilot, lambda: len(screen.caught) == 1)
        night.wait(100)
        await pilot.press("ctrl+t")
        await settled(pilot, lambda: claims(night)[0].seen_on_camera)
        assert claims(night)[0].video_seconds == 100
        await pilot.press("ctrl+r")
        await settled(pilot, lambda: "Correct what of" in seen(app))
        await pilot.press("down", "down", "enter")
        await settled(pilot, lambda: isinstance(app.focused, Input))
        await pilot.press(*"Silver", "enter")
        await settled(pilot, lambda: claims(night)[0].variation == "Silver")
        await pilot.press("ctrl+o")
        await settled(pilot, lambda: "Code of" in seen(app))
        await pilot.press(*"QX7K44", "enter")
        await settled(pilot, lambda: night.ask(read_code, claims(night)[0].id) == "QX7K44")
        assert "QX7K44" not in seen(app)
        await pilot.press("tab", "n")
        await settled(pilot, lambda: "Note on" in seen(app))
        await pilot.press(*"bent", "enter")
        await settled(pilot, lambda: "Noted on" in status(screen))


async def test_a_code_scanned_into_the_line_is_dots_and_goes_to_the_last_claim(night: Stage, seen: Seen) -> None:
    app = night.app()
    async with app.run_test(size=(100, 30)) as pilot:
        screen = await to_catch(pilot)
        await type_line(pilot, "marl /10")
        await pilot.press("enter")
        await settled(pilot, lambda: len(claims(night)) == 1)
        await type_line(pilot, "una QX7K-4400")
        assert "7K" not in seen(app)
        assert "This looks like a code" in seen(app)
        screen.keep()
        await pilot.press("enter")
        await settled(pilot, lambda: "Keep it as the code of" in seen(app))
        assert "7K" not in seen(app)
        assert "QX7K" not in night.ask(remembered, "catch")
        await pilot.press("enter")
        await settled(pilot, lambda: night.ask(read_code, claims(night)[0].id) == "QX7K4400")
        await settled(pilot, lambda: line_of(screen).value == "una")
        await pilot.press("escape")
        await type_line(pilot, "una rx-88421")
        await pilot.press("enter")
        await settled(pilot, lambda: "It stands on the card" in seen(app))
        await pilot.press("down", "enter")
        await settled(pilot, lambda: "rx-88421" in seen(app))
        await pilot.press("enter", "enter")
        await settled(pilot, lambda: len(claims(night)) == 2)


async def test_a_code_that_looks_like_another_is_questioned_and_a_damaged_one_is_read_in_turn(
    night: Stage, seen: Seen
) -> None:
    app = night.app()
    async with app.run_test(size=(100, 30)) as pilot:
        await to_catch(pilot)
        for number, line in enumerate(("marl /10", "una"), start=1):
            await type_line(pilot, line)
            await pilot.press("enter")
            await settled(pilot, lambda wanted=number: len(claims(night)) == wanted)
        first, second = claims(night)
        night.ask(enter_code, first.tag, "QX70K4")
        await pilot.press("ctrl+o")
        await settled(pilot, lambda: "A scanner may type it" in seen(app))
        await type_line(pilot, "qx7ok4")
        await pilot.press("enter")
        await settled(pilot, lambda: "only by characters that look alike" in seen(app))
        assert "QX7" not in seen(app).upper()
        await pilot.press("enter")
        await settled(pilot, lambda: "A scanner may type it" in seen(app))
        assert night.ask(read_code, second.id) is None
        await pilot.press(*["backspace"] * 6)
        await type_line(pilot, "ab?9")
        await pilot.press("enter")
        await settled(pilot, lambda: night.ask(read_code, second.id) == "AB?9")
        app.on_air = False
        await pilot.press("ctrl+o")
        await settled(pilot, lambda: "could not be read" in seen(app))
        await pilot.press("down", "enter")
        await settled(pilot, lambda: "?" not in str(night.ask(read_code, second.id)))


async def test_an_owner_is_named_while_typing_and_afterwards(night: Stage, seen: Seen) -> None:
    app = night.app()
    async with app.run_test(size=(100, 34)) as pilot:
        screen = await to_catch(pilot)
        await type_line(pilot, "marl")
        await pilot.press("ctrl+n")
        await settled(pilot, lambda: "Whose card is it?" in seen(app))
        await pilot.press(*"mina", "enter")
        await settled(pilot, lambda: "for, as you said" in seen(app))
        await pilot.press("enter")
        await settled(pilot, lambda: len(screen.caught) == 1)
        assert screen.caught[0].people[0].handle == "minatar"
        await pilot.press("ctrl+n")
        await settled(pilot, lambda: "Whose is" in seen(app))
        await pilot.press(*"odo", "enter")
        await settled(pilot, lambda: "Why does it change hands" in seen(app))
        await pilot.press(*"sold", "enter")
        await settled(pilot, lambda: screen.caught[0].people[0].handle == "odolind")


async def test_an_unknown_handle_can_be_added_on_the_way(night: Stage, seen: Seen) -> None:
    app = night.app()
    async with app.run_test(size=(100, 34)) as pilot:
        screen = await to_catch(pilot)
        await type_line(pilot, "marl")
        await pilot.press("ctrl+n")
        await settled(pilot, lambda: "Whose card is it?" in seen(app))
        await pilot.press(*"newbie", "enter")
        await settled(pilot, lambda: "Add newbie" in seen(app))
        await pilot.press("down", "enter")
        await settled(pilot, lambda: "Who is new?" in seen(app))
        await pilot.press("enter")
        await settled(pilot, lambda: "for, as you said" in seen(app))
        assert line_of(screen).value == "marl"
        await pilot.press("enter")
        await settled(pilot, lambda: len(screen.caught) == 1)
        assert screen.caught[0].people[0].handle == "newbie"


async def test_the_pile_is_walked_until_the_odd_one_is_found(night: Stage, seen: Seen) -> None:
    app = night.app()
    async with app.run_test(size=(100, 30)) as pilot:
        screen = await to_catch(pilot)
        for line in ("marl", "oster", "dell"):
            await type_line(pilot, line)
            await pilot.press("enter")
            night.wait(30)
        await settled(pilot, lambda: len(screen.caught) == 3)
        await pilot.press("ctrl+b")
        await settled(pilot, lambda: "End this break" in seen(app))
        await pilot.press("down", "down", "enter")
        await settled(pilot, lambda: "3 claims on screen: count the pile" in seen(app))
        await pilot.press("2", "enter")
        await settled(pilot, lambda: isinstance(app.screen, PileScreen) and "Card 1 of 3" in seen(app))
        await pilot.press("space", "m")
        await settled(pilot, lambda: "That explains the count" in seen(app))
        await pilot.press("e")
        await settled(pilot, lambda: app.screen is screen)
        state = night.ask(break_state, screen.state.id if screen.state else 0)
        assert not state.running
        assert "Not on the pile" in status(screen)
        assert "ends the night" not in status(screen)


async def test_cards_that_nobody_wrote_down_are_asked_for_at_the_end_of_the_pile(night: Stage, seen: Seen) -> None:
    app = night.app()
    async with app.run_test(size=(100, 30)) as pilot:
        await to_catch(pilot)
        await type_line(pilot, "marl")
        await pilot.press("enter")
        await settled(pilot, lambda: len(claims(night)) == 1)
        await pilot.press("ctrl+b")
        await settled(pilot, lambda: "End this break" in seen(app))
        await pilot.press("down", "down", "enter")
        await settled(pilot, lambda: "count the pile" in seen(app))
        await pilot.press("2", "enter")
        await settled(pilot, lambda: "Card 1 of 1" in seen(app))
        await pilot.press("space")
        await settled(pilot, lambda: "1 card more on the pile than on screen: x for each" in seen(app))
        await pilot.press("x")
        await settled(pilot, lambda: "That explains the count" in seen(app))


async def test_trades_are_made_before_the_first_pack(night: Stage, seen: Seen) -> None:
    app = night.app()
    async with app.run_test(size=(120, 40)) as pilot:
        screen = await to_catch(pilot)
        await pilot.press("ctrl+b")
        await settled(pilot, lambda: "Trade spots" in seen(app))
        await pilot.press("down", "down", "down", "enter")
        await settled(pilot, lambda: "Which trade?" in seen(app))
        await type_line(pilot, "herons for otters")
        await pilot.press("enter")
        await settled(pilot, lambda: "have changed hands" in status(screen))
        await settled(pilot, lambda: line_of(screen).has_focus)
        await type_line(pilot, "marl")
        await settled(pilot, lambda: screen.reading is not None)
        await pilot.press("enter")
        await settled(pilot, lambda: len(screen.caught) == 1)
        assert screen.caught[0].people[0].handle == "odolind"


async def test_a_shared_card_is_drawn_for(night: Stage, seen: Seen) -> None:
    app = night.app()
    async with app.run_test(size=(100, 40)) as pilot:
        screen = await to_catch(pilot)
        await type_line(pilot, "marlowe oster")
        await pilot.press("enter")
        await settle(pilot)
        if line_of(screen).value:
            await pilot.press("enter")
        await settled(pilot, lambda: len(screen.caught) == 1)
        await pilot.press("tab", "s")
        await settled(pilot, lambda: "How is it settled?" in seen(app))
        await pilot.press("enter")
        await settled(pilot, lambda: "Say this aloud" in seen(app))
        await pilot.press(*"lantern,heron", "enter")
        await settled(pilot, lambda: "Drawn:" in seen(app))
        assert screen.caught[0].claim.owner_kind == "person"


async def test_a_full_name_never_stands_in_for_a_missing_handle(night: Stage, seen: Seen) -> None:
    app = night.app()
    async with app.run_test(size=(120, 40)) as pilot:
        screen = await to_catch(pilot)
        await type_line(pilot, "dell")
        await pilot.press("enter")
        await settled(pilot, lambda: len(screen.caught) == 1)
        await settle(pilot)
        assert "Nohandle" not in seen(app)
        assert "somebody without a handle" in seen(app)


@pytest.mark.parametrize("text", ["", "{", "[]", '{"at": "x"}', '{"seats": {"a": 1}}', "null"])
def test_what_was_remembered_may_be_anything(text: str) -> None:
    seats, _, _ = seats_from(text)
    assert seats.seats == {}

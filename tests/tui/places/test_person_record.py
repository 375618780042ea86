"""A participant's record at the keyboard: how they are written to, who they are, and what is held about them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from breakdesk.desk.answering import person_view
from breakdesk.desk.searching import look_for
from breakdesk.desk.telling import mark_told
from breakdesk.store import models
from breakdesk.tui.screens.person import PersonScreen


def person_called(house: Any, name: str) -> int:
    """The key of a participant."""
    (found,) = [hit.person_id for hit in house.do(look_for, name) if hit.person_id is not None]
    assert found is not None
    return int(found)


def view_of(house: Any, person_id: int) -> Any:
    """What is known of a participant."""
    view = house.do(person_view, person_id)
    assert view is not None
    return view


async def open_page(player: Any, person_id: int) -> None:
    await player.app.push_screen(PersonScreen(person_id))
    await player.settle()


async def choose(player: Any, words: str) -> None:
    """Puts the cursor of a menu on the line with these words, and takes it."""
    for _ in range(14):
        line = next((line for line in player.seen.splitlines() if words in line), "")
        assert line, player.seen
        if "▸" in line:
            break
        await player.press("down")
    await player.press("enter")
    await player.settle()


async def test_how_they_are_written_to(sample: Any) -> None:
    key = person_called(sample, "Zoë Quarlesby")
    async with sample.open(on_air=False) as player:
        await open_page(player, key)
        await player.press("r")
        await choose(player, "How they are written to")
        await choose(player, "Written to by: direct message")
        await choose(player, "short message")
        await player.press("r")
        await choose(player, "How they are written to")
        await choose(player, "Phone: ")
        await player.paste("+1 555 0107", "enter")
        await player.press("r")
        await choose(player, "What they want when a maker offers")
        await choose(player, "To take the replacement")
        await player.press("r")
        await choose(player, "They want no messages any more")
        await choose(player, "Write no more")
        assert "opted out: never written to" in player.words
    view = view_of(sample, key)
    assert (view.channel, view.phone, view.wish, view.opted_out) == ("sms", "+1 555 0107", "take", True)


async def test_two_handles_are_one_person_and_two_again(sample: Any) -> None:
    kept, gone = person_called(sample, "Algernon"), person_called(sample, "Zoë Quarlesby")
    of_both = len(view_of(sample, kept).owed.claims) + len(view_of(sample, gone).owed.claims)
    async with sample.open(size=(100, 40), on_air=False) as player:
        await open_page(player, kept)
        await player.press("r")
        await choose(player, "One person with another record")
        await player.paste("nobody of that name", "enter")
        assert "Nobody else here is called like that" in player.words
        await player.press("ctrl+u")
        await player.paste("zoeq", "enter")
        assert "Zoë Quarlesby becomes a second name of Algernon Tripp-Mallory" in player.words
        await player.press("enter")
        assert not view_of(sample, kept).also, "Enter alone changes nothing"
        await player.press("r")
        await choose(player, "One person with another record")
        await player.paste("zoeq", "enter")
        await choose(player, "Make them one")
        assert "Also Zoë Quarlesby (@zoeq)" in player.words
        assert len(view_of(sample, kept).owed.claims) == of_both
        await player.press("r")
        await choose(player, "Part from Zoë Quarlesby again")
        await choose(player, "Part them")
        assert "are two again: 1 claim went back" in player.status
    assert not view_of(sample, kept).also
    assert len(view_of(sample, gone).owed.claims) == 1


async def test_erasing_says_what_stays_and_is_typed_out(sample: Any, tmp_path: Path) -> None:
    key = person_called(sample, "Zoë Quarlesby")
    file = tmp_path / "held.json"
    async with sample.open(size=(100, 40), on_air=False) as player:
        await open_page(player, key)
        await player.press("r")
        await choose(player, "Erase them on their request")
        said = player.words
        assert "1 card is still owed to them" in said
        assert "What stays: claims, days and amounts, under a number" in said
        assert "at most a year from now" in said
        await choose(player, "Give out everything held about them, then erase")
        await player.press("ctrl+u")
        await player.paste(str(file), "enter")
        await player.paste("yes", "enter")
        assert "Type erase, or Esc." in player.words
        assert not view_of(sample, key).erased
        await player.press("ctrl+u")
        await player.paste("erase", "enter")
        assert f"Erased participant {key}" in player.words
        await player.press("r")
        assert "nothing left to change" in player.status
    assert json.loads(file.read_text(encoding="utf-8"))["records"][0]["handle"] == "zoeq"
    assert view_of(sample, key).erased


async def test_a_message_is_sent_once_more_on_purpose_and_taken_back_by_name(sample: Any) -> None:
    key = person_called(sample, "Zoë Quarlesby")
    claim = view_of(sample, key).owed.claims[0].claim.id
    sample.do(mark_told, key, [claim], "direct", "Word for word.")

    def tellings(_desk: object) -> list[tuple[str, bool]]:
        rows = models.Telling.select().where(models.Telling.participant == key).order_by(models.Telling.id)
        return [(row.channel, bool(row.undone)) for row in rows]

    before = len(sample.do(tellings))
    async with sample.open(on_air=False) as player:
        await open_page(player, key)
        await player.press("r")
        await choose(player, "What they were told")
        await choose(player, "direct message")
        await choose(player, "Copy it to send it once more")
        await choose(player, "they were told again")
        assert "was told again what they were told on" in player.status
        assert len(sample.do(tellings)) == before + 1
        await player.press("u", "enter")
        assert "Undone" in player.status
    assert sample.do(tellings)[-1] == ("direct", True)


async def test_on_air_no_full_name_stands_in_a_menu_or_a_question(sample: Any) -> None:
    key = person_called(sample, "Algernon")
    async with sample.open(size=(100, 40)) as player:
        await open_page(player, key)
        await player.press("r")
        await choose(player, "How they are written to")
        assert "E-mail: hidden on air" in player.words
        await player.press("escape", "r")
        await choose(player, "One person with another record")
        await player.paste("zoeq", "enter")
        assert "Quarlesby" not in player.seen
        await choose(player, "Make them one")
        assert "Quarlesby" not in player.seen
        assert "Tripp-Mallory" not in player.seen


async def test_a_call_is_logged_in_one_line(sample: Any) -> None:
    key = person_called(sample, "Zoë Quarlesby")
    async with sample.open(on_air=False) as player:
        await open_page(player, key)
        await player.press("p")
        await player.paste("fri", "enter")
        assert "Say in a few words what was promised." in player.words
        await player.paste(" call back about the Rose", "enter")
        assert "call back about the Rose" in player.words
    ((_, day, words),) = view_of(sample, key).promises
    assert (day.isoformat(), words) == ("2026-06-19", "call back about the Rose")

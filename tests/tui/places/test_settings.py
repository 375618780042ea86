"""The settings at the keyboard: terms with their day, makers, and this machine."""

from __future__ import annotations

from datetime import date

from breakdesk.desk.maker_list import makers_listed
from breakdesk.desk.makers import marked_makers
from breakdesk.desk.terms import terms_of
from breakdesk.rules.terms import HOUSE_DEFAULTS, MAKER_DEFAULTS
from breakdesk.store.parties import read_house
from breakdesk.tui.machine import read_machine
from breakdesk.tui.term_words import HOUSE_WORDS, MAKER_WORDS
from breakdesk.tui.widgets.long_list import LongList

MAKER = "Ildefors Kortverk"


def house_term(house, name, day):
    return house.do(lambda _desk: read_house()).terms.on(name, day)


async def go_to(player, label):
    """Put the cursor on a row of the page that is open."""
    rows = player.app.screen.query_one("#settings-items", LongList)
    rows.focus()
    for index in range(rows.count):
        rows.cursor = index
        await player.pilot.pause()
        if rows.current is not None and rows.current.cells[0] == label:
            await player.settle()
            return
    raise AssertionError(label)


def test_every_term_has_its_words():
    assert set(HOUSE_WORDS) == set(HOUSE_DEFAULTS)
    assert set(MAKER_WORDS) == set(MAKER_DEFAULTS)
    labels = [words.label for words in HOUSE_WORDS.values()]
    assert len(set(labels)) == len(labels)


async def test_a_term_is_settled_from_a_day_by_keys_alone(empty):
    async with empty.open() as player:
        await player.press("f8", "enter", *["down"] * 4)
        assert "▸ Submit within" in player.seen
        assert "A claim is to be submitted so many days after its pull" in player.words
        await player.press("enter", "ctrl+u")
        await player.paste("5", "enter")
        await player.paste("2026-07-01", "enter")
        assert "submit_within_days is 5 from 1 July 2026 on" in player.status
        assert "Settled for later: from Wed 1 Jul: 5 days." in player.words
    assert house_term(empty, "submit_within_days", date(2026, 6, 30)) == "3"
    assert house_term(empty, "submit_within_days", date(2026, 7, 1)) == "5"


async def test_nothing_typed_is_from_today_and_always_rewrites_the_past(empty):
    async with empty.open() as player:
        await player.press("f8")
        await go_to(player, "Never silent for")
        await player.press("enter", "ctrl+u")
        await player.paste("45", "enter", "enter")
        assert house_term(empty, "update_every_days", date(2026, 6, 14)) == "60"
        assert house_term(empty, "update_every_days", date(2026, 6, 15)) == "45"
        assert "Before that: 60 days." in player.words
        await go_to(player, "Currency")
        await player.press("enter", "ctrl+u")
        await player.paste("eur", "enter")
        await player.paste("always", "enter")
    assert house_term(empty, "currency", date(2020, 1, 1)) == "EUR"


async def test_a_wrong_value_is_said_in_words_and_what_was_typed_stays(empty):
    async with empty.open() as player:
        await player.press("f8")
        await go_to(player, "Submit within")
        await player.press("enter", "ctrl+u")
        await player.paste("soon", "enter")
        assert "Submit within is a whole number from 0 to 365, not 'soon'." in player.words
        await player.press("escape")
    assert house_term(empty, "submit_within_days", date(2027, 1, 1)) == "3"


async def test_switches_and_policies_are_picked(sample):
    async with sample.open() as player:
        await player.press("f8")
        await go_to(player, "Notices of delay")
        await player.press("enter")
        assert "not legal advice" in player.words
        await player.press("enter", "enter")
        assert house_term(sample, "delay_notice", date(2026, 6, 15)) == "on"
        await player.press("shift+tab", "down")
        await go_to(player, "Expired cards")
        await player.press("enter", "down", "down", "enter", "enter")
    terms = {term.name: term.today for term in sample.do(terms_of, MAKER).terms}
    assert terms["expired_policy"] == "refuses"


async def test_the_house_is_renamed_and_moved(empty):
    async with empty.open() as player:
        await player.press("f8", "enter", "enter", "ctrl+u")
        await player.paste("The Quay", "enter")
        assert player.app.desk_name == "The Quay"
        await player.press("down", "enter", "ctrl+u")
        await player.paste("Asia/Tokyo", "enter", "enter")
        assert player.app.today() == date(2026, 6, 16)
    assert empty.do(lambda _desk: read_house()).name == "The Quay"


async def test_a_new_maker_its_contact_and_its_closed_days(empty):
    async with empty.open(on_air=False, size=(120, 40)) as player:
        await player.press("f8", "n")
        await player.paste("Tern Cards", "enter")
        assert "Tern Cards is a maker now." in player.status
        await player.press("down")
        await go_to(player, "Contact")
        await player.press("enter")
        await player.paste("desk@tern.example", "enter")
        assert "desk@tern.example" in player.seen
        await go_to(player, "Closed days")
        await player.press("enter", "enter")
        await player.paste("2026-12-24", "enter")
        assert "Thu 24 Dec" in player.seen
        assert empty.do(terms_of, "Tern Cards").noted == ((date(2026, 12, 24), ""),)
        assert date(2026, 7, 3) in dict(empty.do(terms_of, "Tern Cards").holidays)
        await player.press("enter", "down", "enter")
    assert empty.do(terms_of, "Tern Cards").noted == ()
    assert empty.do(makers_listed)[0].contact == "desk@tern.example"


async def test_on_air_a_contact_is_hidden(sample):
    async with sample.open() as player:
        await player.press("f8", "down")
        await go_to(player, "Contact")
        assert "@" not in player.seen
        assert "hidden on air" in player.seen


async def test_a_maker_that_closed_is_marked_for_all_its_claims_and_undone_as_one(sample):
    async with sample.open() as player:
        await player.press("f8", "down")
        await go_to(player, "What happened")
        await player.press("enter")
        await player.paste("has closed", "enter")
        await player.paste("30", "enter", "enter", "enter")
        await player.paste("It has closed; we look for a way.", "enter")
        (marked,) = sample.do(marked_makers)
        assert (marked.name, marked.what, marked.review_on) == (MAKER, "has closed", date(2026, 7, 15))
        assert "u: undo" in player.status
        await player.press("u", "enter")
        assert sample.do(marked_makers) == ()


async def test_the_look_is_shown_at_once_and_kept(empty, settings_file):
    async with empty.open() as player:
        await player.press("f8", "end", "tab", "enter", "down", "enter")
        assert player.app.theme == "day"
        assert "Day: light" in player.seen
    assert read_machine().machine.theme == "day"
    assert settings_file.read_text() == 'theme = "day"\n'


async def test_never_streaming_is_asked_and_changes_nothing_at_once(empty):
    async with empty.open() as player:
        await player.press("f8", "end", "tab", "down", "enter", "enter")
        assert not read_machine().machine.never_streams
        await player.press("enter", "down", "enter")
        assert read_machine().machine.never_streams
        assert player.app.on_air
        assert "opens off air from the next start on" in player.status
        await player.press("enter")
    assert not read_machine().machine.never_streams


async def test_how_keys_are_bound_anew_is_told(empty):
    async with empty.open() as player:
        await player.press("f8", "end", "tab", "down", "down", "enter")
        assert "[keys]" in player.seen
        assert "settings.toml" in player.words.replace(" ", "")


async def test_a_file_that_cannot_be_read_is_left_alone(empty, settings_file):
    settings_file.parent.mkdir()
    settings_file.write_text("theme = = night")
    async with empty.open() as player:
        await player.press("f8", "end", "tab", "enter", "down", "enter")
        assert "Not kept" in player.status
    assert settings_file.read_text() == "theme = = night"


async def test_the_wording_of_messages_is_reached_from_here(empty):
    async with empty.open() as player:
        await player.press("f8")
        await go_to(player, "Wording of messages")
        assert "as it comes" in player.words
        await player.press("enter")
        assert player.seen.lstrip().startswith("Wording of messages")
        await player.press("escape")
        assert player.seen.lstrip().startswith("Settings")

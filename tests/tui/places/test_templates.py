"""The wording of messages on screen: edited, previewed on a real participant, saved, taken back."""

from __future__ import annotations

from breakdesk.desk import house_wording

LAST = len(house_wording.NAMES) - 1


async def open_wording(player):
    """Opens the screen from the palette, with the cursor on the message."""
    await player.press("ctrl+p")
    await player.paste("Wording", "enter")
    await shown(player)


async def shown(player):
    await player.settle()


async def test_a_text_is_edited_previewed_saved_and_taken_back(sample):
    async with sample.open(size=(120, 40), on_air=False) as player:
        await open_wording(player)
        assert "Wording of messages" in player.seen
        assert "To " in player.words
        await player.press("enter", "ctrl+home")
        await player.press(*"Ahoy")
        await shown(player)
        assert player.words.count("Ahoy") == 2
        assert "edited" in player.words
        assert house_wording.FOLDER not in [path.name for path in _folders(sample)]
        await player.press("f12")
        await shown(player)
        assert "is saved" in player.status
        assert "yours" in player.words
        assert sample.do(house_wording.wording, "message").text.startswith("Ahoy")
        await player.press("escape", "o", "down", "enter")
        await shown(player)
        assert "kept among the versions" in player.status
        assert not sample.do(house_wording.wording, "message").own
        await player.press("v", "enter")
        await shown(player)
        assert "Ahoy" in player.words


def _folders(sample):
    return list(sample.do(lambda desk: desk.folder).glob("*"))


async def test_a_mistake_is_named_by_line_and_not_saved(sample):
    async with sample.open(size=(120, 40), on_air=False) as player:
        await open_wording(player)
        await player.press("enter", "ctrl+home")
        await player.press(*"{{", "space", *"code", "space", *"}}")
        await shown(player)
        assert "Line 1: There is no variable “code”" in player.words
        await player.press("f12")
        assert "not saved" in player.status
        assert not sample.do(house_wording.wording, "message").own
        await player.press("escape", "escape")
        assert "Leave without saving?" in player.seen
        await player.press("escape")
        assert "Wording of messages" in player.seen
        await player.press("escape", "down", "enter")
        assert "Wording of messages" not in player.seen


async def test_on_air_the_preview_is_hidden(sample):
    people = sample.do(house_wording.people_for_preview)
    async with sample.open(size=(120, 40)) as player:
        await open_wording(player)
        assert "hidden on air" in player.words
        assert people[0][2] not in player.seen
        await player.press("p")
        assert people[1][2] not in player.seen


async def test_another_participant_and_the_check_of_all(sample):
    people = sample.do(house_wording.people_for_preview)
    async with sample.open(size=(120, 40), on_air=False) as player:
        await open_wording(player)
        await player.press("p", "down", "enter")
        await shown(player)
        assert f"To {people[1][2]}" in player.words
        await player.press("k")
        assert "All is well" in player.status


async def test_on_an_empty_desk_invented_values_stand_in(empty):
    async with empty.open() as player:
        await open_wording(player)
        assert "invented values" in player.words
        await player.press("p")
        assert "Nobody waits" in player.status


async def test_a_text_for_one_tone_and_language_goes_before_the_one_for_everybody(sample):
    async with sample.open(size=(120, 40), on_air=False) as player:
        await open_wording(player)
        await player.press("t", "end", "enter")
        await player.paste("xx", "enter")
        assert "xx is not a language that is known" in player.words
        await player.press("ctrl+u")
        await player.paste("pt-BR", "enter")
        await shown(player)
        assert "Texts: in the brief tone and in pt_BR" in player.status
        await player.press("enter", "ctrl+home", *"Oi", "t", "f12")
        await shown(player)
        await player.press("escape", "t", "home", "enter", "ctrl+u", "enter")
        await shown(player)
        assert "everybody" in player.status
        assert "yours" not in player.words
    brief = house_wording.Place("brief", "pt_BR")
    assert sample.do(house_wording.wording, "message", brief).text.startswith("Oit")
    assert not sample.do(house_wording.wording, "message").own

"""The status line names the key that undoes now, and keeps it in sight."""

from __future__ import annotations

from breakdesk.desk.undoing import last_actions


class TestWhichKey:
    async def test_while_a_field_has_the_cursor_it_is_one_that_works_there(self, stage):
        first = stage.pull()
        stage.pull()
        async with stage.open() as player:
            await player.press("s", "enter")
            await player.type("AB12-CD34", "enter")
            await player.type("REF-1", "enter")
            assert player.status.endswith("F12: undo.")
            await player.press("f12", "enter")
            assert stage.claim(first).state == "pulled"

    async def test_outside_a_field_it_is_the_letter(self, stage):
        stage.pull()
        stage.pull()
        async with stage.open() as player:
            await player.press("s", "enter")
            await player.type("AB12-CD34", "enter")
            await player.type("REF-1", "enter", "escape")
            assert player.status.endswith("  u: undo.")
            await player.press("u", "enter")
            assert "undo" in [item.kind for item in stage.do(lambda _desk: last_actions())]

    async def test_both_work_in_the_parcels_place(self, stage):
        tag = stage.pull()
        async with stage.open() as player:
            await player.press("s", "enter")
            await player.type("AB12-CD34", "enter")
            await player.type("REF-1", "enter", "escape")
            await player.press("f6", "i")
            await player.type("moor", "enter", "enter", "enter")
            assert stage.claim(tag).state == "in_hand"
            assert player.status.endswith("F12: undo.")
            await player.press("f12", "enter")
            assert stage.claim(tag).state == "submitted"


class TestRoom:
    async def test_a_long_sentence_takes_two_lines_and_never_the_place_of_the_key(self, stage):
        stage.pull()
        async with stage.open() as player:
            screen = player.app.screen
            await player.press("s")
            screen = player.app.screen
            screen.say(" ".join(["word"] * 22) + " last.", undoable=True)
            await player.settle()
            assert "last.  u: undo." in player.seen
            screen.say(" ".join(["word"] * 60), undoable=True)
            await player.settle()
            assert "…  u: undo." in player.seen
            assert len([line for line in player.seen.splitlines() if "word" in line]) == 2

    async def test_on_air_the_sentences_about_what_is_hidden_are_whole(self, stage):
        stage.pull()
        async with stage.open(on_air=True) as player:
            await player.press("s", "enter")
            await player.type("AB12-CD34", "enter")
            await player.type("REF-1", "enter")
            assert "is submitted, reference hidden on air." in player.seen
            stage.later(days=4)
            await player.press("f2", "t", "y")
            assert "Not copied: it holds names and references, hidden on air. F9 goes off air." in player.seen

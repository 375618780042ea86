"""The tell round at the keyboard."""

from __future__ import annotations

import pytest

from breakdesk.desk.answering import person_view
from breakdesk.desk.following import note
from breakdesk.desk.submitting import Submit, submit
from breakdesk.desk.terms import Settle, settle
from breakdesk.store import models


def told(stage, name):
    """How many tellings of a participant stand."""
    table = models.Telling
    person = stage.people[name]
    return stage.do(lambda _: table.select().where(table.participant == person, table.undone == False).count())  # noqa: E712


def somebody_to_tell(stage, *names):
    """Claims of these people were submitted days ago."""
    for name in names:
        tag = stage.pull(name)
        stage.done(submit, Submit(tag=tag, reference=f"T-{name}"))
    stage.later(days=4)


class TestCopyingFirst:
    async def test_the_same_key_copies_marks_told_and_moves_on(self, stage):
        somebody_to_tell(stage, "Ada", "Bo", "Cy")
        async with stage.open() as player:
            await player.press("t")
            await player.until(lambda: "@fern_ada" in player.seen)
            await player.press("y")
            await player.until(lambda: "Ada Fenn" in player.copied)
            assert told(stage, "Ada") == 0
            await player.press("y")
            await player.until(lambda: "Bo Larch" in player.copied)
            assert told(stage, "Ada") == 1
            assert "@larch" in player.seen
            await player.press("y")
            await player.until(lambda: told(stage, "Bo") == 1 and "Cy" in player.copied)
            await player.press("y")
            await player.until(lambda: "In this round: 3 done." in player.words)
            assert [told(stage, name) for name in ("Ada", "Bo", "Cy")] == [1, 1, 1]
            assert "Nobody is left to be told. In this round: 3 done." in player.words
        assert "Kit Moor" in stage.do(person_view, stage.people["Ada"]).last_told_text

    async def test_leaving_asks_told_up_to_here(self, stage):
        somebody_to_tell(stage, "Ada", "Bo")
        async with stage.open() as player:
            await player.press("t", "y", "y", "escape")
            assert "Told up to here?" in player.seen
            await player.press("down", "enter")
            assert "Today" in player.seen.splitlines()[0]
        assert (told(stage, "Ada"), told(stage, "Bo")) == (1, 1)

    async def test_no_leaves_it_to_be_told(self, stage):
        somebody_to_tell(stage, "Ada")
        async with stage.open() as player:
            await player.press("t", "y", "f2", "enter")
            assert "Today" in player.seen.splitlines()[0]
        assert told(stage, "Ada") == 0
        assert len(stage.today().tell) == 1

    async def test_skipping_asks_too(self, stage):
        somebody_to_tell(stage, "Ada", "Bo")
        async with stage.open() as player:
            await player.press("t", "y", "n", "down", "enter")
            assert "@larch" in player.seen
        assert (told(stage, "Ada"), told(stage, "Bo")) == (1, 0)

    async def test_undo_by_name(self, stage):
        somebody_to_tell(stage, "Ada", "Bo")
        async with stage.open() as player:
            await player.press("t", "y", "y", "y", "u")
            assert "Ada Fenn is told about 1 claim." in player.words
            await player.press("down", "enter")
            assert "1 left" in player.seen
        assert (told(stage, "Ada"), told(stage, "Bo")) == (0, 1)

    async def test_a_key_that_bounces_marks_nobody_as_told(self, stage, monkeypatch):
        monkeypatch.setattr("breakdesk.tui.screens.tell_copying.PASTE_SECONDS", 60.0)
        somebody_to_tell(stage, "Ada", "Bo")
        async with stage.open() as player:
            await player.press("t")
            await player.type("yyyyyy")
            assert "too quick to have been pasted" in player.status
        assert (told(stage, "Ada"), told(stage, "Bo")) == (0, 0)

    async def test_keys_pressed_at_once_are_done_one_after_the_other(self, stage):
        somebody_to_tell(stage, "Ada", "Bo", "Cy")
        async with stage.open() as player:
            await player.press("t")
            await player.type("yyyy")
            assert "Nobody is left to be told. In this round: 3 done." in player.words
        assert [told(stage, name) for name in ("Ada", "Bo", "Cy")] == [1, 1, 1]

    async def test_a_message_in_parts_is_copied_part_by_part(self, stage):
        for number in range(40):
            stage.pull("Ada", subject=f"Maximilian Featherstonehaugh the {number}th of Somewhere")
        stage.later(days=4)
        async with stage.open() as player:
            await player.press("t")
            assert "in 2 parts" in player.words
            await player.press("y")
            assert player.copied.startswith("1/2 ")
            await player.press("y")
            assert player.copied.startswith("2/2 ")
            assert told(stage, "Ada") == 0
            await player.press("y")
            assert told(stage, "Ada") == 1


class TestWhoAndHow:
    async def test_on_air_no_full_name_is_shown(self, stage):
        somebody_to_tell(stage, "Ada")
        async with stage.open(on_air=True) as player:
            await player.press("t", "v")
            assert "Fern" in player.seen
            assert "Fenn" not in player.seen
            await player.press("escape", "y")
            assert "Fenn" not in player.seen
            await player.press("t", "u")
            assert "Fern is told about 1 claim." in player.seen
            assert "Fenn" not in player.seen

    async def test_the_channel_changes_the_message(self, stage):
        somebody_to_tell(stage, "Ada")
        async with stage.open() as player:
            await player.press("t", "c", "down", "enter")
            assert "e-mail" in player.words
            assert "The Corner: news of your card" in player.words
            await player.press("y")
            assert player.copied.startswith("The Corner: news")
            await player.press("y")
            assert player.copied.startswith("Hi Ada Fenn")
            assert told(stage, "Ada") == 0
            await player.press("y")
            assert told(stage, "Ada") == 1
        channel = stage.do(lambda _: models.Participant.get_by_id(stage.people["Ada"]).channel)
        assert channel == "email"

    async def test_another_channel_never_forgets_what_was_copied(self, stage):
        somebody_to_tell(stage, "Ada")
        async with stage.open() as player:
            await player.press("t", "y", "c", "down", "enter")
            assert "Told up to here?" in player.seen
            await player.press("down", "enter")
        assert told(stage, "Ada") == 1

    async def test_who_opted_out_is_never_copied(self, stage):
        somebody_to_tell(stage, "Ada")
        table = models.Participant
        stage.do(lambda _: table.update(opted_out=True).where(table.id == stage.people["Ada"]).execute())
        async with stage.open() as player:
            await player.press("t")
            assert "opted out" in player.words
            await player.press("y")
            assert player.copied == ""
            await player.press("t", "down", "enter")
            assert "Nobody is left" in player.words
        assert stage.do(person_view, stage.people["Ada"]).last_told_text == ""

    async def test_putting_a_person_aside_and_back(self, stage):
        somebody_to_tell(stage, "Ada")
        async with stage.open() as player:
            await player.press("t", "p")
            await player.type("3", "enter")
            await player.type("on holiday", "enter")
            assert stage.today().tell == ()
            await player.press("u", "enter")
        assert len(stage.today().tell) == 1


class TestInBulk:
    async def test_all_who_are_due_are_written_and_told_only_when_said(self, stage):
        somebody_to_tell(stage, "Ada", "Bo")
        async with stage.open() as player:
            await player.press("t", "w", "w", "down", "enter", "enter")
            assert told(stage, "Ada") == 0
            assert "Did they go out? 2 messages written." in player.words
            await player.press("down", "enter")
            assert told(stage, "Ada") == told(stage, "Bo") == 1
            await player.press("u", "enter")
            assert "2 taken back: they are to be told again." in player.status
            assert told(stage, "Ada") == 0
            await player.press("t", "enter", "escape")
            assert "Nobody is left" in player.words
        files = sorted((stage.folder / "messages 2026-03-06 1100").glob("*.txt"))
        assert [path.name for path in files] == ["00001-fern_ada.txt", "00002-larch.txt"]
        assert "Ada Fenn" in files[0].read_text(encoding="utf-8")
        assert told(stage, "Ada") == told(stage, "Bo") == 1

    async def test_a_folder_that_is_there_is_not_written_into(self, stage):
        somebody_to_tell(stage, "Ada")
        folder = stage.folder / "messages 2026-03-06 1100"
        folder.mkdir()
        async with stage.open() as player:
            await player.press("t", "w", "w", "down", "enter", "enter")
            assert "is there already" in player.status
        assert list(folder.iterdir()) == []


class TestQuietHours:
    def prepare(self, stage):
        """Nine in the evening is quiet; where Ada lives it is two in the night, where Bo lives the morning."""
        somebody_to_tell(stage, "Ada", "Bo", "Cy")

        def settle(_desk):
            models.Term.create(name="quiet_direct", value="21:00-08:00", recorded_at=stage.now)
            table = models.Participant
            table.update(zone="Asia/Tokyo").where(table.name.in_(["Ada Fenn", "Cy Wold"])).execute()

        stage.do(settle)

    async def test_a_message_is_held_in_words_of_their_clock_and_left_for_later(self, stage):
        self.prepare(stage)
        async with stage.open() as player:
            await player.press("t")
            assert "Held: it is 02:00 where they are, quiet until 08:00." in player.words
            await player.press("enter")
            assert "It is 02:00 where they are, quiet until 08:00. You settled these hours" in player.words
            await player.press("enter")
            assert "@larch" in player.seen
            await player.press("y", "y")
            assert "The next one is held: it is 02:00 where they are, quiet until 08:00." in player.status
        assert [told(stage, name) for name in ("Ada", "Bo", "Cy")] == [0, 1, 0]

    async def test_it_is_copied_all_the_same_on_purpose(self, stage):
        self.prepare(stage)
        async with stage.open() as player:
            await player.press("t", "y", "down", "down", "enter")
            assert "Ada Fenn" in player.copied
            await player.press("y", "y", "y")
        assert [told(stage, name) for name in ("Ada", "Bo", "Cy")] == [1, 1, 1]

    async def test_one_alone_leaves_the_others_held(self, stage):
        self.prepare(stage)
        async with stage.open() as player:
            await player.press("t", "y", "down", "enter", "y", "y")
            assert "The next one is held" in player.status
        assert [told(stage, name) for name in ("Ada", "Bo", "Cy")] == [1, 1, 0]


class TestWhatWasCopiedCounts:
    async def test_news_that_comes_while_one_pastes_is_still_to_be_told(self, stage):
        somebody_to_tell(stage, "Ada")
        (claim,) = (item.claim for item in stage.today().tell[0].items)
        async with stage.open() as player:
            await player.press("t", "y")
            stage.done(note, claim.tag, "The maker found it.", is_news=True)
            await player.press("y")
            assert "came after this message was written: it is still to be told" in player.status
        assert told(stage, "Ada") == 1
        assert [news.word for news in stage.claim(claim.tag).news] == ["noted"]
        assert "The maker found it" not in stage.do(person_view, stage.people["Ada"]).last_told_text


class TestShortMessages:
    async def test_letters_that_make_it_longer_are_named_and_replaced_on_purpose(self, stage):
        def write_by_sms(_desk):
            table = models.Participant
            table.update(channel="sms", name="Adà Fénn-Łuków").where(table.id == stage.people["Ada"]).execute()
            models.Contact.insert(participant=stage.people["Ada"], phone="+1 555 0100").execute()

        stage.do(write_by_sms)
        tag = stage.pull("Ada", subject="Barnaby Umberline-Vermilion the Younger")
        stage.done(submit, Submit(tag=tag, reference="R1"))
        stage.later(days=4)
        async with stage.open() as player:
            await player.press("t")
            assert "2 SMS segments, with Ł, ó outside the SMS alphabet" in player.words
            assert "with plain characters in their place it is 1." in player.words
            await player.press("x", "y")
            assert "1 SMS segment" in player.words
            assert "Lukow" in player.copied
            await player.press("y")
        assert "Lukow" in stage.do(person_view, stage.people["Ada"]).last_told_text


class TestPublicList:
    @pytest.mark.parametrize("counts", [True, False])
    async def test_one_post_for_all_tells_where_the_house_says_so(self, stage, counts):
        somebody_to_tell(stage, "Ada", "Bo")
        if counts:
            stage.done(settle, Settle(name="public_list_tells", value="on"))
        async with stage.open(on_air=True) as player:
            await player.press("t", "l")
            assert "- larch: Kit Moor" in player.words or "- @larch: Kit Moor" in player.words
            assert "Bo Larch" not in player.seen
            await player.press("y")
            assert "Kit Moor" in player.copied
            await player.press("escape")
            if counts:
                assert "Was it posted?" in player.words
                await player.press("enter")
                assert told(stage, "Ada") == 0, "Enter alone tells nobody"
                await player.press("l", "escape", "down", "enter")
                assert "2 participants are told by the public list." in player.status
            else:
                assert "A posted list tells nobody here" in player.status
        assert [told(stage, name) for name in ("Ada", "Bo")] == ([1, 1] if counts else [0, 0])

"""Postage, paper and pages from the parcels at the keyboard."""

from __future__ import annotations

import csv

from breakdesk.desk.arriving import InHand, in_hand
from breakdesk.desk.shipping import start_parcel, tick
from breakdesk.desk.submitting import Submit, submit
from breakdesk.store import models

GOOD_NUMBER = "RA123456785GB"
"""A serial number of a postal item (UPU S10) whose check digit fits."""


def here(stage, owner="Ada"):
    """A claim whose card is in hand."""
    tag = stage.pull(owner)
    stage.done(submit, Submit(tag=tag, reference=f"REF-{tag}"))
    stage.done(in_hand, InHand(tag=tag))
    return tag


def parcel(stage):
    """The only parcel of the desk."""
    return stage.do(lambda _: models.Parcel.get())


class TestPapers:
    """Postage, paper and pages, from the screen."""

    async def test_postage_goes_out_is_shown_when_it_comes_back_and_the_parcel_leaves(self, stage, tmp_path):
        tag = here(stage)
        out, back = tmp_path / "out.csv", tmp_path / "back.csv"
        back.write_text(f"parcel,tracking,cost\n1,{GOOD_NUMBER},4.50\n", encoding="utf-8")
        async with stage.open(size=(120, 30)) as player:
            await player.press("f6", "f", "enter", "down", "enter")
            await player.paste(str(out), "enter")
            assert "1 parcel packed. 1 parcel in " in player.status
            with out.open(encoding="utf-8") as file:
                assert [row["name"] for row in csv.DictReader(file)] == ["Ada Fenn"]
            for key in stage.do(lambda _: [step.id for step in models.ParcelStep.select()]):
                stage.done(tick, key)
            await player.press("f", "down", "enter")
            await player.paste(str(back), "enter")
            assert "back.csv: 1 row. Nothing is saved yet." in player.words
            assert "UPU S10" in player.seen
            assert "can leave" in player.seen
            assert parcel(stage).tracking == ""
            await player.press("l")
            assert "1 parcel is on the way." in player.status
            await player.press("u", "enter")
            assert "Parcels: 1 being packed." in player.words
        assert (stage.claim(tag).state, parcel(stage).tracking, parcel(stage).cost) == ("in_hand", GOOD_NUMBER, 450)

    async def test_a_file_with_a_wrong_row_is_not_taken(self, stage, tmp_path):
        stage.done(start_parcel, [here(stage)])
        back = tmp_path / "back.csv"
        back.write_text(f"parcel,tracking\n1,{GOOD_NUMBER}\n9,{GOOD_NUMBER}\n", encoding="utf-8")
        async with stage.open(size=(120, 30)) as player:
            await player.press("f6", "f", "down", "enter")
            await player.paste(str(back), "enter")
            assert "1 that cannot be taken" in player.words
            assert "Line 3: There is no parcel 9." in player.seen
            assert "There is no parcel 9. Use our parcel numbers." in player.words
            await player.press("s")
            assert "whole or not at all" in player.status
            await player.press("escape")
            assert "Parcels: 1 being packed." in player.words
            await player.press("e")
            assert "What else is in it" in player.words
        assert parcel(stage).tracking == ""

    async def test_slips_labels_the_list_and_pages(self, stage, tmp_path):
        stage.done(start_parcel, [here(stage)])
        async with stage.open(size=(100, 30)) as player:
            await player.press("f6")
            for downs, name in ((2, "slips.pdf"), (3, "addresses.pdf"), (4, "sleeves.pdf")):
                await player.press("f", *["down"] * downs, "enter", *(["enter"] if downs > 2 else []))
                await player.paste(str(tmp_path / name), "enter")
                assert (tmp_path / name).read_bytes().startswith(b"%PDF-")
            await player.press("f", "down", "down", "enter")
            await player.paste(str(tmp_path / "desk.db"), "enter")
            assert "Name one file that ends in .pdf." in player.words
            await player.press("escape", "f", *["down"] * 5, "enter")
            assert "The Corner: to be shipped" in player.seen
            await player.press("escape", "f", *["down"] * 6, "enter")
            await player.type("Ada Fenn", "enter")
            assert "statement for Ada Fenn" in player.seen
            await player.press("escape", "f", "end", "enter")
            await player.paste(str(tmp_path / "pages"), "enter")
            assert "page" in player.status
        assert len(list((tmp_path / "pages").glob("*.html"))) == 1

    async def test_nothing_is_written_over_unasked(self, stage, tmp_path):
        stage.done(start_parcel, [here(stage)])
        path = tmp_path / "slips.pdf"
        path.write_bytes(b"mine")
        async with stage.open(size=(100, 30)) as player:
            await player.press("f6", "f", "down", "down", "enter")
            await player.paste(str(path), "enter")
            assert "slips.pdf is there already" in player.words
            await player.press("enter", "escape")
        assert path.read_bytes() == b"mine"

"""The parcels at the keyboard: what comes in, what is packed and under way, and what is printed or written."""

from __future__ import annotations

from breakdesk.desk.arriving import InHand, in_hand
from breakdesk.desk.photos import photos_of
from breakdesk.desk.settling import Close, close
from breakdesk.desk.shipping import Ship, ship, start_parcel
from breakdesk.desk.submitting import Submit, submit
from breakdesk.rules.tags import shown as tag_words
from breakdesk.store import models

GOOD_NUMBER = "RA123456785GB"
"""A serial number of a postal item (UPU S10) whose check digit fits."""


def submitted(stage, owner="Ada", **more):
    """A claim that the maker has."""
    tag = stage.pull(owner, **more)
    stage.done(submit, Submit(tag=tag, reference=f"REF-{tag}"))
    return tag


def here(stage, owner="Ada", **more):
    """A claim whose card is in hand."""
    tag = submitted(stage, owner, **more)
    stage.done(in_hand, InHand(tag=tag))
    return tag


def parcel(stage):
    """The only parcel of the desk."""
    return stage.do(lambda _: models.Parcel.get())


class TestArrivals:
    async def test_by_reference_with_its_number_and_condition(self, stage):
        tag = stage.pull(numbered_to=25)
        stage.done(submit, Submit(tag=tag, reference="REF-77"))
        async with stage.open() as player:
            await player.press("f6", "i")
            await player.type("ref-77", "enter")
            await player.type("7", "enter")
            await player.press("enter")
            await player.type("a soft corner", "enter")
            assert f"{tag_words(tag)} is in hand" in player.status
            assert "1 came in. To be told: Ada Fenn" in player.words
        claim = stage.claim(tag)
        assert (claim.state, claim.serial) == ("in_hand", 7)

    async def test_by_a_fragment_of_the_name_the_likeliest_first(self, stage):
        tags = {}
        for subject, variation in (("Kit Moor", "Gold"), ("Kit Moor", "Blue"), ("Una Dale", "Gold")):
            tags[subject, variation] = stage.pull(subject=subject, variation=variation)
            stage.done(submit, Submit(tag=tags[subject, variation], reference=""))
        async with stage.open() as player:
            await player.press("f6", "i")
            await player.type("moo gold")
            assert "2 claims it can be, the likeliest first." in player.words
            assert f"▸ {tag_words(tags['Kit Moor', 'Gold'])}" in player.seen
            await player.press("down", "enter", "enter", "enter")
        assert stage.claim(tags["Kit Moor", "Gold"]).state == "in_hand"

    async def test_a_damaged_card_is_claimed_anew_and_a_typed_serial_is_not_asked_for(self, stage):
        tag = stage.pull(numbered_to=25)
        stage.done(submit, Submit(tag=tag, reference="R1"))
        async with stage.open() as player:
            await player.press("f6", "i")
            await player.type("moor 7/25", "enter")
            await player.press("down", "down", "down", "down", "enter")
            await player.type("a crease", "enter")
            assert "It came damaged" in player.status
            await player.press("f5")
            await player.type(tag, "enter")
            assert "came damaged: another one is claimed as" in player.words
        assert (stage.claim(tag).closed_how, stage.claim(tag).serial) == ("replaced", 7)

    async def test_only_a_part_came(self, stage):
        tag = stage.pull()
        stage.done(submit, Submit(tag=tag, reference="R"))
        async with stage.open() as player:
            await player.press("f6", "i")
            await player.type(tag, "enter", "down", "down", "down", "enter")
            await player.type("the second card", "enter", "enter")
        whole = stage.claim_id(tag)
        rest = stage.do(lambda _: models.Claim.get(models.Claim.split_from == whole))
        assert (rest.subject, rest.state) == ("the second card", "submitted")

    async def test_what_fits_nothing_is_kept_to_be_found_out(self, stage):
        async with stage.open() as player:
            await player.press("f6", "i")
            await player.type("Somebody Else 3/10", "enter")
            assert "No claim that waits fits this." in player.words
            await player.press("down", "enter")
            assert "is kept as the house's until you find out whose it is" in player.status
        assert [item.why for item in stage.today().decide] == ["follow_up"]

    async def test_a_number_above_the_run_is_doubted_before_it_is_kept(self, stage):
        tag = submitted(stage, numbered_to=25)
        async with stage.open() as player:
            await player.press("f6", "i")
            await player.type(tag, "enter")
            await player.type("26", "enter")
            assert "Serial 26 does not fit a run of 25" in player.words
            await player.press("enter")
            await player.type("6", "enter", "enter", "enter")
        assert stage.claim(tag).serial == 6

    async def test_what_was_bought_out_is_said_at_once(self, stage):
        tag = submitted(stage)
        stage.done(close, Close(tag=tag, how="refunded", amount="5", fault="maker"))
        async with stage.open() as player:
            await player.press("f6", "i")
            await player.type(tag)
            assert "the card is the house's now" in player.words
            await player.press("enter", "enter", "enter")
            assert "1 came in." in player.words

    async def test_the_end_of_an_envelope(self, stage):
        for owner, subject in (("Ada", "Kit Moor"), ("Bo", "Una Dale")):
            submitted(stage, owner, subject=subject)
        async with stage.open(size=(100, 30)) as player:
            await player.press("f6", "i")
            await player.type("kit moor", "enter", "enter", "enter")
            await player.type("una dale", "enter", "enter", "enter")
            assert "2 came in. To be told: Ada Fenn, Bo Larch. w ends the envelope." in player.words
            await player.press("escape", "w")
            await player.type("3", "enter")
            assert "You counted 3, but 2 cards were taken in." in player.words
            await player.press("enter", "w")
            await player.type("2", "enter")
            assert "Ada Fenn, by Tue 3 Mar: " in player.words
            await player.press("escape")
            assert "To be told" not in player.words

    async def test_on_air_a_code_is_dots_and_what_one_sees_is_not(self, stage):
        async with stage.open(on_air=True) as player:
            await player.press("f6", "i")
            await player.type("kit moor 7/25")
            assert "kit moor 7/25" in player.seen
            await player.press("escape", "i")
            await player.type("ab12-cd34")
            assert "cd34" not in player.seen
            assert "••••" in player.seen

    async def test_photos_are_kept_while_it_is_taken_in(self, stage, tmp_path):
        tag = submitted(stage)
        picture = tmp_path / "front side.png"
        picture.write_bytes(b"\x89PNG\r\n\x1a\n" + bytes(40))
        async with stage.open() as player:
            await player.press("f6", "i")
            await player.type(tag, "enter", "down", "enter")
            await player.paste(str(picture), "enter", "enter")
        key = stage.claim_id(tag)
        (kept,) = stage.do(lambda desk: photos_of(desk, key))
        assert kept.whole


class TestParcels:
    def on_its_way(self, stage, owner="Ada"):
        """A parcel that was shipped."""
        tag = here(stage, owner)
        stage.done(start_parcel, [tag])
        number = parcel(stage).id
        stage.done(ship, Ship(parcel_id=number, tracking=GOOD_NUMBER, reason="test"))
        return tag

    async def test_delivered(self, stage):
        tag = self.on_its_way(stage)
        async with stage.open() as player:
            await player.press("f6")
            assert "Parcels: 1 on its way." in player.words
            await player.press("d")
            assert "No parcel is open." in player.words
        assert (stage.claim(tag).state, stage.claim(tag).closed_how) == ("closed", "delivered")

    async def test_lost_waits_for_a_decision(self, stage):
        tag = self.on_its_way(stage)
        async with stage.open() as player:
            await player.press("f6", "x", "enter")
            assert "Parcels: 1 lost." in player.words
        assert [item.why for item in stage.today().decide] == ["lost"]
        assert stage.claim(tag).lost_how == "lost"

    async def test_the_pick_list_does_the_same(self, stage):
        tag = self.on_its_way(stage)
        async with stage.open() as player:
            await player.press("f6", "enter", "down", "down", "enter", "enter")
            assert "Parcels: 1 damaged on the way." in player.words
            assert "report the damage to the carrier" in player.words
            await player.press("e", *["down"] * 4, "enter")
            await player.type("to their form", "enter")
            assert "is reported" in player.status
        assert stage.claim(tag).lost_how == "damaged"

    async def test_a_parcel_being_packed_leads_to_the_ship_round(self, stage):
        here(stage, "Bo")
        stage.done(start_parcel, [here(stage, "Cy")])
        async with stage.open() as player:
            await player.press("f6", "x")
            assert "It has not left yet" in player.status
            await player.press("enter")
            assert "▸ Cy Wold" in player.seen

    async def test_undo_of_delivered(self, stage):
        tag = self.on_its_way(stage)
        async with stage.open() as player:
            await player.press("f6", "d", "u", "enter")
            assert "Parcels: 1 on its way." in player.words
        assert stage.claim(tag).state == "shipped"

    async def test_on_air_the_tracking_number_is_hidden(self, stage):
        self.on_its_way(stage)
        async with stage.open(on_air=True, size=(140, 40)) as player:
            await player.press("f6")
            assert GOOD_NUMBER not in player.seen
            assert "Ada Fenn" not in player.seen


class TestAboutAParcel:
    """What goes along, who gets it, and whose parcel waits."""

    async def test_lines_a_note_a_weight_and_the_slip(self, stage):
        stage.done(start_parcel, [here(stage)])
        async with stage.open(size=(100, 30)) as player:
            await player.press("f6", "e", "enter")
            await player.type("3 other hits; a team bag", "enter")
            await player.press("e", "down", "enter")
            await player.type("All the best", "enter")
            await player.press("e", "down", "down", "enter")
            await player.type("0", "enter")
            assert "Write a whole number of grams" in player.words
            await player.press("backspace")
            await player.type("85", "enter")
            await player.press("e", "down", "down", "down", "down", "enter")
            assert "[ ] a team bag" in player.seen
            assert "All the best" in player.seen
        assert (parcel(stage).extra, parcel(stage).weight_grams) == ("3 other hits\na team bag", 85)

    async def test_what_came_since_is_put_in(self, stage):
        stage.done(start_parcel, [here(stage)])
        tag = here(stage, subject="Una Dale")
        async with stage.open(size=(100, 30)) as player:
            await player.press("p")
            assert "1 card came since: e puts them in." in player.words
            await player.press("e")
            assert f"Put in what came since: {tag_words(tag)}" in player.seen
            await player.press("enter")
            assert "Parcel 1 holds 2 cards now." in player.status
        assert stage.claim(tag).parcel_id == 1

    async def test_a_gift_goes_to_somebody_else_and_back(self, stage):
        stage.done(start_parcel, [here(stage)])
        async with stage.open(size=(100, 30), on_air=True) as player:
            await player.press("f6", "e", "down", "down", "down", "enter")
            await player.type("Uncle Bob", "enter")
            await player.type("9 Hill Way, Town", "enter", "enter")
            assert "goes to" in player.status
            assert "Bob" not in player.seen
            assert parcel(stage).recipient_id is not None
            await player.press("e", "down", "down", "down", "enter")
        assert parcel(stage).recipient_id is None

    async def test_a_parcel_waits_for_other_cards_until_it_waits_no_longer(self, stage):
        here(stage)
        stage.pull()
        async with stage.open(size=(100, 30)) as player:
            await player.press("p", "e", "enter")
            await player.type("the next order", "enter")
            assert "Nothing is left to be shipped." in player.words
            await player.press("escape", "f6")
            assert "Parcels: 1 waiting for more." in player.words
            await player.press("e")
            assert "1 card still to come." in player.words
            await player.press("enter")
            assert "No parcel is open." in player.words
        assert len(stage.today().ship) == 1

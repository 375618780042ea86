"""Envelopes from makers: cards recognised, counted in, and whom to write at the end; photos, damage and evidence."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest

from breakdesk.desk import asking, damage, direct, envelopes, photos, settling, submitting, terms, undoing
from breakdesk.desk.envelopes import CardLine
from breakdesk.desk.recognising import Recognised, open_counter, recognise
from breakdesk.desk.undoing import last_actions
from breakdesk.rules.money import Money
from breakdesk.store import models

DAY = date(2026, 3, 2)
PNG = b"\x89PNG\r\n\x1a\n" + bytes(40)


def submitted(world: Any, owner: str = "Ada", reference: str = "", ship_to: str = "house", **pulled: Any) -> str:
    tag: str = world.pull(owner, **pulled)
    world.done(submitting.submit(world.desk, submitting.Submit(tag=tag, reference=reference, ship_to=ship_to)))
    return tag


def look(world: Any, line: str, maker: str | None = None) -> Recognised:
    counter = open_counter(world.desk, world.makers[maker] if maker else None)
    return recognise(world.desk, counter, line)


def book(world: Any, *lines: str | CardLine, **more: Any) -> Any:
    cards = [CardLine(line=line) if isinstance(line, str) else line for line in lines]
    tracking = more.pop("tracking", "")
    envelope = envelopes.read_envelope(world.desk, open_counter(world.desk), cards, tracking)
    return envelope, envelopes.book_envelope(world.desk, envelope, **more)


class TestRecognising:
    def test_by_tag_reference_code_and_tracking_number(self, world: Any) -> None:
        tag = submitted(world, reference="RF 77", code="AB12-CD34")
        world.done(asking.answer(world.desk, asking.Answer(tags=[tag], word="on_its_way", inbound_tracking="ZZ 9 123")))
        for line in (tag.lower(), "rf 77", "ab12cd34", "ZZ9123", f"{tag} 7/25"):
            found = look(world, line)
            assert (found.exact, [match.claim.tag for match in found.matches]) == (True, [tag]), line

    def test_the_best_fit_comes_first(self, world: Any) -> None:
        blue = submitted(world, "Ada", variation="Blue", numbered_to=99)
        gold = submitted(world, "Bo", variation="Gold", numbered_to=25)
        plain = submitted(world, "Cy")
        assert look(world, "kit moor gold 3/25").sure.claim.tag == gold  # type: ignore[union-attr]
        assert look(world, "kit moor blue /99").sure.claim.tag == blue  # type: ignore[union-attr]
        assert look(world, "moor, kit").sure.claim.tag == plain  # type: ignore[union-attr]
        assert look(world, "somebody else").matches == ()

    def test_the_maker_who_sent_it_decides(self, world: Any) -> None:
        submitted(world, "Ada")
        other = submitted(world, "Bo", maker="Rising Press")
        assert look(world, "kit moor").sure is None
        assert look(world, "kit moor", "Rising Press").sure.claim.tag == other  # type: ignore[union-attr]
        assert look(world, "rising kit moor").sure.claim.tag == other  # type: ignore[union-attr]

    def test_equal_cards_of_two_people_are_asked_about(self, world: Any) -> None:
        submitted(world, "Ada")
        submitted(world, "Bo")
        found = look(world, "kit moor")
        assert (len(found.matches), found.sure) == (2, None)

    def test_what_was_not_promised_is_never_sure(self, world: Any) -> None:
        submitted(world, variation="Blue", numbered_to=99)
        found = look(world, "kit moor gold 3/25")
        assert found.sure is None
        assert "nobody offered a replacement" in found.matches[0].odd[0]

    def test_one_of_two_and_a_number_that_cannot_be_are_never_sure_by_a_line_but_by_a_tag(self, world: Any) -> None:
        both = submitted(world, subject="Kit Moor;Una Dale")
        short = submitted(world, "Bo", subject="Ana Reed", numbered_to=25)
        for line, tag in (("kit moor", both), ("ana reed 26/25", short)):
            found = look(world, line)
            assert (found.matches[0].claim.tag, found.sure) == (tag, None)
        assert look(world, "kit moor una dale").sure is not None
        assert look(world, f"{short} 26/25").sure is not None

    def test_a_variation_of_the_checklist_was_not_seen_on_the_card(self, world: Any) -> None:
        tag = submitted(world, numbered_to=25)
        with world.desk.database.atomic():
            product = world.products["Tern Cards"]
            models.Card.create(product=product, subject="Kit Moor", variation="Ruby", numbered_to=25, row_digest="1")
        assert look(world, "kit moor 3/25").sure.claim.tag == tag  # type: ignore[union-attr]

    def test_a_serial_that_another_claim_has(self, world: Any) -> None:
        first = submitted(world, "Ada", numbered_to=25, serial=7)
        tag = submitted(world, "Bo", numbered_to=25)
        assert f"Claim {first} has serial 7" in look(world, f"{tag} 7/25").matches[0].odd[0]


class TestEnvelope:
    def test_counted_in_by_one_action_with_whom_to_write(self, world: Any) -> None:
        one, two = submitted(world, "Ada"), submitted(world, "Bo", subject="Ana Reed", value=1000)
        own = submitted(world, "house", subject="Lo Vane")
        envelope, result = book(world, "kit moor", CardLine(line="ana reed", condition="corner soft"), own, by_hand=3)
        done = world.done(result)
        assert envelope.doubtful == ()
        assert [world.claim(tag).state for tag in (one, two, own)] == ["in_hand"] * 3
        people = envelopes.whom_to_write(world.desk, done.claims)
        assert [(row.name, row.ask_address, row.tell_by) for row in people] == [
            ("Ada Fenn", True, date(2026, 3, 3)),
            ("Bo Larch", True, date(2026, 3, 3)),
        ]
        world.done(undoing.undo(world.desk, done.key))
        assert world.claim(one).state == "submitted"

    def test_two_equal_cards_of_one_person_go_to_two_claims(self, world: Any) -> None:
        older = submitted(world)
        world.later(3)
        newer = submitted(world)
        envelope, result = book(world, "kit moor", "kit moor")
        world.done(result)
        assert [card.chosen.claim.tag for card in envelope.cards if card.chosen] == [older, newer]

    def test_another_count_is_refused(self, world: Any) -> None:
        submitted(world)
        assert (
            "11 cards were counted, but 1 are named"
            in world.refused(lambda: book(world, "kit moor", by_hand=11)[1]).what
        )

    def test_what_the_maker_said_was_in_it(self, world: Any) -> None:
        tags = [submitted(world, subject=name) for name in ("Kit Moor", "Ana Reed")]
        world.done(asking.answer(world.desk, asking.Answer(tags=tags, word="on_its_way", inbound_tracking="ZZ9123")))
        envelope, _ = book(world, "kit moor", tracking="zz 9123")
        assert [claim.tag for claim in envelope.expected] == [tags[1]]

    def test_a_card_that_was_bought_out_is_the_houses(self, world: Any) -> None:
        tag = submitted(world)
        world.done(settling.close(world.desk, settling.Close(tag=tag, how="bought_out", amount="5", fault="nobody")))
        envelope, result = book(world, "kit moor")
        assert "the card is the house's now" in envelope.cards[0].chosen.odd[0]
        assert "It is the house's" in world.done(result).warnings[0]

    def test_a_card_that_fits_no_claim_is_kept_and_decided(self, world: Any) -> None:
        done = world.done(envelopes.keep_stranger(world.desk, "Zed Unknown 3/10"))
        tag = world.claims(done.claims)[0].tag
        assert (world.claim(tag).owner_kind, world.why(tag)) == ("house", ["follow_up"])
        world.refused(lambda: envelopes.keep_stranger(world.desk, "  "))

    def test_a_serial_finds_its_owner_and_a_part_waits_on(self, world: Any) -> None:
        tag = submitted(world, subject="Kit Moor")
        _, result = book(world, CardLine(line=tag, still_owed="Ana Reed", as_promised=False, serial=3))
        assert "waits on as" in world.done(result).warnings[0]
        assert world.why(tag) == ["follow_up"]


class TestPhotos:
    def test_a_copy_with_its_digest_is_kept(self, world: Any, tmp_path: Path) -> None:
        tag = submitted(world)
        picture = tmp_path / "..weird name;.PNG"
        picture.write_bytes(PNG)
        world.done(photos.keep_photos(world.desk, tag, [picture]))
        (kept,) = photos.photos_of(world.desk, world.claim(tag).id)
        picture.unlink()
        assert (kept.whole, kept.what, kept.path.read_bytes(), kept.path.suffix) == (True, "condition", PNG, ".png")
        assert kept.path.parent == world.desk.folder / "photos"
        kept.path.write_bytes(PNG + b"x")
        assert not photos.photos_of(world.desk, world.claim(tag).id)[0].whole
        kept.path.write_bytes(PNG)

    def test_the_same_photo_twice_is_kept_once_and_an_undo_takes_it_out(self, world: Any, tmp_path: Path) -> None:
        tag = submitted(world)
        picture = tmp_path / "a.png"
        picture.write_bytes(PNG)
        world.done(photos.keep_photos(world.desk, tag, [picture, picture]))
        assert len(photos.photos_of(world.desk, world.claim(tag).id)) == 1
        world.done(undoing.undo(world.desk, last_actions(1)[0].key))
        assert photos.photos_of(world.desk, world.claim(tag).id) == ()

    @pytest.mark.parametrize("content", [b"", b"<svg onload=x>", b"%PDF-1.7"])
    def test_what_is_no_picture_is_refused_and_nothing_stays(self, world: Any, tmp_path: Path, content: bytes) -> None:
        tag = submitted(world)
        good, bad = tmp_path / "a.png", tmp_path / "b.png"
        good.write_bytes(PNG)
        bad.write_bytes(content)
        assert "no picture" in world.refused(lambda: photos.keep_photos(world.desk, tag, [good, bad])).what
        assert list((world.desk.folder / "photos").iterdir()) == []
        world.refused(lambda: photos.keep_photos(world.desk, tag, [tmp_path / "none.png"]))
        world.refused(lambda: photos.keep_photos(world.desk, tag, []))


class TestDamage:
    def test_a_damaged_card_becomes_a_claim_of_its_own(self, world: Any) -> None:
        tag = submitted(world, value=2500)
        _, result = book(world, CardLine(line=tag, damaged="a crease through the middle"))
        done = world.done(result)
        old, new = world.claim(tag), next(c for c in world.claims(done.claims) if c.tag != tag)
        assert (old.state, old.closed_how, old.fault, old.news) == ("closed", "replaced", "maker", ())
        assert (new.kind, new.state, new.linked_to, new.owner_id) == ("damage", "pulled", old.id, world.people["Ada"])
        assert (new.value, new.currency) == (2500, "USD") == (Money(2500, "USD").minor, "USD")
        assert world.news(new.tag) == {world.people["Ada"]: "noted"}
        world.done(undoing.undo(world.desk, done.key))
        assert (world.claim(tag).state, world.claim(new.tag).state) == ("submitted", "void")

    def test_evidence_is_gathered_piece_by_piece(self, world: Any) -> None:
        for name, value in (("damage_evidence", "photo; wrapper ;receipt"), ("damage_within_days", "2")):
            request = terms.Settle(name=name, value=value, maker="Tern Cards")
            world.done(terms.settle(world.desk, request))
        tag = world.pull(kind="damage")
        view = damage.evidence_view(world.desk, tag)
        assert view is not None
        assert (view.missing, view.until) == (("photo", "wrapper", "receipt"), date(2026, 3, 4))
        said = world.done(damage.gather_evidence(world.desk, tag, "wrap")).said
        assert "wrapper is here. Still missing: photo, receipt" in said
        assert "wants: photo" in world.refused(lambda: damage.gather_evidence(world.desk, tag, "glove")).remedy
        world.done(damage.gather_evidence(world.desk, tag, "wrapper", got=False))
        assert damage.evidence_view(world.desk, tag).got == ()  # type: ignore[union-attr]
        other = world.pull()
        assert damage.evidence_view(world.desk, other) is None
        world.refused(lambda: damage.gather_evidence(world.desk, other, "photo"))

    def test_the_makers_window_is_the_last_day_to_submit(self, world: Any) -> None:
        request = terms.Settle(name="shortage_within_days", value="1", maker="Tern Cards")
        world.done(terms.settle(world.desk, request))
        tag = world.pull(kind="shortage")
        (item,) = [item for item in world.today().submit if item.claim.tag == tag]
        assert item.submit_by.isoformat() == "2026-03-04T06:00:00+00:00"

    def test_the_damaged_card_goes_back_and_may_return(self, world: Any) -> None:
        tag = world.pull(kind="damage")
        world.refused(lambda: damage.came_back(world.desk, tag))
        world.done(damage.send_back(world.desk, tag, "RA473124829GB"))
        view = damage.evidence_view(world.desk, tag)
        assert view is not None
        assert (view.sent_back_on, view.sent_back_tracking, view.came_back_on) == (DAY, "RA473124829GB", None)
        world.done(damage.came_back(world.desk, tag))
        world.refused(lambda: damage.came_back(world.desk, tag))
        other = world.pull()
        world.refused(lambda: damage.send_back(world.desk, other, "X"))


class TestDirect:
    def test_from_the_maker_to_the_participant_without_an_arrival_here(self, world: Any) -> None:
        tag = submitted(world, ship_to="participant")
        world.done(direct.maker_shipped(world.desk, tag, "RA473124829GB"))
        claim = world.claim(tag)
        assert (claim.state, claim.inbound_tracking) == ("submitted", "RA473124829GB")
        assert world.news(tag) == {world.people["Ada"]: "noted"}
        world.done(direct.participant_has_it(world.desk, tag))
        assert (world.claim(tag).closed_how, world.claim(tag).in_hand_on) == ("delivered", None)

    def test_only_what_was_to_be_sent_straight_there(self, world: Any) -> None:
        tag = submitted(world)
        assert "to the house" in world.refused(lambda: direct.maker_shipped(world.desk, tag)).what
        world.done(direct.set_ship_to(world.desk, tag, "participant"))
        world.done(direct.maker_shipped(world.desk, tag))
        world.refused(lambda: direct.set_ship_to(world.desk, tag, "moon"))

    def test_who_moved_hears_of_every_card_on_its_way_to_the_old_address(self, world: Any) -> None:
        tag = submitted(world, ship_to="participant")
        submitted(world)
        assert [claim.tag for claim in direct.going_straight_to(world.desk, world.people["Ada"])] == [tag]

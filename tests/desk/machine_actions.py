"""What else a person may do at the desk in a random walk, one function an action, by a word."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import Any, ClassVar

from hypothesis import strategies as st
from hypothesis.stateful import rule

from breakdesk.desk import (
    asking,
    breaks,
    codes,
    combining,
    consent,
    correcting,
    damage,
    decide_cards,
    direct,
    drawing,
    entering,
    envelopes,
    erasing,
    following,
    handing,
    holidays,
    house,
    looking,
    lost_cards,
    maker_list,
    makers,
    merging,
    night_photos,
    notices,
    parcel_details,
    people,
    photos,
    postage_back,
    preferences,
    public_list,
    reaching,
    recognising,
    shipping,
    start_line,
    submitting,
    terms,
    told,
    trades,
    transferring,
    undoing,
    video,
)
from breakdesk.rules.entry import Reading
from breakdesk.rules.entry.reading import Field
from breakdesk.rules.ownership import Owner
from breakdesk.store import models

PICK = st.integers(0, 10_000)
NAMES = ("Ada Fenn", "Bo Larch", "Cy Wold")
MAKERS = ("Tern Cards", "Rising Press", "Setting Press")
HOUSE_TERMS = (
    ("update_every_days", "30"),
    ("submit_within_days", "9"),
    ("public_list_tells", "on"),
    ("consent_needed", "on"),
    ("consent_needed", "off"),
    ("delay_notices", "on"),
)
MAKER_TERMS = (
    ("ask_every_days", "20"),
    ("expired_policy", "refuses"),
    ("zone", "Asia/Tokyo"),
)
FIELDS = (
    ("value", "12.00 USD"),
    ("subject", "Lee Dunn"),
    ("expires_on", "2026-04-01"),
    ("kind", "damage"),
    ("plan", "give"),
    ("box", "2"),
)
PICTURE = b"\x89PNG\r\n\x1a\n"
Do = Callable[[Any, str, int], Any]


def name_of(pick: int) -> str:
    return NAMES[pick % 3]


def person_id(m: Any, pick: int) -> int | None:
    return [*m.world.people.values(), None][pick % 4]


def day(m: Any, pick: int) -> Any:
    return m.world.now.date() + timedelta(days=1 + pick % 20)


ON_A_CLAIM: dict[str, Do] = {
    "seen": lambda m, tag, pick: submitting.seen_on_camera(m.desk, tag, pick % 100),
    "seen now": lambda m, tag, _: video.seen_now(m.desk, tag, "@viewer"),
    "another maker": lambda m, tag, pick: submitting.move_to_maker(m.desk, tag, MAKERS[pick % 3]),
    "code": lambda m, tag, pick: codes.enter_code(m.desk, tag, f"CODE{pick:05}"),
    "show code": lambda m, tag, _: codes.show_code(m.desk, tag)[0],
    "consent": lambda m, tag, pick: consent.record_consent(m.desk, tag, ("refunded", "credited")[pick % 2], "in chat"),
    "keep and sell": lambda m, tag, _: consent.keep_and_sell(m.desk, tag, "on the phone"),
    "sold": lambda m, tag, _: consent.sold_for_them(m.desk, tag, "9.00"),
    "correct": lambda m, tag, pick: correcting.correct(m.desk, tag, *FIELDS[pick % len(FIELDS)]),
    "came damaged": lambda m, tag, _: damage.came_damaged(m.desk, tag, "a corner"),
    "evidence": lambda m, tag, pick: damage.gather_evidence(m.desk, tag, ("photo of the card", "wrapper")[pick % 2]),
    "send back": lambda m, tag, _: damage.send_back(m.desk, tag, "T9"),
    "came back": lambda m, tag, _: damage.came_back(m.desk, tag),
    "straight there": lambda m, tag, pick: direct.set_ship_to(m.desk, tag, ("participant", "house")[pick % 3 // 2]),
    "maker shipped": lambda m, tag, _: direct.maker_shipped(m.desk, tag, "T8"),
    "they have it": lambda m, tag, _: direct.participant_has_it(m.desk, tag),
    "card lost": lambda m, tag, _: lost_cards.card_is_lost(m.desk, tag, "by the lamp"),
    "card found": lambda m, tag, _: lost_cards.card_is_found(m.desk, tag, "under the lamp"),
    "hand over": lambda m, tag, pick: handing.hand_over(m.desk, tag, person_id(m, pick), "they asked"),
    "settle": lambda m, tag, pick: handing.settle(m.desk, tag, person_id(m, pick), "by a coin on camera"),
    "swap": lambda m, tag, pick: handing.swap_claims(m.desk, tag, m.tag(pick // 7), "agreed"),
    "transfer": lambda m, tag, pick: transferring.transfer(
        m.desk, transferring.Transfer(tag=tag, to=name_of(pick), how="gift", knew_code=bool(pick % 2))
    ),
    "prepare a draw": lambda m, tag, _: drawing.prepare_for_claim(m.desk, tag),
    "photo": lambda m, tag, pick: photos.keep_photos(m.desk, tag, [picture(m, pick)], ("condition", "code")[pick % 2]),
    "photos of a night": lambda m, tag, pick: night_photos.keep_night_photos(
        m.desk, [(m.world.claim(tag).id, picture(m, pick))]
    ),
    "delay notice": lambda m, tag, _: notices.give_notice(m.desk, [tag], "It takes longer."),
    "one letter": lambda m, tag, pick: asking.answers(
        m.desk, [asking.Answer(tags=[one], word="no_news") for one in {tag, m.tag(pick // 3)}]
    ),
    "park": lambda m, tag, pick: following.park_items(m.desk, "submit", [m.world.claim(tag).id], day(m, pick), "later"),
    "one card failed": lambda m, tag, pick: shipping.card_failed(m.desk, tag, ("lost", "returned")[pick % 2]),
}
"""By what happens to one claim."""
WITH_A_PERSON: dict[str, Do] = {
    "add": lambda m, _, pick: people.add_person(m.desk, people.NewPerson(name=f"Di Moss {pick % 5}")),
    "promise": lambda m, name, pick: people.promise(m.desk, name, day(m, pick), "call back"),
    "kept": lambda m, _, pick: people.kept_promise(m.desk, pick % 3 + 1),
    "moved promise": lambda m, _, pick: decide_cards.move_promise(m.desk, pick % 3 + 1, day(m, pick), "not home"),
    "wish": lambda m, name, pick: people.set_wish(m.desk, name, ("wait", "take", "ask")[pick % 3]),
    "prefer": lambda m, name, pick: preferences.prefer(
        m.desk, name, preferences.Preferences(channel=("email", "chat", "")[pick % 3], email=f"a{pick}@x.example")
    ),
    "opt out": lambda m, name, pick: preferences.opt_out(m.desk, name, out=bool(pick % 2)),
    "channel": lambda m, _, pick: reaching.set_channel(m.desk, pick % 3 + 1, ("chat", "sms")[pick % 2]),
    "combine": lambda m, name, pick: combining.combine(m.desk, name, day(m, pick), "one parcel"),
    "end combining": lambda m, name, _: combining.end_combining(m.desk, name),
    "merge": lambda m, name, pick: merging.merge(m.desk, name, name_of(pick // 3)),
    "split": lambda m, name, _: merging.split(m.desk, name),
    "erase": lambda m, name, pick: pick % 4 == 0 and erasing.erase(m.desk, name, although_owed=True),
    "tell again": lambda m, _, pick: told.tell_again(m.desk, pick % 3 + 1),
    "public list": lambda m, _n, _p: public_list.posted(m.desk, public_list.public_list(m.desk)),
    "offers by the rule": lambda m, _n, _p: transferring.settle_unanswered(m.desk),
}
"""By what happens to a participant, or to what they were promised and told."""
IN_THE_HOUSE: dict[str, Do] = {
    "house term": lambda m, _, pick: terms.settle(m.desk, house_term(m, pick)),
    "maker term": lambda m, maker, pick: terms.settle(m.desk, maker_term(maker, pick)),
    "closed day": lambda m, maker, pick: terms.note_closed_day(m.desk, maker, day(m, pick), "stock-taking"),
    "open day": lambda m, maker, pick: terms.drop_closed_day(m.desk, maker, day(m, pick)),
    "start line": lambda m, _, pick: start_line.draw_start_line(m.desk, pick % 5),
    "name": lambda m, _n, _p: house.name_house(m.desk, "The Other Corner"),
    "contact": lambda m, maker, _: maker_list.keep_contact(m.desk, maker, "claims@tern.example"),
    "new maker": lambda m, _, pick: maker_list.add_maker(m.desk, f"Loon Press {pick % 3}"),
    "mark": lambda m, maker, pick: makers.mark_maker(
        m.desk, makers.MarkMaker(maker=maker, what="closed", review_on=day(m, pick), text="They closed.")
    ),
    "look again": lambda m, maker, pick: makers.look_again(m.desk, maker, day(m, pick)),
    "holidays": lambda m, _n, _p: holidays.look_ahead(m.desk),
    "clear": lambda m, maker, _: makers.clear_maker(m.desk, maker),
    "look": lambda m, maker, pick: looking.look(m.desk, maker, m.tags, pick % 2),
}
"""By what is set for the house and its makers."""
IN_A_BREAK: dict[str, Do] = {
    "start": lambda m, _n, _p: breaks.start_break(m.desk, m.break_id),
    "end": lambda m, _, pick: breaks.end_break(m.desk, m.break_id, pick % 3),
    "video": lambda m, _, pick: video.set_video(m.desk, m.break_id, "https://video.example/1", day(m, pick)),
    "offset": lambda m, _, pick: video.correct_offset(m.desk, m.break_id, pick % 300),
    "trade": lambda m, _, pick: trades.trade(m.desk, m.break_id, ("herons for otters", "herons to house")[pick % 2]),
    "list": lambda m, _n, _p: trades.paste_list(m.desk, m.break_id, "Ada Fenn Otters\nBo Larch Herons"),
    "swap people": lambda m, _n, _p: handing.swap_people(m.desk, m.break_id, 1, 2, "agreed"),
    "prepare the spots": lambda m, _n, _p: drawing.prepare_for_spots(m.desk, m.break_id, [1, 2]),
    "reveal": lambda m, _n, _p: [drawing.reveal_draw(m.desk, one, ["fern"])[0] for one in draws(m)],
    "drop": lambda m, _n, _p: [drawing.drop_draw(m.desk, one, "too late") for one in draws(m)],
    "pull": lambda m, _, pick: pull_in_the_break(m, pick),
}
"""By what happens in the break."""
AT_THE_TABLE: dict[str, Do] = {
    "envelope": lambda m, tag, _: envelopes.book_envelope(
        m.desk, envelopes.read_envelope(m.desk, recognising.open_counter(m.desk), [envelopes.CardLine(line=tag)])
    ),
    "stranger": lambda m, _, pick: envelopes.keep_stranger(m.desk, f"Lee Dunn {pick % 3}"),
    "tick": lambda m, _, pick: shipping.tick(m.desk, pick % 12 + 1, done=bool(pick % 3)),
    "contents": lambda m, _, pick: parcel_details.set_contents(
        m.desk, pick % 3 + 1, parcel_details.Contents(lines=["a pin"], weight_grams=90)
    ),
    "gift": lambda m, _, pick: parcel_details.send_to(
        m.desk, pick % 3 + 1, ("Di Moss", "")[pick % 2], "2 Low Road", "US"
    ),
    "report loss": lambda m, _, pick: parcel_details.report_loss(m.desk, pick % 3 + 1),
    "postage": lambda m, _, pick: postage_back.take_postage(
        m.desk, [postage_back.Bought(line=2, parcel=str(pick % 3 + 1), tracking=f"T{pick}", cost="4.10")]
    ),
    "leave": lambda m, _n, _p: postage_back.leave_together(m.desk, packed()),
    "undo the last": lambda m, _n, _p: undoing.undo(m.desk, undoing.last_actions(1)[0].key),
}
"""By what happens at the packing table."""


EVERY = frozenset(
    f"{of}: {word}"
    for of, words in {
        "claim": ON_A_CLAIM, "person": WITH_A_PERSON, "house": IN_THE_HOUSE, "break": IN_A_BREAK, "table": AT_THE_TABLE,
    }.items()
    for word in words
)  # fmt: skip


class MoreActions:
    """Rules for a machine that has `world`, `desk`, `break_id`, `tags`, `tag` and `note`."""

    did: ClassVar[Counter[str]] = Counter()
    """How often each was not refused, over all walks."""

    def try_it(self: Any, do: Do, what: str, named: str, pick: int) -> None:
        if self.note(do(self, named, pick)):
            self.did[what] += 1

    @rule(pick=PICK, word=st.sampled_from(sorted(ON_A_CLAIM)))
    def on_a_claim(self: Any, pick: int, word: str) -> None:
        if self.tags:
            self.try_it(ON_A_CLAIM[word], f"claim: {word}", self.tag(pick), pick)

    @rule(pick=PICK, word=st.sampled_from(sorted(WITH_A_PERSON)))
    def with_a_person(self: Any, pick: int, word: str) -> None:
        self.try_it(WITH_A_PERSON[word], f"person: {word}", name_of(pick), pick)

    @rule(pick=PICK, word=st.sampled_from(sorted(IN_THE_HOUSE)))
    def in_the_house(self: Any, pick: int, word: str) -> None:
        self.try_it(IN_THE_HOUSE[word], f"house: {word}", MAKERS[pick % 3], pick)

    @rule(pick=PICK, word=st.sampled_from(sorted(IN_A_BREAK)))
    def in_a_break(self: Any, pick: int, word: str) -> None:
        self.try_it(IN_A_BREAK[word], f"break: {word}", "", pick)

    @rule(pick=PICK, word=st.sampled_from(sorted(AT_THE_TABLE)))
    def at_the_table(self: Any, pick: int, word: str) -> None:
        if self.tags:
            self.try_it(AT_THE_TABLE[word], f"table: {word}", self.tag(pick), pick)


def open_break(m: Any) -> int:
    """A break with two spots, for Ada and Bo."""
    world = m.world
    with world.desk.database.atomic():
        row = models.Break.create(name="Friday", folded="friday", format="team")
        models.BreakProduct.create(break_=row.id, product=world.products["Tern Cards"])
        for team, who in (("Herons", "Ada"), ("Otters", "Bo")):
            spot = models.Spot.create(break_=row.id, holds=team, folded=team.casefold())
            models.SpotHolder.create(spot=spot.id, participant=world.people[who])
    return int(row.id)


def pull_in_the_break(m: Any, pick: int) -> Any:
    if len(m.tags) > 6:
        return None
    product = Field(m.world.products["Tern Cards"])
    reading = Reading(subjects=Field(("Kit Moor",)), product_id=product, plan=Field("submit"))
    owner = Owner.person(m.world.people[("Ada", "Bo")[pick % 2]])
    return entering.pull(m.desk, entering.Pull(break_id=m.break_id, reading=reading, owner=owner))


def picture(m: Any, pick: int) -> Path:
    path: Path = m.desk.path.with_name(f"{pick % 4}.png")
    path.write_bytes(PICTURE + bytes([pick % 4]))
    return path


def draws(m: Any) -> list[int]:
    return [one.id for one in drawing.open_draws(m.desk)[:1]]


def packed() -> list[int]:
    return [int(row.id) for row in models.Parcel.select().where(models.Parcel.state == "packing")]


def house_term(m: Any, pick: int) -> terms.Settle:
    name, value = HOUSE_TERMS[pick % len(HOUSE_TERMS)]
    from_day = None if pick % 3 else day(m, pick)
    return terms.Settle(name=name, value=value, from_day=from_day, since_always=pick % 5 == 0 and from_day is None)


def maker_term(maker: str, pick: int) -> terms.Settle:
    name, value = MAKER_TERMS[pick % len(MAKER_TERMS)]
    return terms.Settle(name=name, value=value, maker=maker, since_always=pick % 5 == 0)

"""How the Catch screen words a reading, its owner, a claim and the clock."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from breakdesk.desk.breaks import BreakState, Caught, SpotLine
from breakdesk.desk.describing import what_of
from breakdesk.desk.entering import Table
from breakdesk.rules.break_facts import Person
from breakdesk.rules.claim import HOUSE_PARTY
from breakdesk.rules.entry import Kept, Labelled, Reading, Readings
from breakdesk.rules.ownership import Owner
from breakdesk.rules.tags import shown as tag_words
from breakdesk.tui.masking import Kind, Secret
from breakdesk.tui.widgets.reading_panel import Doubted, Page, Shown
from breakdesk.tui.widgets.rows import Row
from breakdesk.tui.wording import day_words

NOBODY = "nobody yet"
FORMAT_WORDS = {
    "team": "by team",
    "player": "by player",
    "letter": "by last-name letter",
    "box": "by box",
    "hit_draft": "hit draft",
    "serial": "by last digit",
    "personal": "personal box",
}
MARKS = {"sure": "", "likely": "~", "unsure": "?"}
CERTAINTY_WORDS = {"sure": "", "likely": "likely", "unsure": "unsure"}
ORIGIN_WORDS = {"line": "", "checklist": "", "older": "older list", "kept": "kept", "rule": ""}
KIND_WORDS = {"shortage": "missing hit"}
MOST_OTHERS = 5


def person_words(person: Person | None) -> Secret:
    """A participant on the screen: the on-air name, else the handle; a full name alone is hidden on air."""
    if person is None:
        return Secret(Kind.NAME, "somebody", "somebody")
    on_air = person.on_air_name or (f"@{person.handle.lstrip('@')}" if person.handle else "somebody without a handle")
    return Secret(Kind.NAME, on_air if person.on_air_name or person.handle else person.name, on_air)


def joined(parts: Iterable[Secret], between: str) -> Secret:
    """Several names as one."""
    listed = list(parts)
    return Secret(
        Kind.NAME,
        between.join(part.shown(on_air=False) for part in listed),
        between.join(part.shown(on_air=True) for part in listed),
    )


def worded(before: str, name: Secret | str, after: str = "") -> Secret:
    """A name within a sentence."""
    shown = (name.shown(on_air=False), name.shown(on_air=True)) if isinstance(name, Secret) else (name, name)
    return Secret(Kind.NAME, f"{before}{shown[0]}{after}", f"{before}{shown[1]}{after}")


def owner_words(owner: Owner, people: Mapping[int, Person], house: str) -> Secret:
    """Whom a card is for."""
    if owner.kind == "nobody":
        return Secret(Kind.NAME, NOBODY, NOBODY)
    if owner.kind == "house":
        return Secret(Kind.NAME, house, house)
    names = [person_words(people.get(key)) for key in owner.ids]
    if owner.house_too:
        names.append(Secret(Kind.NAME, house, house))
    return joined(names, " & ")


def caption_of(reading: Reading) -> str:
    """The quiet line above the handle."""
    owner = reading.owner
    words = CERTAINTY_WORDS[owner.certainty]
    lead = {"several": "several, to be settled", "nobody": NOBODY, "house": "the house's"}.get(owner.value.kind, "for")
    return f"{lead}{f' ({words})' if words else ''} · {reading.why}" if reading.why else lead


def needs_second_enter(reading: Reading) -> bool:
    """Whether the reading is saved only on purpose: it has a doubt, or a part of it is unsure."""
    unsure = any(item.certainty == "unsure" for item in reading.labelled())
    return bool(reading.doubts) or unsure or reading.owner.certainty == "unsure"


def card_words(reading: Reading) -> str:
    """The card of a reading in a few words."""
    parts = [" & ".join(reading.subjects.value), reading.variation.value]
    if reading.numbered_to.value is not None:
        serial = reading.serial.value
        parts.append(f"{serial if serial is not None else ''}/{reading.numbered_to.value}")
    parts.append(", ".join(reading.features.value))
    return " ".join(part for part in parts if part) or reading.note.value or "a card to be named"


def page_of(readings: Readings, index: int, table: Table, hint: str = "") -> Page:
    """The page for one of the readings, the others below it."""
    every = (readings.best, *readings.runners_up)
    reading = every[index]
    fields = [_field(item) for item in reading.labelled() if item.label != "kind" or item.text != "redemption"]
    product = table.products.get(reading.product_id.value or 0)
    if product is not None and len(table.products) > 1:
        item = Labelled("product", product[0], reading.product_id.certainty, reading.product_id.origin)
        fields.append(_field(item))
    keys = {index + 1: "Down", index - 1: "Up"}
    others = [_other(other, keys.get(place, ""), table) for place, other in enumerate(every) if place != index]
    doubts = [Doubted(doubt.word, doubt.sentence) for doubt in reading.doubts]
    return Page(fields=fields, doubts=doubts, others=others[:MOST_OTHERS], hint=hint)


def _field(item: Labelled) -> Shown:
    remark = ", ".join(word for word in (CERTAINTY_WORDS[item.certainty], ORIGIN_WORDS[item.origin]) if word)
    text = item.text
    if item.label == "expires":
        text = day_words(date.fromisoformat(text))
    elif item.label == "kind":
        text = KIND_WORDS.get(text, text)
    return Shown(item.label, text, MARKS[item.certainty], remark)


def _other(reading: Reading, key: str, table: Table) -> Secret:
    name = owner_words(reading.owner.value, table.people, table.house.name)
    teams = f" · {' / '.join(reading.teams.value)}" if reading.teams.value else ""
    return worded(f"{key:<5} {card_words(reading)}{teams} · ", name)


def clock_words(seconds: int | None) -> str:
    """A place in the video, as h:mm:ss; a dash where it is not known."""
    if seconds is None:
        return "–"
    return f"{seconds // 3600}:{seconds // 60 % 60:02}:{seconds % 60:02}"


def minute_words(seconds: int | None) -> str:
    """How long the stream has run, by the minute."""
    return "" if seconds is None else f"{seconds // 3600}:{seconds // 60 % 60:02}"


def caught_rows(items: Sequence[Caught], house: str) -> list[Row]:
    """The last claims as rows: tag, card, handle, place in the video."""
    return [Row(item, _cells(item, house)) for item in items]


def _cells(item: Caught, house: str) -> tuple[str | Secret, ...]:
    claim = item.claim
    seen = " · seen" if claim.seen_on_camera and claim.state == "pulled" else ""
    return (
        tag_words(claim.tag),
        f"{what_of(claim)}{seen}",
        caught_owner(item, house),
        clock_words(claim.video_seconds),
    )


def caught_owner(item: Caught, house: str) -> Secret:
    """Whom a claim is for."""
    if item.claim.owner_kind in ("person", "several") and item.people:
        names = [person_words(person) for person in item.people]
        names += [Secret(Kind.NAME, house, house)] if HOUSE_PARTY in item.claim.candidates else []
        return joined(names, " / ")
    words = house if item.claim.owner_kind == "house" else NOBODY
    return Secret(Kind.NAME, words, words)


@dataclass(frozen=True, slots=True)
class BoardRow:
    """One spot as the board shows it."""

    holds: str
    owner: Secret | str
    hits: int


def board_rows(spots: Sequence[SpotLine]) -> list[BoardRow]:
    """The spots in order of what they hold."""
    return [
        BoardRow(
            spot.holds,
            joined((person_words(person) for person in spot.people), " & ") if spot.people else "unsold",
            spot.hits,
        )
        for spot in sorted(spots, key=lambda spot: _natural(spot.holds))
    ]


def _natural(text: str) -> tuple[int, str]:
    figures = "".join(character for character in text if character.isdigit())
    return (int(figures[:9]) if figures else -1, text.casefold())


def break_words(state: BreakState | None, table: Table | None) -> str:
    """The line above the entry: which break, and how it stands."""
    if state is None:
        return "No break: cards bought elsewhere" if table is not None else "No break is chosen"
    how = "running" if state.running else "ended" if state.ended_at else "not started"
    return f"{state.name} · {FORMAT_WORDS[state.format]} · {how}"


def kept_words(kept: Kept, table: Table | None) -> str:
    """What stays from claim to claim."""
    parts = []
    if kept.box is not None:
        parts.append(f"box {kept.box}")
    if kept.expires_on is not None:
        parts.append(f"expires {day_words(kept.expires_on)}")
    # A product's name is long: last, so that a narrow screen cuts it off and not the others.
    if table is not None and kept.product_id is not None and len(table.products) > 1:
        parts.append(table.products.get(kept.product_id, ("", None))[0])
    return f"kept: {', '.join(parts)}" if parts else ""

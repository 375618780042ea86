"""The rows of the parcels: what may have come in, what is packed or under way, and whose parcels wait."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from breakdesk.desk.combining import Combining
from breakdesk.desk.describing import what_of
from breakdesk.desk.envelopes import ToWrite
from breakdesk.desk.finding import STATE_WORDS as CLAIM_WORDS
from breakdesk.desk.recognising import Match
from breakdesk.desk.ship_cards import ParcelLine
from breakdesk.rules.parcel_states import STATE_WORDS, TROUBLE, UNSETTLED
from breakdesk.rules.tags import shown as tag_words
from breakdesk.rules.wording import counted
from breakdesk.tui import masking
from breakdesk.tui.masking import Secret
from breakdesk.tui.widgets.columns import Column
from breakdesk.tui.widgets.rows import Row
from breakdesk.tui.wording import day_words, owner_words, person_words


def parcel_columns() -> list[Column]:
    """The columns that all of them share."""
    return [
        Column(title="No.", width=8),
        Column(title="Card", width=20, stretch=3),
        Column(title="For", width=13, stretch=2),
        Column(title="Where it is", width=16, stretch=2),
        Column(title="Since", width=15, priority=2, quiet=True),
        Column(title="Remark", width=24, stretch=2, priority=3),
    ]


def match_row(match: Match, house: str, today: date) -> Row:
    """A claim that a card which came in can be; the remark is what is odd about it."""
    claim, line = match.claim, match.arrival
    owner = owner_words(claim.owner_kind, line.name, line.handle, line.on_air_name, house)
    since = day_words(claim.submitted_on or claim.pull_day, today)
    state = f"with {line.maker}" if claim.state == "submitted" and line.maker else CLAIM_WORDS[claim.state]
    return Row(match, (tag_words(claim.tag), line.what, owner, state, since, " ".join(match.odd)))


def parcel_row(line: ParcelLine, today: date) -> Row:
    """A parcel by its number, or a card that was shipped in none by its tag."""
    remark: str | Secret = masking.reference(line.tracking)
    if line.state == "packing":
        remark = counted(line.open_steps, "step open", "steps open") if line.open_steps else "all steps done"
    elif line.next is not None and line.next.phase != "wait":
        remark = next_words(line, today)
    since = day_words(line.since, today) if line.since else ""
    name = person_words(line.name, line.handle, line.on_air_name)
    tone = "strong" if line.state in TROUBLE else "plain"
    number = str(line.id) if line.id is not None else tag_words(line.tag)
    return Row(line, (number, line.what, name, STATE_WORDS[line.state], since, remark), tone)


def next_words(line: ParcelLine, today: date) -> str:
    """What is due next about a parcel that left, and by when."""
    if line.next is None:
        return ""
    by = f", by {day_words(line.next.by, today)}" if line.next.by else ""
    return f"{line.next.words}{by}"


def waiting_row(item: Combining, today: date) -> Row:
    """A participant whose parcel waits for other cards."""
    coming = f"{len(item.still_to_come)} to come" if item.still_to_come else "nothing more to come: pack it"
    name = person_words(item.name, item.handle, item.on_air_name)
    more = f" and {len(item.here) - 1} more" if len(item.here) > 1 else ""
    until = f"until {day_words(item.until, today)}"
    return Row(item, ("", what_of(item.here[0]) + more, name, "waits for more", until, coming), "quiet")


def words_below(key: object, today: date) -> str:
    """What is to be known about the row under the cursor, as a sentence: a narrow screen has no place for remarks."""
    if isinstance(key, Match):
        return " ".join(key.odd)
    said = next_words(key, today) if isinstance(key, ParcelLine) else ""
    return f"{said[:1].upper()}{said[1:]}." if said else ""


def came_in_words(count: int, people: Sequence[ToWrite]) -> list[str | Secret]:
    """How many cards were taken in, and who is to be written to."""
    if not count:
        return []
    parts: list[str | Secret] = [f"{count} came in. To be told: " if people else f"{count} came in."]
    for place, person in enumerate(people):
        parts += [", " if place else "", person_words(person.name, person.handle, person.on_air_name)]
    return [*parts, ". w ends the envelope." if people else " w ends the envelope."]


def counted_parcels(parcels: Sequence[ParcelLine], waiting: Iterable[Combining]) -> str:
    """How many parcels stand where, in one sentence."""
    parts = []
    for state in UNSETTLED:
        count = sum(line.state == state for line in parcels)
        words = STATE_WORDS[state] if count == 1 else STATE_WORDS[state].replace("its way", "their way")
        parts += [f"{count} {words}"] if count else []
    waits = len(tuple(waiting))
    parts += [f"{waits} waiting for more"] if waits else []
    return f"Parcels: {', '.join(parts)}." if parts else "No parcel is open."

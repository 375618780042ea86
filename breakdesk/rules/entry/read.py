"""Read an entry line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime

from breakdesk.rules.entry.checks import checked
from breakdesk.rules.entry.draft_matched import draft_of_match
from breakdesk.rules.entry.draft_typed import draft_as_typed
from breakdesk.rules.entry.handles import named_by
from breakdesk.rules.entry.lexicon import Lexicon
from breakdesk.rules.entry.matching import found_for
from breakdesk.rules.entry.reading import Field, Kept, Reading, Readings, RecentClaim
from breakdesk.rules.entry.said import said_in
from breakdesk.rules.entry.setting import Draft, Setting
from breakdesk.rules.entry.weigh import Weighed, weigh_as_typed, weigh_match

MOST_RUNNERS_UP = 5
_MOST_WEIGHED = 12


def read(
    line: str,
    lexicon: Lexicon,
    kept: Kept | None = None,
    *,
    today: date,
    now: datetime | None = None,
    recent: Sequence[RecentClaim] = (),
) -> Readings:
    """The best reading of a line and the runners-up.

    `today` is the maker's date, against which the expiry is held; `now` an aware instant, and `recent` the last claims
    of the break, for saying that the same card was just written down. Any text gives a reading; none raises.
    """
    kept = kept or Kept()
    said = said_in(line, lexicon.currency)
    found = found_for(said, lexicon, kept.product_id)
    setting = Setting(said, found, lexicon, kept, named_by(said.handles, lexicon), today, now, recent)
    weighed = [weigh_match(match, said, found, lexicon) for match in found.matches[:_MOST_WEIGHED]]
    ranked = sorted([*weighed, weigh_as_typed(said, found, lexicon)], key=lambda one: -one.score)
    best, *others = _distinct(ranked, setting)
    other_day = _with_other_day(ranked[0], best, setting)
    return Readings(best, tuple((*other_day, *others)[:MOST_RUNNERS_UP]))


def _distinct(ranked: Sequence[Weighed], setting: Setting) -> list[Reading]:
    """Readings that differ in what would be saved, best first; as many as are shown."""
    readings: dict[tuple[object, ...], Reading] = {}
    for weighed in ranked:
        reading = checked(_draft_of(weighed, setting), setting)
        readings.setdefault(_saved(reading), reading)
        if len(readings) > MOST_RUNNERS_UP:
            break
    return list(readings.values())


def _draft_of(weighed: Weighed, setting: Setting) -> Draft:
    if weighed.match is None:
        return draft_as_typed(weighed, setting)
    return draft_of_match(weighed.match, weighed.leftovers, setting)


def _saved(reading: Reading) -> tuple[object, ...]:
    return (
        reading.subjects.value,
        reading.teams.value,
        reading.card_id.value,
        reading.variation.value,
        reading.numbered_to.value,
        reading.features.value,
        reading.note.value,
    )


def _with_other_day(weighed: Weighed, best: Reading, setting: Setting) -> tuple[Reading, ...]:
    """The same reading with the date day first, where that is a date, too."""
    expiry = setting.said.expiry
    if expiry is None or expiry.other is None or best.expires_on.certainty != "unsure":
        return ()
    draft = _draft_of(weighed, setting)
    other = replace(draft.reading, expires_on=Field(expiry.other, "unsure"))
    return (checked(replace(draft, reading=other), setting),)

"""How many keys does a claim cost? Replays the sample's claims through the real entry line and reports.

Run `python tests/bench/entry_keys.py [folder]`. For every claim the shortest unambiguous line is looked for: the
beginning of a surname, and after it only what the checklist cannot know or what tells two cards apart. The same claim
is then counted as typed into the columns of a spreadsheet. Seconds are predicted by the keystroke-level model (Card,
Moran and Newell, Communications of the ACM 23(7), 1980): a keystroke K of 0.28 s for a person who is not a typist, and
a mental preparation M of 1.35 s before each part of a line or each cell. Nothing here is a promise about a real person.

Kept from the claim before, as on a real night: product, box and expiry. Not counted for either side: codes and values,
which are written down after the show. Spreadsheet cells are typed in full; filling from above is granted for product,
box, kind and expiry, and nothing for the names, because a spreadsheet does not know the night's cards or owners.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import combinations
from pathlib import Path
from statistics import quantiles

from sample_claims import Sample, SampleClaim, load_sample

from breakdesk.rules.break_facts import BreakFacts, Person
from breakdesk.rules.entry import Kept, Lexicon, Reading, read
from breakdesk.rules.entry.words import features_in
from breakdesk.rules.names import folded, name_parts

KEYSTROKE_SECONDS = 0.28
MENTAL_SECONDS = 1.35
TODAY = date(2025, 1, 1)
MOST_EXTRA_PARTS = 3
SHORT_FEATURES = {"autograph": "au", "patch": "patch", "rookie": "rc", "relic": "rel", "plate": "pp"}
KIND_KEYS = {"damage": "dmg", "shortage": "missing"}


@dataclass(frozen=True, slots=True)
class Count:
    """Keystrokes, Enter included, and the parts or cells that a person prepares."""

    keys: int
    parts: int

    @property
    def seconds(self) -> float:
        """The keystroke-level prediction."""
        return self.parts * MENTAL_SECONDS + self.keys * KEYSTROKE_SECONDS


def shortest_line(claim: SampleClaim, lexicon: Lexicon, kept: Kept) -> str | None:
    """The shortest line that can only mean this claim; None where none is found."""
    people = {person.id: person for person in claim.people}
    needed = [
        part for part in (_serial(claim, lexicon), KIND_KEYS.get(claim.kind, ""), *_owners(claim, people)) if part
    ]
    lines: list[tuple[int, str]] = []
    for name in _names(claim.subjects, free=not lexicon.has_checklist):
        for extra in _extras(claim):
            line = " ".join([name, *needed, *extra])
            lines.append((len(line), line))
    for _, line in sorted(lines):
        if means(read(line, lexicon, kept, today=TODAY).best, claim):
            return line
    return None


def means(reading: Reading, claim: SampleClaim) -> bool:
    """Whether a reading is this claim, without anything that fits as well."""
    said = (reading.subjects, reading.teams, reading.variation, reading.numbered_to, reading.product_id)
    return (
        all(field.certainty != "unsure" for field in said)
        and sorted(map(folded, reading.subjects.value)) == sorted(map(folded, claim.subjects))
        and folded(reading.variation.value) == folded(claim.variation)
        and reading.numbered_to.value == claim.numbered_to
        and reading.serial.value == claim.serial
        and reading.kind.value == claim.kind
        and _features(reading.features.value) == _features(claim.features)
        and reading.owner.value == claim.owner
        and reading.owner.certainty != "unsure"
    )


def _features(texts: Sequence[str]) -> set[str]:
    return {feature for text in texts for feature in features_in(text)}


def _serial(claim: SampleClaim, lexicon: Lexicon) -> str:
    if claim.serial is None:
        return ""
    return f"{claim.serial}/" if lexicon.has_checklist else f"{claim.serial}/{claim.numbered_to or ''}"


def _owners(claim: SampleClaim, people: dict[int, Person]) -> list[str]:
    """In a hit draft the operator names the owner: the beginning of a handle that no other participant shares."""
    if claim.format != "hit_draft" or claim.owner.kind != "person":
        return []
    own = folded(people[claim.owner.ids[0]].handle).replace(" ", "")
    others = [
        folded(person.handle)
        for person in claim.people
        if person.id in claim.playing and person.id != claim.owner.ids[0]
    ]
    for length in range(1, len(own) + 1):
        if not any(other.startswith(own[:length]) for other in others):
            return [f"@{own[:length]}"]
    return [f"@{own}"]


def _names(subjects: Sequence[str], *, free: bool) -> Iterator[str]:
    """What a person would type for the players: the beginning of the surname, with an initial, or the whole name."""
    if not subjects:
        yield ""
        return
    cores = [name_parts(subject).core for subject in subjects]
    shortest = 3
    for length in range(shortest, max(len(" ".join(core)) for core in cores) + 1):
        begun = [core[0][:length] for core in cores]
        yield " ".join(begun)
        if len(subjects) == 1 and (given := name_parts(subjects[0]).given):
            yield f"{given[0][0]} {begun[0]}"
            yield f"{given[0][:3]} {begun[0]}"
    yield (" + " if free else " ").join(folded(subject) for subject in subjects)


def _extras(claim: SampleClaim) -> Iterator[tuple[str, ...]]:
    """What may have to be said beside the name: print run, variation, features, team."""
    run = [f"/{claim.numbered_to}"] if claim.numbered_to and claim.serial is None else []
    word = folded(claim.variation)
    variation = [word[:3], word] if len(word) > 3 else [word] if word else []
    features = [SHORT_FEATURES.get(feature, feature) for feature in sorted(_features(claim.features))]
    teams = [length for team in claim.teams for length in (folded(team)[:3], folded(team))]
    parts = [*run, *variation, *features, *teams]
    for count in range(min(len(parts), MOST_EXTRA_PARTS + len(features)) + 1):
        yield from combinations(parts, count)


def in_columns(claim: SampleClaim, people: dict[int, Person]) -> Count:
    """The same claim in a spreadsheet: subject, team, variation, run, serial, features, participant; Tab after each."""
    owner = ";".join(people[owner_id].name for owner_id in claim.owner.ids) if claim.owner.kind == "person" else ""
    cells = [
        ";".join(claim.subjects),
        ";".join(claim.teams),
        claim.variation,
        str(claim.numbered_to or ""),
        str(claim.serial or ""),
        ";".join(claim.features),
        owner,
        claim.kind if claim.kind != "redemption" else "",
    ]
    # One Tab or Enter a cell; an empty cell still costs its Tab, but no thought.
    return Count(sum(map(len, cells)) + len(cells), sum(map(bool, cells)))


def in_a_line(line: str) -> Count:
    """Keys of a line and Enter; each word is prepared once."""
    return Count(len(line) + 1, len(line.split()))


def report(sample: Sample) -> str:
    """The distributions as plain text."""
    known = {
        (product_id, folded(subject))
        for product_id, cards in sample.cards.items()
        for card in cards
        for subject in card.subjects
    }

    def is_known(claim: SampleClaim) -> bool:
        others = {subject for product_id, subject in known if product_id != claim.product_id}
        return all(folded(subject) in others for subject in claim.subjects)

    return "\n\n".join(
        [
            f"{len(sample.claims)} claims of breaks in {sample.folder}",
            _replay("with the checklist", sample, sample.claims, with_checklist=True),
            _replay("release day, no checklist", sample, sample.claims, with_checklist=False),
            _replay(
                "of these, players of older checklists", sample, filter(is_known, sample.claims), with_checklist=False
            ),
        ]
    )


def _replay(title: str, sample: Sample, claims: Iterable[SampleClaim], *, with_checklist: bool) -> str:
    lines: list[Count] = []
    columns: list[Count] = []
    missed: list[str] = []
    typed: list[tuple[str, str]] = []
    lexicons: dict[str, Lexicon] = {}
    for claim in claims:
        if claim.break_name not in lexicons:
            lexicons[claim.break_name] = _lexicon(sample, claim, with_checklist=with_checklist)
        line = shortest_line(claim, lexicons[claim.break_name], _kept(claim))
        what = f"{' / '.join(claim.subjects)} {claim.variation}".strip()
        if line is None:
            missed.append(f"{claim.break_name}: {what}")
            continue
        typed.append((line, what))
        lines.append(in_a_line(line))
        columns.append(in_columns(claim, {person.id: person for person in claim.people}))
    return _section(title, lines, columns, typed, missed)


def _kept(claim: SampleClaim) -> Kept:
    return Kept(product_id=claim.product_id, box=claim.box, expires_on=claim.expires_on)


def _lexicon(sample: Sample, claim: SampleClaim, *, with_checklist: bool) -> Lexicon:
    facts: BreakFacts = sample.breaks[claim.break_name]
    cards = [card for product_id in facts.product_ids for card in sample.cards.get(product_id, ())]
    if with_checklist:
        return Lexicon.build(facts, cards, sample.people)
    others = [product_id for product_id in sample.cards if product_id not in facts.product_ids]
    older = [card for product_id in others for card in sample.cards[product_id]]
    return Lexicon.build(facts, [], sample.people, older)


def _section(
    title: str,
    lines: Sequence[Count],
    columns: Sequence[Count],
    typed: Sequence[tuple[str, str]],
    missed: Sequence[str],
) -> str:
    rows = [f"{title}: {len(lines)} lines found, {len(missed)} not"]
    rows.append(f"{'':24}{'shortest':>9}{'quarter':>9}{'median':>9}{'3 quart.':>9}{'9 in 10':>9}{'longest':>9}")
    for name, figures in (
        ("entry line, keys", [float(count.keys) for count in lines]),
        ("columns, keys", [float(count.keys) for count in columns]),
        ("entry line, seconds", [count.seconds for count in lines]),
        ("columns, seconds", [count.seconds for count in columns]),
    ):
        cuts = quantiles(figures, n=20, method="inclusive")
        shown = (min(figures), cuts[4], cuts[9], cuts[14], cuts[17], max(figures))
        rows.append(f"{name:24}" + "".join(f"{figure:9.1f}" for figure in shown))
    longest = sorted(typed, key=lambda pair: -len(pair[0]))
    rows.append(
        "some lines: " + "; ".join(f"“{line}” = {what}" for line, what in longest[:: max(1, len(longest) // 6)])
    )
    rows.extend(f"not found: {what}" for what in missed)
    return "\n".join(rows)


def main() -> None:
    """Print the report for the sample, or for the folder named on the command line."""
    default = Path(__file__).resolve().parents[2] / "sample_breaks"
    sys.stdout.write(report(load_sample(Path(sys.argv[1]) if len(sys.argv) > 1 else default)) + "\n")


if __name__ == "__main__":
    main()

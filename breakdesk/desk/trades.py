"""Spots before the first pack: trades, one line each, and a randomised list pasted in; all of it in the history."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.ownership import break_facts, people_of
from breakdesk.desk.problems import Result, refuse
from breakdesk.rules.break_facts import BreakFacts, Person, Spot
from breakdesk.rules.names import folded
from breakdesk.rules.wording import counted
from breakdesk.store import models

_NUMBERED = re.compile(r"^\s*\d{1,3}\s*[.):]\s+")
_BARE_NUMBER = re.compile(r"^\d{1,3}\s+")
_BETWEEN = re.compile(r"\t+|\s{2,}|\s+[-–—=>→:|]+\s+|\s*[,;:]\s*")
_TRADE = re.compile(r"^(?P<first>.+?)\s+(?P<how>for|to)\s+(?P<second>.+)$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Trade:
    """What a line of trade means: one spot against another, or a spot to a participant (the house where none)."""

    spot: Spot
    other: Spot | None = None
    to: int | None = None


def trade(desk: Desk, break_id: int, line: str, key: int | None = None) -> Result:
    """Trades spots: `herons for otters` exchanges two, `herons to @handle` gives one, `… to house` takes it back."""

    def work(a: Act) -> str:
        facts = _before_the_first_pack(break_id)
        meant = read_trade(facts, line)
        said = a.text(" ".join(line.split()))
        if meant.other is not None:
            assign(a, meant.spot, meant.other.owners, said)
            assign(a, meant.other, meant.spot.owners, said)
            return f"{_words(meant.spot)} and {_words(meant.other)} have changed hands."
        assign(a, meant.spot, () if meant.to is None else (meant.to,), said)
        return f"{_words(meant.spot)} has a new owner."

    return act(desk, "trade", work, key)


def read_trade(facts: BreakFacts, line: str) -> Trade:
    """What a trade's line means; raises a refusal where it names no spot, two, or nobody."""
    parts = _TRADE.match(" ".join(line.split()))
    if parts is None:
        raise refuse("That is not a trade.", "Write it as: herons for otters, or herons to @handle.")
    spot = _spot_named(facts, parts["first"])
    if parts["how"].casefold() == "for":
        other = _spot_named(facts, parts["second"])
        if other.id == spot.id:
            raise refuse("Both sides name the same spot.")
        return Trade(spot, other)
    if folded(parts["second"]) in ("house", "the house"):
        return Trade(spot)
    return Trade(spot, to=_person_named(people_of(), parts["second"]))


def paste_list(desk: Desk, break_id: int, text: str, key: int | None = None) -> Result:
    """Takes a randomised list, a name beside a team on each line in either order; all of it or nothing."""

    def work(a: Act) -> str:
        facts = _before_the_first_pack(break_id)
        pairs = read_list(facts, people_of(), text)
        said = a.text(text)
        holders: dict[int, list[int]] = {}
        spots: dict[int, Spot] = {}
        for spot, person_id in pairs:
            spots[spot.id] = spot
            holders.setdefault(spot.id, []).append(person_id)
        for spot_id, owners in holders.items():
            assign(a, spots[spot_id], owners, said)
            said = {}
        left = len(facts.spots) - len(spots)
        if left:
            spots_left = counted(left, "spot is", "spots are")
            a.warnings.append(f"{spots_left} not in the list and stay as they were.")
        return f"{counted(len(spots), 'spot has its owner', 'spots have their owners')} from the list."

    return act(desk, "randomised list", work, key)


def read_list(facts: BreakFacts, people: Sequence[Person], text: str) -> list[tuple[Spot, int]]:
    """Spots and their new holders; raises a refusal that names the first line that cannot be read."""
    pairs: list[tuple[Spot, int]] = []
    for number, line in enumerate(text.splitlines(), start=1):
        bare = _NUMBERED.sub("", line).strip()
        if not bare:
            continue
        pairs.append(_pair(facts, people, bare, number))
    if not pairs:
        raise refuse("The list is empty.", "Paste a name beside a team on each line.")
    return pairs


def _pair(facts: BreakFacts, people: Sequence[Person], line: str, number: int) -> tuple[Spot, int]:
    # A number alone may be a spot, so that it is taken for the line's place in the list only where it is none.
    for written in dict.fromkeys((line, _BARE_NUMBER.sub("", line))):
        found = _pair_in(facts, people, written)
        if found is not None:
            return found
    raise refuse(
        f"Line {number} names no spot of this break beside a known participant.",
        "Write a name, a comma and a team; add people that the desk does not know first.",
    )


def _pair_in(facts: BreakFacts, people: Sequence[Person], line: str) -> tuple[Spot, int] | None:
    for cut in _BETWEEN.finditer(line):
        for first, second in ((line[: cut.start()], line[cut.end() :]), (line[cut.end() :], line[: cut.start()])):
            spots, persons = spots_called(facts, second), people_called(people, first)
            if len(spots) == 1 and len(persons) == 1:
                return spots[0], persons[0].id
    plain = _parted_by_a_blank(facts, people, line)
    return plain[0] if len(plain) == 1 else None


def _parted_by_a_blank(facts: BreakFacts, people: Sequence[Person], line: str) -> list[tuple[Spot, int]]:
    """Every spot and participant that a line names in full, with nothing but a blank between them."""
    found: dict[tuple[int, int], tuple[Spot, int]] = {}
    for cut in re.finditer(r"\s+", line):
        for name, team in ((line[: cut.start()], line[cut.end() :]), (line[cut.end() :], line[: cut.start()])):
            wanted = folded(name.lstrip("@"))
            spots = [spot for spot in facts.spots if folded(team) in {folded(held) for held in spot.holds}]
            persons = {one.id for one in people if wanted in map(folded, (one.handle, one.on_air_name, one.name))}
            if wanted and len(spots) == 1 and len(persons) == 1:
                person_id = persons.pop()
                found[spots[0].id, person_id] = (spots[0], person_id)
    return list(found.values())


def spots_called(facts: BreakFacts, text: str) -> list[Spot]:
    """The spots that hold exactly this, else those one of whose words begin like it."""
    wanted = folded(text)
    if not wanted:
        return []
    exact = [spot for spot in facts.spots if wanted in {folded(held) for held in spot.holds}]
    return exact or [spot for spot in facts.spots if any(_begins(held, wanted) for held in spot.holds)]


def people_called(people: Iterable[Person], text: str) -> list[Person]:
    """The participants with exactly this handle, on-air name or name, else those whose handle begins like it."""
    wanted = folded(text.lstrip("@"))
    if not wanted:
        return []
    listed = list(people)
    exact = [one for one in listed if wanted in {folded(one.handle), folded(one.on_air_name), folded(one.name)}]
    return exact or [one for one in listed if any(_starts(name, wanted) for name in (one.handle, one.on_air_name))]


def _starts(name: str, wanted: str) -> bool:
    return bool(name) and folded(name).startswith(wanted)


def _begins(held: str, wanted: str) -> bool:
    words = folded(held).split()
    return all(any(word.startswith(part) for word in words) for part in wanted.split())


def _spot_named(facts: BreakFacts, text: str) -> Spot:
    found = spots_called(facts, text)
    if not found:
        raise refuse(f"This break has no spot “{text.strip()}”.", "Type it as the spot board shows it.")
    if len(found) > 1:
        raise refuse(f"“{text.strip()}” fits {len(found)} spots.", "Type more of it.")
    return found[0]


def _person_named(people: Sequence[Person], text: str) -> int:
    found = people_called(people, text)
    if not found:
        raise refuse(f"Nobody is called “{text.strip()}”.", "Add the person first.")
    if len(found) > 1:
        raise refuse(f"“{text.strip()}” fits {len(found)} people.", "Type more of the handle.")
    return found[0].id


def _before_the_first_pack(break_id: int) -> BreakFacts:
    row = models.Break.get_or_none(models.Break.id == break_id)
    if row is None:
        raise refuse("That break is not in the desk.", "Load its spots first.")
    if row.first_pack_at is not None:
        raise refuse(
            f"The first claim of {row.name} is written down: spots are fixed.", "Claims can be swapped between people."
        )
    return break_facts(break_id)


def assign(a: Act, spot: Spot, owners: Iterable[int], said: dict[str, object]) -> None:
    """Gives a spot to other holders inside an action, and says so in the history."""
    table, after = models.SpotHolder, sorted(set(owners))
    table.delete().where(table.spot == spot.id).execute()
    for owner in after:
        table.create(spot=spot.id, participant=owner)
    models.Spot.update(version=models.Spot.version + 1).where(models.Spot.id == spot.id).execute()
    a.line("spot", spot.id, "traded", {"before": list(spot.owners), "after": after, **said})


def _words(spot: Spot) -> str:
    return " & ".join(spot.holds)

"""How fast is the entry line? Times building its words and reading every key press; reports, asserts nothing.

Run `python tests/bench/entry_speed.py`. A checklist of 2,000 cards, a break of 60 spots, 5,000 participants: invented.
"""

from __future__ import annotations

import random
import sys
import time
from collections.abc import Iterator
from datetime import UTC, date, datetime
from statistics import quantiles

from breakdesk.rules.break_facts import BreakFacts, Card, Person, Spot
from breakdesk.rules.entry import Lexicon, read

_SYLLABLES = (
    "ka",
    "mo",
    "ri",
    "ta",
    "lun",
    "bel",
    "dor",
    "vas",
    "fen",
    "gal",
    "hart",
    "oss",
    "quin",
    "wex",
    "yor",
    "zan",
)
_PARALLELS = (("", None), ("Gold", 10), ("Silver", 25), ("Blue", 99))
PLAYERS, SPOTS, PEOPLE, LINES = 500, 60, 5_000, 200
TODAY = date(2026, 6, 15)


def _word(dice: random.Random, syllables: int) -> str:
    return "".join(dice.choice(_SYLLABLES) for _ in range(syllables)).capitalize()


def _cards(dice: random.Random, teams: list[str]) -> Iterator[Card]:
    givens = [_word(dice, 2) for _ in range(PLAYERS // 4)]
    for number in range(PLAYERS):
        player, team = f"{dice.choice(givens)} {_word(dice, 3)}", dice.choice(teams)
        for place, (variation, run) in enumerate(_PARALLELS):
            yield Card(
                id=number * len(_PARALLELS) + place,
                product_id=1,
                card=f"SG-{number}",
                subjects=(player,),
                teams=(team,),
                variation=variation,
                numbered_to=run,
                features=("auto",),
            )


def _lines(dice: random.Random, cards: list[Card]) -> Iterator[str]:
    for card in dice.sample(cards, LINES):
        given, surname = card.subjects[0].lower().split()
        team = card.teams[0].lower()
        run = f"/{card.numbered_to}" if card.numbered_to else "au"
        slip = surname[:2] + surname[3:]
        yield from (f"{surname[:4]} {run}", f"{given} {surname} {run} exp 3/27 box 3", f"{slip} {team} $120 dmg")


def main() -> None:
    """Print milliseconds."""
    dice = random.Random(5)
    teams = [f"{_word(dice, 3)} {_word(dice, 2)}s" for _ in range(SPOTS)]
    cards = list(_cards(dice, teams))
    names = [(number, _word(dice, 2)) for number in range(PEOPLE)]
    people = [Person(id=n, name=f"{w} {n}", handle=f"{w.lower()}{n}", on_air_name=f"{w} {n}") for n, w in names]
    facts = BreakFacts(
        id=1,
        name="A night",
        format="team",
        product_ids=(1,),
        spots=tuple(Spot(id=n, product_id=None, holds=(team,), owners=(n,)) for n, team in enumerate(teams)),
        starts_at=datetime(2026, 6, 15, 18, tzinfo=UTC),
    )
    began = time.perf_counter()
    lexicon = Lexicon.build(facts, cards, people)
    built = time.perf_counter() - began
    taken: list[float] = []
    for line in _lines(dice, cards):
        for length in range(1, len(line) + 1):
            began = time.perf_counter()
            read(line[:length], lexicon, today=TODAY)
            taken.append(time.perf_counter() - began)
    cuts = quantiles(taken, n=100)
    sys.stdout.write(
        f"{len(cards)} cards, {SPOTS} spots, {PEOPLE} people: built in {built * 1000:.0f} ms\n"
        f"{len(taken)} key presses: median {cuts[49] * 1000:.2f} ms, 95 in 100 within {cuts[94] * 1000:.2f} ms, "
        f"99 in 100 within {cuts[98] * 1000:.2f} ms, longest {max(taken) * 1000:.2f} ms\n"
    )


if __name__ == "__main__":
    main()

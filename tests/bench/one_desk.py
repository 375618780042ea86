"""One of many desks under load: acts so many times a second on random claims, and prints how long each action took.

python one_desk.py ADDRESS_FILE WHO ACTIONS A_SECOND BEGIN_AT
"""

from __future__ import annotations

import json
import random
import sys
import time
from pathlib import Path

from breakdesk.desk import entering, following, submitting
from breakdesk.desk.desk import Desk, open_desk
from breakdesk.desk.problems import Done, Result
from breakdesk.rules.entry import Reading
from breakdesk.rules.entry.reading import Field
from breakdesk.rules.ownership import Owner
from breakdesk.store import models

SHARED = 20
"""So many claims are noted on by all desks, so that they do get in each other's way."""


def some_claims(who: str) -> tuple[list[str], list[str], list[str]]:
    """Tags to note on, tags to submit that no other desk will take, and tags that all desks note on."""
    table = models.Claim
    open_ones = [
        row.tag for row in table.select(table.tag).where(table.state == "submitted").order_by(table.id).limit(4000)
    ]
    pulled = [
        row.tag for row in table.select(table.tag).where(table.state == "pulled").order_by(table.id).limit(20_000)
    ]
    mine = pulled[int(who) :: 10]
    return open_ones[SHARED:], mine, open_ones[:SHARED]


def act(desk: Desk, chance: random.Random, claims: tuple[list[str], list[str], list[str]]) -> Result:
    """One action of a working day: mostly notes, some of them on claims that everybody works on, pulls, submissions."""
    open_ones, to_submit, shared = claims
    drawn = chance.random()
    if drawn < 0.3:
        reading = Reading(subjects=Field((f"Card {chance.random()}",)))
        return entering.pull(desk, entering.Pull(break_id=None, reading=reading, owner=Owner.house()))
    if drawn < 0.5 and to_submit:
        return submitting.submit(desk, submitting.Submit(tag=to_submit.pop(), reference=f"R{chance.random()}"))
    tag = chance.choice(shared if drawn < 0.6 else open_ones)
    return following.note(desk, tag, "nothing new")


def main(path: Path, who: str, actions: int, a_second: float, begin_at: float) -> None:
    """Acts at its own rhythm; what takes longer than its turn is made up for at once."""
    desk = open_desk(path, who=who)
    chance, claims = random.Random(int(who)), some_claims(who)
    for _ in range(3):
        following.note(desk, claims[0][int(who)], "warming up")
    took, refused = [], 0
    time.sleep(max(0.0, begin_at - time.time()))
    begun = time.perf_counter()
    for number in range(actions):
        time.sleep(max(0.0, begun + number / a_second - time.perf_counter()))
        before = time.perf_counter()
        done = act(desk, chance, claims)
        took.append(time.perf_counter() - before)
        refused += not isinstance(done, Done)
    seconds, computed = time.perf_counter() - begun, time.process_time()
    desk.close()
    print(json.dumps({"took": took, "refused": refused, "seconds": seconds, "computed": computed}))


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2], int(sys.argv[3]), float(sys.argv[4]), float(sys.argv[5]))

"""A person at a desk of their own, in a process of its own: does what is written to it, one JSON line at a time.

python seat.py ADDRESS_FILE WHO
"""

from __future__ import annotations

import json
import sys
import time
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from breakdesk.desk import checking, codes, following, shipping, submitting, telling
from breakdesk.desk.clock import Clock
from breakdesk.desk.desk import Desk, open_desk
from breakdesk.desk.problems import Done, Result
from breakdesk.store.chain import head_of

NOW = datetime(2026, 3, 2, 17, 0, tzinfo=UTC)


def done(result: Result) -> dict[str, Any]:
    """What a result says."""
    if isinstance(result, Done):
        return {"done": True, "said": result.said, "number": result.number}
    return {"done": False, "said": result.sentence}


def do(desk: Desk, order: dict[str, Any]) -> Any:
    """Does one thing that was ordered."""
    what = order["do"]
    if what == "submit":
        request = submitting.Submit(tag=order["tag"], reference=order.get("reference", ""), code=order.get("code", ""))
        return done(submitting.submit(desk, request))
    if what == "note":
        return done(following.note(desk, order["tag"], order["text"]))
    if what == "pack":
        return done(shipping.start_parcel(desk, [order["tag"]]))
    if what == "code":
        return done(codes.enter_code(desk, order["tag"], order["code"]))
    if what == "write to":
        # The message as it would be shown, kept until it is told.
        desk_told[order["person"]] = telling.telling_for(desk, order["person"])
        return {"claims": len(desk_told[order["person"]].claim_ids)}
    if what == "tell":
        ready = desk_told[order["person"]]
        told = telling.mark_told(desk, order["person"], ready.claim_ids, "direct", "Hello.", number=ready.number)
        return done(told)
    if what == "look":
        desk.seen.look(desk.database)
        return {"number": head_of(desk.database)[0]}
    if what == "verify":
        return list(checking.verify(desk))
    raise ValueError(what)


desk_told: dict[int, telling.Telling] = {}


def main(path: Path, who: str) -> None:
    """Takes orders until there are no more; those with a moment are all begun at it."""
    desk = open_desk(path, Clock(lambda: NOW), who=who)
    print("ready", flush=True)
    for line in sys.stdin:
        orders = json.loads(line)
        if orders[0].get("at"):
            time.sleep(max(0.0, orders[0]["at"] - time.time()))
        print(json.dumps([do(desk, order) for order in orders]), flush=True)
    desk.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2])

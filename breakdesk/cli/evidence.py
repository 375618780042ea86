"""The command `evidence`."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from breakdesk.cli.common import fail, json_option, with_desk
from breakdesk.cli.output import say, say_json, say_problem
from breakdesk.cli.wording import weekday_words
from breakdesk.rules.clocks import microseconds_of

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk
    from breakdesk.desk.evidence import Evidence


@click.command("evidence")
@click.argument("tag")
@json_option
@with_desk
def evidence_command(desk: Desk, tag: str, as_json: bool) -> None:
    """Print a claim's history as evidence for a dispute: action numbers, instants, hashes, and how to check them.

    Ends with 1 where the history does not hold. Names and what was written stand in the clear: it is for the dispute,
    not for a stream.
    """
    from breakdesk.desk.evidence import evidence_of

    found = evidence_of(desk, tag)
    if found is None:
        fail(f"There is no claim {tag}. `breakdesk search` finds it by a name or a reference.")
    if as_json:
        say_json(_object(found))
    else:
        _say(found)
    if found.faults:
        fail(*found.faults)


def _say(found: Evidence) -> None:
    from breakdesk.desk.evidence import HOW_TO_CHECK

    kept_by = f", kept by {found.house}" if found.house else ""
    say(f"History of claim {found.tag}{kept_by}")
    say(found.what)
    say(f"Printed {found.printed_at:%Y-%m-%d %H:%M:%S} UTC")
    for entry in found.entries:
        say()
        back = " (taken back)" if entry.taken_back else ""
        say(f"{weekday_words(entry.day)}: {entry.said}{back}")
        if entry.text:
            say(f"    “{entry.text}”")
        elif '"text"' in entry.body:
            say("    what was written with it was erased")
        by = f" by {entry.who}" if entry.who else ""
        say(f"    action {entry.number}, recorded {entry.recorded_at:%Y-%m-%d %H:%M:%S} UTC{by}")
    say()
    say("HASHES (SHA-256)")
    for action in found.actions:
        say(f"{action.number:>8}  {action.hash}")
        say(f"   after  {action.previous}")
    number, link = found.head
    say(f"The last action of the whole history is {number}: {link}")
    if not found.faults:
        say("All of the history was checked when this was printed, and it holds.")
    else:
        say_problem("The history does not hold:")
    say()
    say("HOW TO CHECK")
    say(HOW_TO_CHECK.rstrip())


def _object(found: Evidence) -> dict[str, Any]:
    from breakdesk.desk.evidence import HOW_TO_CHECK

    return {
        "house": found.house,
        "claim": found.tag,
        "what": found.what,
        "printed_at": found.printed_at.isoformat(),
        "holds": not found.faults,
        "head": {"number": found.head[0], "hash": found.head[1]},
        "how_to_check": HOW_TO_CHECK,
        "entries": [
            {
                "action": entry.number,
                "day": entry.day.isoformat(),
                "said": entry.said,
                "text": entry.text or None,
                "salt": entry.salt or None,
                "taken_back": entry.taken_back,
                "kind": entry.kind,
                "body": entry.body,
            }
            for entry in found.entries
        ],
        "actions": [
            {
                "number": action.number,
                "previous": action.previous,
                "key": str(action.stamp.key),
                "kind": action.stamp.kind,
                "who": action.stamp.who,
                "machine": action.stamp.machine,
                "day": action.stamp.day.isoformat(),
                "recorded_at": str(microseconds_of(action.stamp.recorded_at)),
                "line_digests": list(action.digests),
                "hash": action.hash,
                "lines": [
                    {
                        "thing": line.thing,
                        "thing_id": line.thing_id,
                        "kind": line.kind,
                        "day": line.day.isoformat(),
                        "body": line.body,
                    }
                    for line in action.own
                ],
            }
            for action in found.actions
        ],
    }

"""The command `correct`."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from breakdesk.cli.common import report, with_desk
from breakdesk.cli.output import say_table
from breakdesk.cli.words import OneWord

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk

WORDS = {
    "player": "subject",
    "team": "team",
    "variation": "variation",
    "print_run": "numbered_to",
    "serial": "serial",
    "features": "features",
    "product": "product",
    "maker": "maker",
    "expires": "expires_on",
    "box": "box",
    "value": "value",
    "kind": "kind",
    "plan": "plan",
    "video": "video",
    "tag": "tag",
}


@click.command("correct")
@click.argument("tag")
@click.argument("field", required=False, type=OneWord(tuple(WORDS)))
@click.argument("text", required=False)
@with_desk
def correct_command(desk: Desk, tag: str, field: str | None, text: str | None) -> None:
    """Correct one field of a claim, or list its fields as they stand; an empty TEXT ("") empties the field.

    The owner stays as it is; where the spots would now give the card to somebody else, that is said. What nobody
    owned yet goes to whom they say. `decide` and `sell` change an owner, `submit --code` and `code` a code.
    """
    from breakdesk.cli.named import claim_of
    from breakdesk.desk.correcting import correct, fields_of

    if field is None:
        now = fields_of(desk, claim_of(desk, tag))
        say_table(("field", "now"), [(word, now[name]) for word, name in WORDS.items()])
        return
    if text is None:
        raise click.UsageError('Type what it is to say, or "" to empty it.')
    report(correct(desk, tag, WORDS[field], text))

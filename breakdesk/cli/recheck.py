"""The command `recheck`: works a draw out again from its receipt alone, without any desk."""

from __future__ import annotations

from pathlib import Path

import click

from breakdesk.cli.common import fail
from breakdesk.cli.output import say

LARGEST_RECEIPT = 8_000_000
"""Bytes; a receipt of the most entries that a draw can have is smaller."""


@click.command("recheck")
@click.argument("receipt", type=click.Path(path_type=Path, dir_okay=False, exists=True, allow_dash=True))
def recheck_command(receipt: Path) -> None:
    """Check a draw: work it out again from its RECEIPT, a file or - for standard input.

    Needs no desk. Exit code 0 where the receipt proves its result, 1 where it does not.
    """
    from breakdesk.desk.drawing import CAUTION, recheck_text
    from breakdesk.rules.draw import short

    with click.open_file(str(receipt), encoding="utf-8", errors="replace") as file:
        text = file.read(LARGEST_RECEIPT)
    found, doubts = recheck_text(text.removeprefix("\ufeff"))
    if found is None or doubts:
        fail(*doubts)
    say(f"The receipt proves its result: {found.draw.title}.")
    say(f"Commitment: {short(found.commitment)} (whole: {found.commitment})")
    say(f"In the draw: {len(found.draw.entries)}. Words called: {', '.join(found.words)}.")
    for place, name in enumerate(found.result, start=1):
        say(f"{place}. {name}")
    say()
    say("This shows that nothing was changed afterwards. Words that were called and left out cannot be seen in it.")
    say(CAUTION)

"""The command `submit`."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from breakdesk.cli.common import report, with_desk
from breakdesk.cli.words import OneWord, typed_code
from breakdesk.rules.claim import FAILURES

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk


@click.command("submit")
@click.argument("tag")
@click.option("--reference", default="", help="The number that the maker gave for it.")
@click.option("--account", default="", help="The account with the maker that it was entered under.")
@click.option("--method", type=OneWord(("site", "mail", "email")), default="site", show_default=True)
@click.option("--ship-to", type=OneWord(("house", "participant")), default="house", show_default=True)
@click.option("--code", is_flag=True, help="Ask for the claim's code, or read it from standard input.")
@click.option("--failed", type=OneWord(FAILURES), help="What the maker said instead of a reference.")
@click.option("--note", default="", help="What else is to be kept about a failed submission.")
@with_desk
def submit_command(
    desk: Desk,
    tag: str,
    reference: str,
    account: str,
    method: str,
    ship_to: str,
    code: bool,
    failed: str | None,
    note: str,
) -> None:
    """Record that a claim was entered with its maker, or that this failed.

    A code is never an argument: it would stay in the shell's history.
    """
    if failed is not None:
        if reference or account:
            raise click.UsageError("A submission that failed has neither reference nor account.")
        if code:
            from breakdesk.desk.codes import enter_code

            report(enter_code(desk, tag, typed_code()))
        from breakdesk.desk.submitting import submission_failed

        report(submission_failed(desk, tag, failed, note))
        return
    from breakdesk.desk.submitting import Submit, submit

    given = typed_code() if code else ""
    request = Submit(tag=tag, code=given, reference=reference, account=account, method=method, ship_to=ship_to)
    report(submit(desk, request))

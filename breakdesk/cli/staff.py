"""The command `staff`: who works at a desk on a server, and what each may do."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from breakdesk.cli.common import fail, report, with_desk
from breakdesk.cli.output import say, say_table

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk


@click.command("staff")
@click.argument("what", type=click.Choice(["add", "remove"]), required=False)
@click.argument("login", required=False)
@click.option("--as", "role", type=click.Choice(["stream", "office", "owner"]), help="What the person may do.")
@click.option("--name", default="", help="The person's name.")
@click.option("--no-password", is_flag=True, help="Set none: the server lets them in another way, as by a certificate.")
@with_desk
def staff_command(
    desk: Desk, what: str | None, login: str | None, role: str | None, name: str, no_password: bool
) -> None:
    """List who works at a desk on a server; add somebody as stream, office or owner, or remove them.

    The server itself enforces what each may do: who streams cannot read codes, addresses, e-mails or phone numbers by
    any program. The password is asked for and never shown.
    """
    from breakdesk.desk import staff
    from breakdesk.desk.problems import Problem
    from breakdesk.store.staff import Person

    if what is None:
        found = staff.list_staff(desk)
        if isinstance(found, Problem):
            fail(found.sentence)
        if not found:
            say("Nobody was added yet: whoever owns the database does everything.")
            return
        say_table(("Login", "Name", "Works as", "May"), [(p.login, p.name, p.role, staff.ABOUT[p.role]) for p in found])
        return
    if not login:
        raise click.UsageError("Name the person's login.")
    if what == "remove":
        report(staff.remove_staff(desk, login))
        return
    if role is None:
        raise click.UsageError("Say what the person may do: --as stream, office or owner.")
    password = "" if no_password else click.prompt("Password for them", hide_input=True, confirmation_prompt=True)
    report(staff.add_staff(desk, Person(login, role, name), password))

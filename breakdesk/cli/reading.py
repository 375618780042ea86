"""The commands that only read: `today`, `owed`, `claim` and `search`."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from breakdesk.cli.common import fail, json_option, with_desk
from breakdesk.cli.output import say, say_json

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk
    from breakdesk.desk.viewing import ClaimView


@click.command("today")
@json_option
@with_desk
def today_command(desk: Desk, as_json: bool) -> None:
    """Print the five lists: what to submit, ask, tell, ship and decide."""
    from breakdesk.desk.viewing import today

    view = today(desk)
    if as_json:
        from breakdesk.files.as_json import today_json

        say_json(today_json(view.today, view.parties))
        return
    from breakdesk.cli.today_lists import say_today

    say_today(view)


@click.command("owed")
@click.argument("who", required=False)
@json_option
@click.option("--answer", is_flag=True, help="Print the answer for this person, to read out or to paste.")
@with_desk
def owed_command(desk: Desk, who: str | None, as_json: bool, answer: bool) -> None:
    """Print what is owed, to everybody or to WHO (a name or a handle; the house by its name or as "house")."""
    from breakdesk.cli.owed_lists import owed_to, say_owed, say_owed_by_one

    if answer:
        _say_answer(desk, who)
        return
    found = owed_to(desk, who)
    if as_json:
        from breakdesk.desk.viewing import product_names
        from breakdesk.files.as_json import owed_json

        products = product_names([line.claim for item in found for line in item.claims])
        say_json(owed_json(found, products))
    elif who is None:
        say_owed(desk, found)
    else:
        say_owed_by_one(desk, found)


def _say_answer(desk: Desk, who: str | None) -> None:
    from breakdesk.cli.named import person_id
    from breakdesk.desk.answering import answer_for_person

    if who is None:
        raise click.UsageError("Say for whom the answer is: owed WHO --answer.")
    text = answer_for_person(desk, person_id(desk, who, beginning_is_enough=True))
    say(text or f"Nothing is owed to {who}.")


@click.command("claim")
@click.argument("tag")
@click.option("--answer", is_flag=True, help="A short answer about it for whoever is on the phone.")
@json_option
@with_desk
def claim_command(desk: Desk, tag: str, answer: bool, as_json: bool) -> None:
    """Print one claim with its whole story."""
    from breakdesk.cli.claim_page import as_known, claim_object, say_claim
    from breakdesk.desk.viewing import claim_view

    view = claim_view(desk, tag)
    if view is None:
        fail(f"There is no claim {tag}. `breakdesk search` finds it by a name or a reference.")
    if answer:
        _say_claim_answer(desk, view)
        return
    view = as_known(desk, view)
    if as_json:
        say_json(claim_object(desk, view))
    else:
        say_claim(desk, view)


def _say_claim_answer(desk: Desk, view: ClaimView) -> None:
    from breakdesk.desk.answering import answer_for_claim

    claim = view.claim
    if claim.owner_kind != "person" or claim.owner_id is None:
        fail(f"Claim {claim.tag} is no participant's now: there is nobody to answer.")
    say(answer_for_claim(desk, claim.owner_id, claim.tag))


@click.command("search")
@click.argument("text", nargs=-1, required=True)
@json_option
@with_desk
def search_command(desk: Desk, text: tuple[str, ...], as_json: bool) -> None:
    """Find participants and claims by the beginnings of words: names, handles, players, tags, references."""
    from breakdesk.cli.search_page import say_found
    from breakdesk.desk.viewing import search

    say_found(desk, search(desk, " ".join(text)), as_json=as_json)

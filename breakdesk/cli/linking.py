"""The command `link`."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from breakdesk.cli.common import fail, report, with_desk
from breakdesk.cli.output import say, say_table

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk
    from breakdesk.desk.linking import ToLink


@click.command("link")
@click.argument("product", required=False)
@click.option("--do", "do_it", is_flag=True, help="Link what fits one card, and what --choose names.")
@click.option(
    "--choose", "choices", nargs=2, multiple=True, metavar="TAG NUMBER", help="Which of the cards listed a claim is."
)
@with_desk
def link_command(desk: Desk, product: str | None, do_it: bool, choices: tuple[tuple[str, str], ...]) -> None:
    """Link claims to the checklist of PRODUCT that came later; without --do it only shows what would be linked.

    An owner that is fixed never changes. One undo takes all of it back.
    """
    from breakdesk.cli.named import product_id
    from breakdesk.desk.linking import link, products_to_link, to_link

    if product is None:
        rows = [(name, str(count)) for _, name, count in products_to_link(desk)]
        if rows:
            say_table(("product", "claims to be linked"), rows, right=(1,))
        else:
            say("Every open claim whose product has a checklist is linked to it.")
        return
    key = product_id(product)
    plan = to_link(desk, key)
    if do_it or choices:
        report(link(desk, key, _chosen(plan, choices)))
    else:
        _show(plan)


def _show(plan: ToLink) -> None:
    from breakdesk.desk.describing import what_of, words_of_card

    rows = [(one.claim.tag, what_of(one.claim), "", words_of_card(one.cards[0])) for one in plan.sure]
    for one in plan.doubtful:
        for number, card in enumerate(one.cards, start=1):
            first = number == 1
            rows.append((one.claim.tag, what_of(one.claim) if first else "", str(number), words_of_card(card)))
        rows.append(("", "", "", " ".join(doubt.sentence for doubt in one.doubts)))
    rows += [(one.claim.tag, what_of(one.claim), "", "not on the checklist") for one in plan.unlisted]
    if not rows:
        say("No open claim of that product waits for its checklist.")
        return
    say_table(("tag", "written down", "choose", "card"), rows, right=(2,))
    say()
    say(f"{len(plan.sure)} fit one card, {len(plan.doubtful)} are doubtful, {len(plan.unlisted)} are not listed.")
    say("Nothing was linked. --do links those that fit; --choose TAG NUMBER names the card of a doubtful one.")


def _chosen(plan: ToLink, choices: tuple[tuple[str, str], ...]) -> dict[int, int]:
    from breakdesk.rules.tags import normalise_tag

    doubtful = {normalise_tag(one.claim.tag): one for one in plan.doubtful}
    chosen: dict[int, int] = {}
    for tag, number in choices:
        one = doubtful.get(normalise_tag(tag))
        if one is None:
            fail(f"{tag} is none of the doubtful claims of that product.")
        if not (number.isascii() and number.isdigit() and 1 <= int(number) <= len(one.cards)):
            fail(f"{tag} has {len(one.cards)} cards to choose from; {number} is none of them.")
        chosen[one.claim.id] = one.cards[int(number) - 1].id
    return chosen

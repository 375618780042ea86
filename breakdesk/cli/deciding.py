"""The command `decide`: what waits for the house, and what it decides."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING

import click

from breakdesk.cli.common import report, with_desk
from breakdesk.cli.instants import DAY
from breakdesk.cli.output import say, say_table

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk
    from breakdesk.desk.problems import Result

CHOICES = """
\b
  try             submit a card although it had expired when it was pulled
  ask             ask the maker first about such a card
  retry           submit again after a submission that failed
  maker NAME      the claim is with another maker
  owner NAME      whose card it is ("house" for the house)
  take            the participant takes the replacement
  wait            the participant waits for the card that was promised
  decline         the participant declines the replacement
  passed-on       the answer to an offer was given to the maker
  refused         the maker will not fill it
  followed-up     what was promised, or asked without a reply, was followed up
  back            the card of a parcel that went wrong is here again
  seen            the code was seen on camera
  kept            a promise to a participant was kept (its number in place of the tag)
"""


@click.command(
    "decide",
    help="List what waits for the house, or take a decision about TAG. To end a debt use `close`.\n\n"
    f"CHOICE is one of:\n{CHOICES}",
)
@click.argument("tag", required=False)
@click.argument("choice", required=False)
@click.argument("value", nargs=-1, metavar="[NAME]")
@click.option("--reason", default="", help="A few words for the history.")
@click.option("--by", type=DAY, help="Look at it again on this day.")
@with_desk
def decide_command(
    desk: Desk, tag: str | None, choice: str | None, value: tuple[str, ...], reason: str, by: date | None
) -> None:
    """Takes a decision."""
    if tag is None:
        _list(desk)
        return
    if choice is None:
        if by is None:
            raise click.UsageError("Say what was decided; `breakdesk decide --help` names the choices.")
        from breakdesk.desk.following import follow_up

        report(follow_up(desk, tag, by, reason))
        return
    word = choice.lower().replace("_", "-")
    name = " ".join(value)
    take = _decisions(desk, tag, name, reason).get(word)
    if take is None:
        raise click.UsageError(f"{choice!r} is not a choice; `breakdesk decide --help` names them.")
    if (word in ("owner", "maker")) != bool(name):
        raise click.UsageError("The choices owner and maker take a name; the others do not.")
    report(take())
    if by is not None and word != "kept":
        from breakdesk.desk.following import follow_up

        report(follow_up(desk, tag, by, reason))


def _decisions(desk: Desk, tag: str, name: str, reason: str) -> dict[str, Callable[[], Result]]:
    from breakdesk.desk import following, people, settling, shipping, submitting

    return {
        "try": lambda: submitting.choose_for_expired(desk, tag, "try"),
        "ask": lambda: submitting.choose_for_expired(desk, tag, "ask"),
        "retry": lambda: submitting.try_again(desk, tag),
        "maker": lambda: submitting.move_to_maker(desk, tag, name),
        "owner": lambda: settling.change_owner(desk, tag, name, reason),
        "take": lambda: settling.answer_offer(desk, tag, "take", reason),
        "wait": lambda: settling.answer_offer(desk, tag, "wait", reason),
        "decline": lambda: settling.answer_offer(desk, tag, "decline", reason),
        "passed-on": lambda: settling.pass_on_offer(desk, tag),
        "refused": lambda: settling.refuse_claim(desk, tag, reason),
        "followed-up": lambda: following.followed_up(desk, tag, reason),
        "back": lambda: shipping.back_in_hand(desk, tag, reason),
        "seen": lambda: submitting.seen_on_camera(desk, tag),
        "kept": lambda: people.kept_promise(desk, _promise_number(tag)),
    }


def _promise_number(text: str) -> int:
    digits = text.lower().removeprefix("promise").strip(" -")
    if not digits.isdecimal():
        raise click.UsageError("Name the promise by its number, as the list shows it: decide 3 kept.")
    return int(digits)


def _list(desk: Desk) -> None:
    from breakdesk.cli.today_lists import DECIDE_HEADINGS, decide_row
    from breakdesk.desk.viewing import today

    view = today(desk)
    if not view.today.decide:
        say("Nothing waits for a decision.")
        return
    say_table(DECIDE_HEADINGS, [decide_row(view, item) for item in view.today.decide])

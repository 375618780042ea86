"""The command `ask`: the message to a maker, and the record that it was sent."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import click

from breakdesk.cli.common import fail, report, with_desk
from breakdesk.cli.output import say, say_problem, say_table
from breakdesk.cli.wording import day_words, instant_words
from breakdesk.rules.wording import counted

if TYPE_CHECKING:
    from breakdesk.desk.ask_messages import AskDraft, HeldAsk
    from breakdesk.desk.desk import Desk
    from breakdesk.rules.claim import Claim, Listed


@click.command("ask")
@click.argument("maker", required=False)
@click.option("--tag", "tags", multiple=True, help="Only this claim; may be given several times.")
@click.option("--print", "print_all", is_flag=True, help="Print the messages to all makers that may be asked.")
@click.option("--sent", is_flag=True, help="Record that the message was sent; held where the office is closed.")
@click.option("--release", is_flag=True, help="Record that held messages were sent, now that the office is open.")
@click.option("--drop", is_flag=True, help="Throw held messages away.")
@click.option("--mail", is_flag=True, help="Send it by your mail server; with --release the held ones.")
@click.option("--arrived/--not-arrived", default=None, help="Settle the message in doubt to MAKER.")
@click.option("--out", type=click.Path(path_type=Path), metavar="FOLDER", help="Write into this new folder.")
@click.option("--as", "form", type=click.Choice(["txt", "eml"]), default="txt", show_default=True, help="With --out.")
@click.option("--from", "sender", default="", metavar="ADDRESS", help="Your address, for eml without mail settings.")
@with_desk
def ask_command(
    desk: Desk,
    maker: str | None,
    tags: tuple[str, ...],
    print_all: bool,
    sent: bool,
    release: bool,
    drop: bool,
    mail: bool,
    arrived: bool | None,
    out: Path | None,
    form: Literal["txt", "eml"],
    sender: str,
) -> None:
    """Print the message to MAKER about the claims that may be asked about; --sent records it, --mail sends it.

    Without MAKER lists the makers that may be asked, and the messages that are held. --out writes the message to MAKER,
    or to each of them, into files; that is no ask until you say that it was sent.
    """
    if sum((sent, release, drop)) > 1:
        raise click.UsageError("Choose one of --sent, --release and --drop.")
    if mail and (sent or drop or out is not None):
        raise click.UsageError("--mail sends and records by itself; leave --sent, --drop and --out out.")
    if mail and desk.clock.named is not None:
        raise click.UsageError("--mail sends now: leave --on out.")
    from breakdesk.cli.ask_ways import settle_doubt, write_files

    if arrived is not None:
        settle_doubt(desk, maker, arrived=arrived)
        return
    if out is not None:
        write_files(desk, _about(desk, maker, tags), out, form, sender)
        return
    if mail:
        _send(desk, maker, tags, held=release)
        return
    if release or drop:
        _settle_held(desk, maker, send=release)
        return
    if maker is None and not tags:
        if sent:
            raise click.UsageError("Name the maker whose message was sent.")
        _list(desk, in_full=print_all)
        return
    _one_maker(desk, maker, tags, sent=sent)


def _one_maker(desk: Desk, maker: str | None, tags: Sequence[str], *, sent: bool) -> None:
    from breakdesk.desk.ask_messages import ask_draft

    claims = _named_claims(desk, maker, tags) if tags else _claims_to_ask(desk, maker or "")
    draft = ask_draft(desk, claims)
    _say_draft(draft)
    if sent:
        from breakdesk.desk.asking import ask

        say()
        report(ask(desk, [claim.tag for claim in draft.claims], draft.message.text))


def _named_claims(desk: Desk, maker: str | None, tags: Sequence[str]) -> list[Claim]:
    from breakdesk.cli import named

    claims = [named.claim_of(desk, tag) for tag in dict.fromkeys(tags)]
    keys = {claim.maker_id for claim in claims}
    if len(keys) > 1:
        fail("These claims are with different makers. Write one message to each maker.")
    if maker is not None and keys != {named.maker_id(maker)}:
        fail(f"These claims are not with {maker}.")
    return claims


def _claims_to_ask(desk: Desk, maker: str) -> Sequence[Listed]:
    from breakdesk.cli import named
    from breakdesk.desk.viewing import today

    key = named.maker_id(maker)
    found = [line.claim for item in today(desk).today.ask if item.maker.id == key for line in item.claims]
    if not found:
        fail(f"There is nothing to ask {maker} about now. `breakdesk look` shows what is with them.")
    return found


def _say_draft(draft: AskDraft) -> None:
    say(f"To: {draft.maker or 'the maker'}{f' <{draft.contact}>' if draft.contact else ''}")
    if draft.message.subject:
        say(f"Subject: {draft.message.subject}")
    say()
    say(draft.message.text)
    for warning in draft.message.warnings:
        say_problem(f"Note: {warning}")
    if draft.left_over:
        say_problem(f"Note: {counted(draft.left_over, 'more claim')} may be asked about; a message names only so many.")


def _list(desk: Desk, *, in_full: bool) -> None:
    from breakdesk.desk.ask_mail import in_doubt
    from breakdesk.desk.ask_messages import ask_draft, held_asks
    from breakdesk.desk.viewing import today

    view = today(desk)
    zone = view.parties.house.zone_at(view.today.as_of)
    if in_full:
        for position, item in enumerate(view.today.ask):
            if position:
                say()
                say("-" * 8)
                say()
            _say_draft(ask_draft(desk, [line.claim for line in item.claims]))
        return
    rows = []
    for item in view.today.ask:
        office = "open now" if item.open_now else f"opens {instant_words(item.opens_at, zone)}"
        oldest = max(item.claims, key=lambda line: line.age.days)
        rows.append((item.maker.name or "no maker", str(len(item.claims)), f"{oldest.age.days} days", office))
    if rows:
        say_table(("maker", "claims", "oldest", "office"), rows, right=(1, 2))
    else:
        say("No maker may be asked now.")
    _say_held(held_asks(desk))
    for doubt in in_doubt(desk):
        say()
        say(f"Nobody knows whether the message to {doubt.maker} about {', '.join(doubt.tags)} arrived.")
        say(f'Look, then: breakdesk ask "{doubt.maker}" --arrived (or --not-arrived)')


def _say_held(held: Sequence[HeldAsk]) -> None:
    if held:
        say()
        say_table(
            ("held for", "written", "claims"),
            [(item.maker, day_words(item.written_on), ", ".join(claim.tag for claim in item.claims)) for item in held],
        )


def _settle_held(desk: Desk, maker: str | None, *, send: bool) -> None:
    from breakdesk.cli import named
    from breakdesk.desk.ask_messages import held_asks
    from breakdesk.desk.asking import drop_held, send_held
    from breakdesk.desk.problems import Problem

    key = None if maker is None else named.maker_id(maker)
    held = [item for item in held_asks(desk) if maker is None or item.maker_id == key]
    if not held:
        fail("No message is held.")
    problems = []
    for item in held:
        result = send_held(desk, item.id) if send else drop_held(desk, item.id)
        if isinstance(result, Problem):
            problems.append(result.sentence)
        else:
            report(result)
    if problems:
        fail(*problems)


def _about(desk: Desk, maker: str | None, tags: Sequence[str]) -> list[Sequence[Listed]]:
    """The claims of each message: of the maker that was named, or of every one that may be asked."""
    from breakdesk.desk.viewing import today

    if tags:
        return [_named_claims(desk, maker, tags)]
    if maker is not None:
        return [_claims_to_ask(desk, maker)]
    return [[line.claim for line in item.claims] for item in today(desk).today.ask if item.claims]


def _send(desk: Desk, maker: str | None, tags: Sequence[str], *, held: bool) -> None:
    from breakdesk.cli import named
    from breakdesk.cli.ask_ways import send_held_ones, send_one

    if held:
        send_held_ones(desk, None if maker is None else named.maker_id(maker))
    elif maker is None and not tags:
        raise click.UsageError("Name the maker, or say --release for the messages that are held.")
    else:
        (claims,) = _about(desk, maker, tags)
        send_one(desk, [claim.tag for claim in claims])

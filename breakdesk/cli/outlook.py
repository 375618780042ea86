"""The command `outlook`: how long makers take, and what that says of one claim."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from breakdesk.cli.common import fail, json_option, with_desk
from breakdesk.cli.output import say, say_json, say_table
from breakdesk.rules.wording import counted

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk
    from breakdesk.desk.outlook import ClaimForecast
    from breakdesk.rules.maker_outlook import MakerOutlook


@click.command("outlook")
@click.argument("tag", required=False)
@click.option("--maker", metavar="MAKER", help="Only this maker, with its curve drawn.")
@json_option
@with_desk
def outlook_command(desk: Desk, tag: str | None, maker: str | None, as_json: bool) -> None:
    """Say how long cards take to come: for each maker, or for one claim by its TAG.

    It looks back at other claims, those that still wait counted as waiting. It is never a promise.
    """
    if tag is not None and maker is not None:
        raise click.UsageError("Name a claim or a maker, not both.")
    if tag is not None:
        _say_forecast(desk, tag, as_json)
    elif maker is not None:
        _say_maker(desk, maker, as_json)
    else:
        _say_all(desk, as_json)


def _say_forecast(desk: Desk, tag: str, as_json: bool) -> None:
    from breakdesk.desk.outlook import forecast_of
    from breakdesk.desk.problems import Problem
    from breakdesk.files.as_json import forecast_json

    found = forecast_of(desk, tag)
    if isinstance(found, Problem):
        fail(found.sentence)
    if as_json:
        say_json(forecast_json(found.tag, found.forecast))
        return
    say(f"{found.tag} has waited {counted(found.forecast.waited_days, 'day')} since it was submitted.")
    for line in forecast_lines(found):
        say(line)
    _say_marked_curve(found)


def _say_marked_curve(found: ClaimForecast) -> None:
    from breakdesk.desk.curve_drawing import draw_curve, legend, marks_legend, marks_of

    marks = marks_of(found.forecast)
    lines = draw_curve(found.curve, marks=marks)
    if lines:
        say()
        say(legend())
        say()
        say("\n".join([*lines, "", *marks_legend(marks, found.curve)]))


def forecast_lines(found: ClaimForecast) -> list[str]:
    """What the curve says of a claim, with limits, and the sentence for a customer."""
    from breakdesk.desk.curve_drawing import TOO_FAR

    seen = found.forecast
    half = _span(seen.half_within_days, seen.half_limits.low, seen.half_limits.high)
    most = _span(seen.most_within_days, seen.most_limits.low, seen.most_limits.high)
    share = TOO_FAR if seen.share_within_90_days is None else f"{seen.share_within_90_days:.0%} of them"
    whose = "all makers together, since this maker has filled fewer than 10" if found.pooled else found.maker or ""
    return [
        f"Read off the claims of {whose}.",
        f"Half of the claims that waited as long came within: {half}",
        f"80 in 100 came within: {most}",
        f"Within 90 more days came: {share}",
        "",
        found.sentence,
    ]


def _span(days: int | None, low: int | None, high: int | None) -> str:
    from breakdesk.desk.curve_drawing import TOO_FAR

    if days is None:
        return TOO_FAR
    return f"{counted(days, 'day')} more (95 % limits {'?' if low is None else low} to {'?' if high is None else high})"


def _say_maker(desk: Desk, name: str, as_json: bool) -> None:
    from breakdesk.desk.outlook import outlook_of_maker
    from breakdesk.desk.problems import Problem
    from breakdesk.files.as_json import outlook_json

    found = outlook_of_maker(desk, name)
    if isinstance(found, Problem):
        fail(found.sentence)
    if as_json:
        say_json(outlook_json([found]))
        return
    _say_rows([found])
    _say_curve(found)


def _say_all(desk: Desk, as_json: bool) -> None:
    from breakdesk.desk.outlook import outlook
    from breakdesk.files.as_json import outlook_json
    from breakdesk.rules.maker_outlook import expected_words, total_expected

    items = outlook(desk)
    if as_json:
        say_json(outlook_json(items))
        return
    _say_rows(items)
    _say_curve(items[-1])
    words = expected_words(total_expected(items))
    if words:
        say()
        say(words)


def _say_rows(items: Sequence[MakerOutlook]) -> None:
    headings = ("maker", "submitted", "waiting", "filled", "refused", "half came in", "6 months", "12 months", "curve")
    say_table(headings, [_row(item) for item in items], right=range(1, 8))


def _row(item: MakerOutlook) -> tuple[str, ...]:
    limits = item.median_limits
    reach = f" ({'?' if limits.low is None else limits.low}-{'?' if limits.high is None else limits.high})"
    return (
        item.maker or "all makers",
        f"{item.submitted:,}",
        f"{item.waiting:,}",
        f"{item.filled:,}",
        f"{item.refused:,}",
        "?" if item.median_days is None else f"{counted(item.median_days, 'day')}{reach}",
        _share(item.share_within_half_a_year),
        _share(item.share_within_a_year),
        "of all makers" if item.pooled else "its own" if item.maker else "",
    )


def _share(share: float | None) -> str:
    return "?" if share is None else f"{share:.0%}"


def _say_curve(item: MakerOutlook) -> None:
    from breakdesk.desk.curve_drawing import draw_curve, legend

    say()
    say(item.sentence)
    lines = draw_curve(item.curve)
    if lines:
        say()
        say(legend())
        say()
        say("\n".join(lines))

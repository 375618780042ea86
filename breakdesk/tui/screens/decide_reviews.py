"""A marked maker in the decide round: the day to look at it again has come."""

from __future__ import annotations

from collections.abc import Awaitable, Sequence

from breakdesk.desk.desk import Desk
from breakdesk.desk.makers import MarkedMaker, clear_maker, look_again, marked_makers
from breakdesk.desk.problems import Result
from breakdesk.rules.rounds.items import Review, ToDecide
from breakdesk.rules.wording import counted
from breakdesk.tui.screens.acting_screen import ActingScreen
from breakdesk.tui.screens.decide_words import CHOICE_WORDS
from breakdesk.tui.screens.round_items import Item
from breakdesk.tui.widgets.fields import Field
from breakdesk.tui.wording import day_words

CHOICES: Sequence[tuple[str, str]] = tuple((name, CHOICE_WORDS[name]) for name in ("new_day", "as_usual"))


def review_item(line: ToDecide, review: Review) -> Item:
    """The item of a maker."""
    return Item(key=f"maker {review.maker_id}", label=f"maker {review.maker}", data=line, names=review.maker)


def marked_maker(desk: Desk, review: Review) -> MarkedMaker | None:
    """What is known of the maker now; None where the mark was taken off."""
    return next((marked for marked in marked_makers(desk) if marked.name == review.maker), None)


async def review_fields(screen: ActingScreen, review: Review) -> list[Field]:
    """What the round says of it."""
    marked = await screen.desk.call(marked_maker, review)
    fields = [
        Field("Maker", review.maker, strong=True),
        Field("Marked", review.what),
        Field("Look again", day_words(review.due_on, screen.desk.today())),
        Field("Carried on", f"by {marked.successor}" if marked and marked.successor else ""),
        Field("Waiting", counted(marked.claims, "claim") + " to fill" if marked else ""),
    ]
    return [field for field in fields if field.value]


async def work_on_review(screen: ActingScreen, review: Review) -> tuple[Awaitable[Result], bool] | None:
    """Asks what becomes of it; gives the action and whether it is undone by name. None where it was left."""
    choice = await screen.pick(f"What about {review.maker}?", CHOICES)
    if choice == "as_usual":
        return screen.desk.call(clear_maker, review.maker), False
    day = await screen.ask_day("Look at it again on which day?") if choice == "new_day" else None
    return None if day is None else (screen.desk.call(look_again, review.maker, day), True)

"""Settling terms of the house and of makers from a day on, and noting days on which an office is closed."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date, datetime

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.finding import maker_named
from breakdesk.desk.problems import Problem, Result, refuse
from breakdesk.rules.names import folded
from breakdesk.rules.public_holidays import public_holidays
from breakdesk.rules.start_line import TERM as START_LINE
from breakdesk.rules.term_values import change_days, check_value, clashes
from breakdesk.rules.terms import HOUSE_DEFAULTS, MAKER_DEFAULTS, Terms, terms_from
from breakdesk.rules.wording import counted, day_in_words, weekday_in_words
from breakdesk.store import models
from breakdesk.store import terms as store_terms
from breakdesk.store.parties import read_house
from breakdesk.store.projecting import refresh_due_days

YEARS_BEFORE, YEARS_AHEAD = 1, 3
"""Public holidays are stored from last year on to three years ahead."""
FIRST_YEAR, LAST_YEAR = 1990, 2100


@dataclass(frozen=True, slots=True, kw_only=True)
class Settle:
    """A term that is to hold from a day on.

    `maker` None is the house. `from_day` None is today; with `since_always` the value holds for every day on which
    nothing later was settled, so that it rewrites the past, too.
    """

    name: str
    value: str
    maker: str | None = None
    from_day: date | None = None
    since_always: bool = False


def settle(desk: Desk, request: Settle, key: int | None = None) -> Result:
    """Settles a term; the days on which claims fall due are set anew where the term moves them."""
    return act(desk, "settle", settling(desk, request), key)


def settling(desk: Desk, request: Settle) -> Callable[[Act], str]:
    """What settling a term does, for an action that is called otherwise."""

    def work(a: Act) -> str:
        maker = None if request.maker is None else maker_named(request.maker)
        maker_id = None if maker is None else int(maker.id)
        try:
            value = check_value(request.name, request.value, of_maker=maker is not None)
        except ValueError as error:
            raise refuse(str(error)) from error
        from_day = None if request.since_always else request.from_day or a.day
        if request.name == START_LINE and from_day != a.day:
            raise refuse("A start line is drawn on the day itself.", "Leave the day out.")
        if from_day is not None and not FIRST_YEAR <= from_day.year <= LAST_YEAR:
            raise refuse(
                f"{day_in_words(from_day)} is outside the years {FIRST_YEAR} to {LAST_YEAR}.", "Name another day."
            )
        changes = {request.name: value}
        if request.name == "country" and maker_id is not None:
            # A part of one country is no part of another.
            changes["subdivision"] = ""
        if request.name == "zone" and maker_id is not None and "country" not in {name for name, *_ in _rows(maker_id)}:
            # The default country goes with the default zone; of a maker elsewhere it would be a guess.
            changes["country"] = ""
            a.warnings.append("Settle its country, too, so that its public holidays count.")
        _check_together(maker_id, changes, from_day)
        for name, new in changes.items():
            store_terms.keep_term(desk.database, maker_id, name, new, from_day, desk.clock.now())
            body = {"name": name, "value": new, "from": from_day.isoformat() if from_day else ""}
            a.line("house" if maker_id is None else "maker", maker_id or 0, "settled", body)
        if maker_id is not None and {"country", "subdivision"} & set(changes):
            _store_holidays(a, maker_id, from_day)
        moved = refresh_due_days(desk.database)
        whose = "The house" if maker is None else maker.name
        since = "since always" if from_day is None else f"from {day_in_words(from_day)} on"
        return f"{whose}: {request.name} is {value or 'empty'} {since}.{_moved(moved)}"

    return work


def _check_together(maker_id: int | None, changes: dict[str, str], from_day: date | None) -> None:
    if maker_id is None:
        return
    rows = [*_rows(maker_id), *((name, value, from_day) for name, value in changes.items())]
    for sentence in clashes(terms_from(MAKER_DEFAULTS, rows)):
        raise refuse(sentence)


def _rows(maker_id: int | None) -> list[tuple[str, str, date | None]]:
    return [(term.name, term.value, term.from_day) for term in store_terms.settled_terms(maker_id)]


def _store_holidays(a: Act, maker_id: int, from_day: date | None) -> None:
    first = date(a.day.year - YEARS_BEFORE, 1, 1)
    if from_day is not None:
        first = max(first, from_day)
    found = holidays_over(terms_from(MAKER_DEFAULTS, _rows(maker_id)), first.year, a.day.year + YEARS_AHEAD)
    store_terms.replace_holidays(a.desk.database, maker_id, found, first)


def holidays_over(terms: Terms, first_year: int, last_year: int) -> dict[date, str]:
    """The public holidays of some years, each of the country and part in force on its day."""
    starts = change_days(terms)
    found: dict[date, str] = {}
    for position, start in enumerate(starts):
        end = starts[position + 1] if position + 1 < len(starts) else date.max
        country, part = terms.on("country", start), terms.on("subdivision", start)
        if country and end.year >= first_year and start.year <= last_year:
            listed = public_holidays(country, part or None, range(first_year, last_year + 1))
            found |= {day: name for day, name in listed.items() if start <= day < end}
    return found


def _moved(claims: int) -> str:
    if not claims:
        return ""
    return f" {counted(claims, 'claim falls', 'claims fall')} due on other days now."


def note_closed_day(desk: Desk, maker: str, day: date, name: str = "", key: int | None = None) -> Result:
    """Notes a day on which a maker's office is closed, beside its public holidays."""

    def work(a: Act) -> str:
        row = maker_named(maker)
        if not FIRST_YEAR <= day.year <= LAST_YEAR:
            raise refuse(f"{day_in_words(day)} is outside the years {FIRST_YEAR} to {LAST_YEAR}.", "Name another day.")
        store_terms.note_closed_day(desk.database, int(row.id), day, " ".join(name.split()))
        a.line("maker", int(row.id), "closed day noted", {"day": day.isoformat()})
        return f"{row.name} is closed on {weekday_in_words(day)}.{_moved(refresh_due_days(desk.database))}"

    return act(desk, "note closed day", work, key)


def drop_closed_day(desk: Desk, maker: str, day: date, key: int | None = None) -> Result:
    """Takes a noted closed day back; a public holiday stays one."""

    def work(a: Act) -> str:
        row = maker_named(maker)
        if day not in store_terms.closed_days(int(row.id), store_terms.NOTED):
            raise refuse(
                f"{day_in_words(day)} is not noted as closed for {row.name}.", "Public holidays cannot be dropped."
            )
        store_terms.drop_closed_day(desk.database, int(row.id), day)
        a.line("maker", int(row.id), "closed day dropped", {"day": day.isoformat()})
        said = f"{weekday_in_words(day)} is no noted closed day of {row.name} any more."
        return said + _moved(refresh_due_days(desk.database))

    return act(desk, "drop closed day", work, key)


@dataclass(frozen=True, slots=True, kw_only=True)
class SettledValue:
    """A value of a term and the first day on which it holds; None for the earliest of them."""

    value: str
    from_day: date | None
    recorded_at: datetime | None
    """None for a default, which nobody settled."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TermView:
    """A term as a settings screen shows it: what holds today, and every value over time, oldest first."""

    name: str
    today: str
    default: str
    values: tuple[SettledValue, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TermsView:
    """The terms of the house (`maker` None) or of a maker, and a maker's closed days with their names."""

    maker: str | None
    terms: tuple[TermView, ...]
    noted: tuple[tuple[date, str], ...] = ()
    holidays: tuple[tuple[date, str], ...] = ()


def terms_of(desk: Desk, maker: str | None = None) -> TermsView | Problem:
    """The terms of the house, or of the maker with this name, as of the desk's instant."""
    if maker is None:
        house = read_house()
        return TermsView(maker=None, terms=_views(HOUSE_DEFAULTS, None, house.today(desk.clock.as_of())))
    row = models.Maker.get_or_none(models.Maker.folded == folded(maker))
    if row is None:
        return Problem(f"No maker is called {maker}.", "Check the name; `breakdesk outlook` lists the makers.")
    today = read_house().today(desk.clock.as_of())
    return TermsView(
        maker=row.name,
        terms=_views(MAKER_DEFAULTS, int(row.id), today),
        noted=tuple(store_terms.closed_days(int(row.id), store_terms.NOTED).items()),
        holidays=tuple(store_terms.closed_days(int(row.id), store_terms.HOLIDAY).items()),
    )


def _views(defaults: Iterable[str], maker_id: int | None, today: date) -> tuple[TermView, ...]:
    standard = HOUSE_DEFAULTS if maker_id is None else MAKER_DEFAULTS
    settled = store_terms.settled_terms(maker_id)
    terms = terms_from(standard, ((term.name, term.value, term.from_day) for term in settled))
    recorded = {(term.name, term.from_day): term.recorded_at for term in settled}
    views = []
    for name in defaults:
        values = [
            SettledValue(value=version.value, from_day=version.from_day, recorded_at=recorded[name, version.from_day])
            for version in terms.versions.get(name, ())
        ]
        if not values or values[0].from_day is not None:
            values.insert(0, SettledValue(value=standard[name], from_day=None, recorded_at=None))
        views.append(TermView(name=name, today=terms.on(name, today), default=standard[name], values=tuple(values)))
    return tuple(views)

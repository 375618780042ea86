"""How many statements a view may need, and that none of them walks a table that grows with the desk."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from typing import Any

import pytest

from breakdesk.desk import following
from breakdesk.desk.answering import person_view
from breakdesk.desk.breaks import list_breaks
from breakdesk.desk.clock import Clock
from breakdesk.desk.desk import Desk, open_desk
from breakdesk.desk.entering import Pull, open_table, pull, read_line
from breakdesk.desk.listing import claim_rows, count_claims, count_owed, owed_rows
from breakdesk.desk.sample import add_stories, fill
from breakdesk.desk.searching import look_for
from breakdesk.desk.summary import summary
from breakdesk.desk.viewing import claim_view, owed, today
from breakdesk.rules.claim import STATES
from breakdesk.rules.entry import Kept
from breakdesk.store.models import StrictSqlite

pytestmark = pytest.mark.about_files
NOW = datetime(2026, 6, 15, 18, tzinfo=UTC)
SMALL = {"term", "maker", "closed_day", "desk_fact", "park", "follow_up", "account", "history_head", "owed", "CONSTANT"}
"""Tables that do not grow with the claims, and the engine's words for rows that stand in no table."""


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    """The sample desk."""
    made = open_desk(tmp_path_factory.mktemp("queries") / "desk.db", Clock(lambda: NOW), create=True)
    fill(made)
    add_stories(made)
    yield made
    made.close()


Statement = tuple[str, Any]


@pytest.fixture
def asked(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> Callable[[Callable[[], object]], list[Statement]]:
    """Gives the statements that something needs."""

    def listen(work: Callable[[], object]) -> list[Statement]:
        heard: list[Statement] = []
        execute = StrictSqlite.execute_sql

        def hear(self: StrictSqlite, sql: str, params: Any = None, *more: Any) -> Any:
            heard.append((sql, params or ()))
            return execute(self, sql, params, *more)  # type: ignore[no-untyped-call]

        with monkeypatch.context() as patched:
            patched.setattr(StrictSqlite, "execute_sql", hear)
            work()
        return heard

    return listen


def person_of(desk: Desk) -> int:
    """The participant who is owed most."""
    return max(owed_rows(desk, 0, 100), key=lambda row: row.claims).person_id


# What a view may need at most. A view that needs more of them has begun to ask once a row.
BUDGETS: dict[str, tuple[int, Callable[[Desk], object]]] = {
    "the first screen": (45, summary),
    "who is owed: a window": (2, lambda desk: owed_rows(desk, 0, 64)),
    "who is owed: the count": (1, count_owed),
    "all claims: a window": (1, lambda desk: claim_rows(desk, 0, 64)),
    "all claims: the count": (1, count_claims),
    "search": (5, lambda desk: look_for(desk, "br")),
    "search by two words": (5, lambda desk: look_for(desk, "br s")),
    "one participant": (30, lambda desk: person_view(desk, person_of(desk))),
    "one claim": (20, lambda desk: claim_view(desk, claim_rows(desk, 0, 1)[0].tag)),
    "the five lists": (20, today),
    "what is owed to everybody": (20, owed),
}


@pytest.mark.parametrize("name", BUDGETS)
def test_a_view_keeps_its_budget_of_queries(
    desk: Desk, asked: Callable[[Callable[[], object]], list[Statement]], name: str
) -> None:
    most, view = BUDGETS[name]
    heard = asked(lambda: view(desk))
    assert 0 < len(heard) <= most, [sql for sql, _ in heard]


# The list of everything that is owed and the count of all rows have to walk all of it; the screens ask for windows.
WALKS_BY_RIGHT = {"what is owed to everybody", "all claims: the count", "who is owed: the count"}


@pytest.mark.parametrize("name", sorted(BUDGETS.keys() - WALKS_BY_RIGHT))
def test_no_query_walks_a_table_that_grows(
    desk: Desk, asked: Callable[[Callable[[], object]], list[Statement]], name: str
) -> None:
    _, view = BUDGETS[name]
    walks = []
    for sql, values in asked(lambda: view(desk)):
        if not sql.lstrip().upper().startswith("SELECT"):
            continue
        for step in desk.database.execute_sql(f"EXPLAIN QUERY PLAN {sql}", values):  # type: ignore[no-untyped-call]
            scanned = re.match(r"SCAN (\S+)(.*)", step[3])
            # A window that follows an index ends with the window.
            follows_order = scanned is not None and "COVERING INDEX" in scanned[2] and "LIMIT" in sql
            if scanned is not None and scanned[1] not in SMALL and not follows_order:
                walks.append((step[3], " ".join(sql.split())[:200]))
    assert walks == []


def test_an_action_needs_few_statements_however_many_claims_there_are(
    desk: Desk, asked: Callable[[Callable[[], object]], list[Statement]]
) -> None:
    tag = next(row.tag for row in claim_rows(desk, 0, 500) if row.state == "submitted")
    heard = asked(lambda: following.note(desk, tag, "the maker wrote back"))
    assert len(heard) <= 60, [sql for sql, _ in heard]
    for sql, values in heard:
        if sql.lstrip().upper().startswith(("SELECT", "UPDATE", "DELETE")):
            plan = desk.database.execute_sql(f"EXPLAIN QUERY PLAN {sql}", values)  # type: ignore[no-untyped-call]
            walked = [step[3] for step in plan if step[3].startswith("SCAN")]
            assert all(step.split()[1] in SMALL for step in walked), (walked, sql)


def test_a_claim_is_written_down_with_few_statements_that_walk_nothing(
    desk: Desk, asked: Callable[[Callable[[], object]], list[Statement]]
) -> None:
    break_id = next(line.id for line in list_breaks() if line.running)
    table = open_table(desk, break_id)
    player = next(one.subjects[0] for one in table.lexicon.candidates if one.subjects)
    reading = read_line(table, player, Kept(), NOW).best
    heard = asked(lambda: pull(desk, Pull(break_id=break_id, reading=reading)))
    assert 0 < len(heard) <= 40, [sql for sql, _ in heard]
    for sql, values in heard:
        if sql.lstrip().upper().startswith(("SELECT", "UPDATE", "DELETE")):
            plan = desk.database.execute_sql(f"EXPLAIN QUERY PLAN {sql}", values)  # type: ignore[no-untyped-call]
            walked = [step[3] for step in plan if step[3].startswith("SCAN")]
            assert all(step.split()[1] in SMALL for step in walked), (walked, sql)


def test_the_states_between_closed_and_void_are_those_that_are_owed() -> None:
    assert {state for state in STATES if "closed" < state < "void"} == set(STATES) - {"closed", "void"}

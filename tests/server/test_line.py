"""The line drops, the server is started anew, a transaction is killed: everything is whole, and done once."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from typing import Any

import pytest
from engines import Server

from breakdesk.desk import following
from breakdesk.desk.acting import act
from breakdesk.desk.checking import verify
from breakdesk.desk.problems import Done, Problem
from breakdesk.desk.watching import watching
from breakdesk.store import models
from breakdesk.store.server import driver
from tests.desk.conftest import World

PATIENCE = 20.0


def until(holds: Callable[[], Any]) -> bool:
    """Whether something comes to hold."""
    end = time.monotonic() + PATIENCE
    while not holds() and time.monotonic() < end:
        time.sleep(0.05)
    return bool(holds())


def cut(world: World) -> None:
    """Ends every connection to the desk, as a line that drops does."""
    with driver().connect(world.desk.database.connect_params["conninfo"], autocommit=True) as connection:
        connection.execute(
            "SELECT pg_terminate_backend(pid) FROM pg_stat_activity "
            "WHERE datname = current_database() AND pid <> pg_backend_pid()"
        )


def test_a_line_that_dropped_is_taken_up_again_by_the_next_action(world: World) -> None:
    tag = world.pull()
    cut(world)
    assert isinstance(following.note(world.desk, tag, "after the line dropped"), Done)
    assert list(verify(world.desk)) == []


def test_a_transaction_killed_in_the_middle_is_done_once(world: World) -> None:
    tag, runs = world.pull(), []

    def work(a: Any) -> str:
        runs.append(len(runs))
        claim = a.claim(world.claim(tag).id)
        a.add_in_order(claim, "noted", a.text("written while the line dropped"))
        if len(runs) == 1:
            cut(world)
        return "Noted."

    before = models.Action.select().count(), models.FreeText.select().count()
    done = act(world.desk, "note", work)
    assert isinstance(done, Done), done
    assert runs == [0, 1]
    assert (models.Action.select().count(), models.FreeText.select().count()) == (before[0] + 1, before[1] + 1)
    assert list(verify(world.desk)) == []


def test_an_answer_that_was_lost_after_the_commit_is_not_done_again(
    world: World, monkeypatch: pytest.MonkeyPatch
) -> None:
    tag = world.pull()
    database = world.desk.database
    commit, lost = database.commit, []

    def commit_and_lose_the_line() -> Any:
        answer = commit()
        if not lost:
            lost.append(True)
            cut(world)
            database.execute_sql("SELECT 1")
        return answer

    monkeypatch.setattr(database, "commit", commit_and_lose_the_line)
    done = following.note(world.desk, tag, "saved, though nobody heard of it")
    assert isinstance(done, Done), done
    assert lost
    assert [event.kind for event in world.events(tag)] == ["pulled", "noted"]
    assert list(verify(world.desk)) == []


def test_a_server_started_anew_is_found_again_and_nothing_is_lost(own_server: Server, far: World) -> None:
    tag = far.pull()
    with watching(far.desk.path) as watcher:
        assert until(watcher.heard.is_set)
        watcher.heard.clear()
        own_server.stop("fast")
        refused = following.note(far.desk, tag, "while nobody answers")
        assert isinstance(refused, Problem)
        assert refused.sentence.startswith("The line to the desk")
        assert "Nothing was saved" in refused.sentence
        assert until(lambda: watcher.trouble)
        assert "line" in watcher.trouble
        own_server.start()
        assert isinstance(following.note(far.desk, tag, "it is back"), Done)
        assert until(lambda: watcher.heard.is_set() and not watcher.trouble)
    assert [event.kind for event in far.events(tag)] == ["pulled", "noted"]
    assert list(verify(far.desk)) == []


def test_a_change_is_heard_within_a_second(world: World, sit_down: Any) -> None:
    tag = world.pull()
    (ann,) = sit_down("ANN")
    with watching(world.desk.path) as watcher:
        assert until(watcher.heard.is_set)
        waits = []
        for number in range(5):
            watcher.heard.clear()
            begun = time.monotonic()
            ann.order({"do": "note", "tag": tag, "text": f"note {number}"})
            assert watcher.heard.wait(PATIENCE)
            waits.append(time.monotonic() - begun)
            ann.answers()
        # The best of five: what else the machine does is no matter of ours.
        assert min(waits) < 1.0, waits
    assert threading.active_count() < 10

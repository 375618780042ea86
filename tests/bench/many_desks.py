"""Many desks at one server, on loopback: how long an action takes, whether any is lost, and which plans are walked.

python tests/bench/many_desks.py DESK_FILE [--desks 10] [--actions 2000] [--rate 20]

The desk file (`desks.py` makes one of any size) is moved to a server of this run's own, set up as Debian sets one up.
Nothing here asserts a time; what is lost is an error.
"""

from __future__ import annotations

import argparse
import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from engines import NO_SERVER, Server, programs

from breakdesk.desk import following, moving
from breakdesk.desk.answering import person_view
from breakdesk.desk.desk import Desk, open_desk
from breakdesk.desk.listing import claim_rows, owed_rows
from breakdesk.desk.searching import look_for
from breakdesk.desk.summary import summary
from breakdesk.desk.viewing import claim_view
from breakdesk.store import models
from breakdesk.store.chain import broken_links, head_of
from breakdesk.store.server import ServerDatabase
from breakdesk.store.server_address import kept_file

ONE = Path(__file__).with_name("one_desk.py")
LARGE = ("claim", "history_line", "action", "claim_news", "search_word", "free_text")


def on_a_server(server: Server, file: Path, folder: Path) -> Path:
    """Moves a desk to the server, and lets the server count its rows as it does by itself after a while."""
    from breakdesk.store.server import driver

    with driver().connect(server.address, autocommit=True) as connection:
        connection.execute("CREATE DATABASE house")
    address = server.address.replace("/postgres?", "/house?")
    path = kept_file(address, folder)
    begun = time.perf_counter()
    moved = moving.move(file, path)
    assert isinstance(moved, moving.Moved), moved
    print(f"moved and compared: {time.perf_counter() - begun:.0f} s")
    with driver().connect(address, autocommit=True) as connection:
        connection.execute("ANALYZE")
    return path


def first_screen(path: Path) -> None:
    """The five sentences of Today, by a program that just began."""
    code = (
        "import time; begun = time.perf_counter(); import sys; from pathlib import Path\n"
        "from breakdesk.desk.desk import open_desk; from breakdesk.desk.summary import summary\n"
        "desk = open_desk(Path(sys.argv[1])); summary(desk); print(time.perf_counter() - begun); desk.close()"
    )
    command = [sys.executable, "-c", code, str(path)]
    took = [float(subprocess.run(command, capture_output=True, text=True, check=True).stdout) for _ in range(5)]
    print(f"first screen: {statistics.median(took):.2f} s (best {min(took):.2f} s)")


def together(path: Path, desks: int, actions: int, rate: float) -> None:
    """So many desks, each in a process of its own."""
    desk = open_desk(path, who="0")
    before = head_of(desk.database)[0]
    desk.close()
    begin_at = time.time() + 3 + desks * 0.5
    given = [str(actions), str(rate), str(begin_at)]
    running = [
        subprocess.Popen([sys.executable, str(ONE), str(path), str(who), *given], stdout=subprocess.PIPE, text=True)
        for who in range(desks)
    ]
    found: list[dict[str, Any]] = [json.loads(process.communicate()[0]) for process in running]
    took = sorted(one for part in found for one in part["took"])
    seconds = max(part["seconds"] for part in found)
    refused = sum(part["refused"] for part in found)
    at = {share: took[int(len(took) * share) - 1] * 1000 for share in (0.5, 0.95, 0.99)}
    print(
        f"{desks} desks, {len(took):,} actions in {seconds:.0f} s ({len(took) / seconds:.0f} a second): "
        f"median {at[0.5]:.1f} ms, p95 {at[0.95]:.1f} ms, p99 {at[0.99]:.1f} ms; {refused} refused; "
        f"{1000 * sum(part['computed'] for part in found) / len(took):.1f} ms of processor time each at the desk"
    )
    desk = open_desk(path, who="0")
    recorded = head_of(desk.database)[0] - before
    wanted = len(took) - refused + 3 * desks
    lines = models.HistoryLine.select().join(models.Action).where(models.Action.number > before).count()
    broken = next(broken_links(desk.database), "none")
    print(f"recorded: {recorded:,} of {wanted:,} actions with {lines:,} lines; broken links of the history: {broken}")
    desk.close()
    assert recorded == wanted
    assert broken == "none"


def plans(path: Path) -> None:
    """Every statement of the hot views that walks a large table."""
    desk = open_desk(path, who="0")
    heard: list[tuple[str, Any]] = []
    execute = ServerDatabase.execute_sql

    def hear(self: ServerDatabase, sql: str, params: Any = None) -> Any:
        heard.append((sql, params or ()))
        return execute(self, sql, params)  # type: ignore[no-untyped-call]

    ServerDatabase.execute_sql = hear  # type: ignore[method-assign]
    for view in _views(desk):
        view()
    ServerDatabase.execute_sql = execute  # type: ignore[method-assign]
    walks = set()
    for sql, values in heard:
        if sql.lstrip().upper().startswith(("SELECT", "UPDATE", "DELETE")) and "pg_advisory" not in sql:
            (plan,) = desk.database.execute_sql(f"EXPLAIN (FORMAT JSON) {sql}", values).fetchone()  # type: ignore[no-untyped-call]
            walks |= {(table, " ".join(sql.split())[:160]) for table in _walked(plan[0]["Plan"])}
    print(f"{len(heard)} statements of the hot views; walking a large table: {len(walks)}")
    for table, sql in sorted(walks):
        print(f"  {table}: {sql}")
    desk.close()


def _views(desk: Desk) -> list[Any]:
    person = owed_rows(desk, 0, 1)[0].person_id
    tag = claim_rows(desk, 0, 1)[0].tag
    return [
        lambda: summary(desk),
        lambda: owed_rows(desk, 0, 64),
        lambda: claim_rows(desk, 0, 64),
        lambda: look_for(desk, "br s"),
        lambda: person_view(desk, person),
        lambda: claim_view(desk, tag),
        lambda: following.note(desk, tag, "nothing new"),
    ]


def _walked(plan: dict[str, Any]) -> list[str]:
    own = [plan["Relation Name"]] if plan["Node Type"] == "Seq Scan" and plan["Relation Name"] in LARGE else []
    return own + [table for part in plan.get("Plans", ()) for table in _walked(part)]


def main() -> None:
    """Measures everything, in the order of what is needed for the next."""
    parser = argparse.ArgumentParser()
    parser.add_argument("file", type=Path)
    parser.add_argument("--desks", type=int, default=10)
    parser.add_argument("--actions", type=int, default=2000)
    parser.add_argument("--rate", type=float, default=20.0)
    given = parser.parse_args()
    found = programs()
    if found is None:
        sys.exit(NO_SERVER)
    print(f"{os.cpu_count()} processors, load average {os.getloadavg()[0]:.1f} at the beginning")
    server = Server(found, fast=False)
    try:
        with tempfile.TemporaryDirectory() as folder:
            path = on_a_server(server, given.file, Path(folder))
            first_screen(path)
            plans(path)
            together(path, given.desks, given.actions, given.rate)
    finally:
        server.remove()


if __name__ == "__main__":
    main()

"""A PostgreSQL server for the tests that need one, and the whole run on it where that was asked for."""

from __future__ import annotations

import importlib.util
import os
import sys
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

HERE = Path(__file__).resolve().parent
NEED_A_SERVER = ("server", "store")
"""Folders of tests for which a server is started."""
LONG = ("test_on_air.py",)
"""Files that take longest: begun last, one worker would still be at them while the others have nothing left to do."""


def _module(name: str) -> ModuleType:
    found = sys.modules.get(name)
    if found is None:
        specification = importlib.util.spec_from_file_location(name, HERE / f"{name}.py")
        assert specification is not None
        assert specification.loader is not None
        found = sys.modules[name] = importlib.util.module_from_spec(specification)
        specification.loader.exec_module(found)
    return found


engines = _module("engines")


def _asked_for(config: pytest.Config) -> bool:
    wanted = [Path(argument.partition("::")[0]).resolve() for argument in config.args]
    folders = [HERE / name for name in NEED_A_SERVER]
    return engines.ON_SERVER or any(
        path in (folder, *folder.parents) or folder in path.parents for path in wanted for folder in folders
    )


def pytest_configure(config: pytest.Config) -> None:
    """Starts a server, once for all workers of the run."""
    is_worker = hasattr(config, "workerinput")
    if is_worker or os.environ.get(engines.SERVER) or not _asked_for(config) or config.option.collectonly:
        return
    programs = engines.programs()
    if programs is None:
        if engines.ON_SERVER:
            raise pytest.UsageError(engines.NO_SERVER)
        return
    server = engines.Server(programs)
    os.environ[engines.SERVER] = server.address
    config.add_cleanup(server.remove)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Lets the longest begin, and leaves out what is about files where the whole run is on a server."""
    items.sort(key=lambda item: item.path.name not in LONG)
    for item in items:
        if engines.ON_SERVER and item.get_closest_marker("about_files"):
            item.add_marker(pytest.mark.skip(reason="about a desk file"))
        elif engines.ON_SERVER:
            # Tests that let their desk go without closing it leave that to the program's end.
            item.add_marker(pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning"))


def pytest_terminal_summary(terminalreporter: Any, config: pytest.Config) -> None:
    """Says it where tests were skipped because no server was at hand."""
    skipped = sum(engines.NO_SERVER in str(report.longrepr) for report in terminalreporter.stats.get("skipped", ()))
    if skipped:
        terminalreporter.write_line(f"{skipped} tests of a desk on a server were skipped: {engines.NO_SERVER}.")


@pytest.fixture(params=["a file", "a server"])
def engine(request: pytest.FixtureRequest) -> str:
    """Where the desk of a test stands: the test is run for both, where a server is at hand."""
    if request.param == "a server" and engines.server_address() is None:
        pytest.skip(engines.NO_SERVER)
    if request.param == "a file" and engines.ON_SERVER:
        pytest.skip("the whole run is on a server")
    if request.param == "a server" and request.node.get_closest_marker("about_files"):
        pytest.skip("about a desk file")
    return str(request.param)


@pytest.fixture(autouse=True, scope="session")
def _on_the_engine_of_this_run() -> Iterator[None]:
    """Makes every desk that a test makes one on the server, where the run is on it."""
    if not engines.ON_SERVER:
        yield
        return
    from breakdesk.store import opening

    prepare: Any = opening._prepare

    def on_server(path: Path, *, create: bool) -> None:
        if create and not path.exists() and not path.is_dir():
            engines.put_on_server(path)
        prepare(path, create=create)

    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(opening, "_prepare", on_server)
        yield

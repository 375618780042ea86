"""Small apps to drive, and what a person sees of them."""

from __future__ import annotations

import importlib.util
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from textual.app import App

from .waiting import wait_by_the_loop

APPS = Path(__file__).parent / "apps"


@pytest.fixture(scope="session", autouse=True)
def _no_waiting_for_the_machine() -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        wait_by_the_loop(patch)
        yield


@pytest.fixture
def load_app() -> Callable[[str], ModuleType]:
    """Load one of the small apps anew."""

    def load(name: str) -> ModuleType:
        specification = importlib.util.spec_from_file_location(f"small_app_{name}", APPS / f"{name}.py")
        assert specification is not None
        assert specification.loader is not None
        module = importlib.util.module_from_spec(specification)
        specification.loader.exec_module(module)
        return module

    return load


@pytest.fixture
def seen() -> Callable[[App[Any]], str]:
    """Return the text that stands on the screen of an app."""

    def read(app: App[Any]) -> str:
        return "\n".join(strip.text for strip in app.screen._compositor.render_strips())

    return read

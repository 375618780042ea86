"""A participant's page in a real browser, as wide as a phone and as a desk: what it shows, asks and tells a reader."""

from __future__ import annotations

import json
import os
import select
import shutil
import subprocess
import sys
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from breakdesk.files.person_page import PageClaim, PersonPage, page_html
from breakdesk.rules.days import Age

DAY = date(2026, 3, 2)
BROWSER = next(filter(None, map(shutil.which, ("chromium", "chromium-browser"))), None)
PATIENCE = 60
"""Seconds."""
WIDTHS = (320, 1280)
"""Wide as WCAG 2.2 asks for without scrolling sideways (SC 1.4.10), and as a desk."""

pytestmark = [
    pytest.mark.skipif(BROWSER is None, reason="Chromium is not installed on this machine"),
    pytest.mark.skipif(sys.platform == "win32", reason="the browser is steered through inherited pipes"),
]


class Browser:
    """Chromium without a window, steered by its own protocol through two pipes."""

    def __init__(self, folder: Path) -> None:
        to_browser, self._write = os.pipe()
        self._read, from_browser = os.pipe()
        command = [
            str(BROWSER), "--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--no-first-run",
            "--disable-background-networking", "--remote-debugging-pipe", f"--user-data-dir={folder}", "about:blank",
        ]  # fmt: skip
        # The protocol reads from 3 and writes to 4.
        shell = f'exec 3<&{to_browser} 4>&{from_browser}; exec "$@"'
        self._process = subprocess.Popen(
            ["bash", "-c", shell, "bash", *command],
            pass_fds=(to_browser, from_browser),
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        os.close(to_browser)
        os.close(from_browser)
        self._waiting = b""
        self._number = 0
        self.requests: list[str] = []
        self._session = ""
        target = self.call("Target.createTarget", url="about:blank")["targetId"]
        self._session = self.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for domain in ("Page", "Network", "Runtime", "Accessibility", "Log"):
            self.call(f"{domain}.enable")

    def call(self, method: str, **parameters: Any) -> Any:
        """Sends a command and waits for its answer."""
        self._number += 1
        message: dict[str, Any] = {"id": self._number, "method": method, "params": parameters}
        if self._session:
            message["sessionId"] = self._session
        os.write(self._write, json.dumps(message).encode() + b"\0")
        while True:
            answer = self._next()
            if answer.get("id") == self._number:
                assert "error" not in answer, answer
                return answer["result"]

    def _next(self) -> dict[str, Any]:
        while b"\0" not in self._waiting:
            assert select.select([self._read], [], [], PATIENCE)[0], "the browser does not answer"
            part = os.read(self._read, 1 << 16)
            assert part, "the browser has gone"
            self._waiting += part
        line, self._waiting = self._waiting.split(b"\0", 1)
        event: dict[str, Any] = json.loads(line)
        if event.get("method") == "Network.requestWillBeSent":
            self.requests.append(event["params"]["request"]["url"])
        return event

    def show(self, path: Path, width: int, scheme: str) -> None:
        """Opens a page at a width, in light or dark."""
        self.requests.clear()
        self.call(
            "Emulation.setDeviceMetricsOverride", width=width, height=740, deviceScaleFactor=1, mobile=width < 600
        )
        features = [{"name": "prefers-color-scheme", "value": scheme}]
        self.call("Emulation.setEmulatedMedia", features=features)
        self.call("Page.navigate", url=path.as_uri())
        while self._next().get("method") != "Page.loadEventFired":
            pass

    def value(self, expression: str) -> Any:
        """What an expression comes to on the page."""
        return self.call("Runtime.evaluate", expression=expression, returnByValue=True)["result"].get("value")

    def close(self) -> None:
        """Ends the browser."""
        os.close(self._write)
        os.close(self._read)
        self._process.terminate()
        self._process.wait(20)


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    opened = Browser(tmp_path_factory.mktemp("profile"))
    yield opened
    opened.close()


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Path:
    claims = tuple(
        PageClaim(
            tag=f"K{number}",
            what="<b>Kit</b> Moor-Averylongnamewithoutanyblankinit" + "x" * 60 if number == 1 else "Ana Reed Gold 3/25",
            product="Tern One",
            state="sent in, waiting for the maker",
            since=DAY,
            age=Age(400, 13, 4),
            next_step="we may ask the maker again from",
            next_day=DAY,
            outlook="Half of such cards came within 60 more days.",
            tracking="RA473124829GB",
        )
        for number in range(1, 4)
    )
    needs = ("Please confirm the address to which we should send Ana Reed.",)
    found = PersonPage(house="The Corner", name="<i>ada</i>", on=DAY, needs=needs, claims=claims, next_update=DAY)
    path = tmp_path_factory.mktemp("page") / "page.html"
    path.write_text(page_html(found), encoding="utf-8")
    return path


@pytest.mark.outside(rule="content reflows to the width of a phone without scrolling sideways",
                     source="WCAG 2.2, SC 1.4.10, measured by Chromium")  # fmt: skip
@pytest.mark.parametrize("width", WIDTHS)
def test_it_fits_its_window_and_asks_nothing_of_anybody(browser: Browser, page: Path, width: int) -> None:
    browser.show(page, width, "light")
    assert browser.value("document.documentElement.scrollWidth") <= width
    assert browser.requests == [page.as_uri()]
    assert browser.value("document.scripts.length") == 0
    assert browser.value("performance.getEntriesByType('resource').length") == 0
    assert "<i>ada</i>" in browser.value("document.querySelector('h1').innerText")
    smallest = browser.value(
        "Math.min(...[...document.querySelectorAll('p,dd,dt,li')].map(e => parseFloat(getComputedStyle(e).fontSize)))"
    )
    assert smallest >= 15


CONTRASTS = """
(() => {
  const shade = text => text.match(/[0-9.]+/g).map(Number);
  const behind = element => {
    for (let at = element; at; at = at.parentElement) {
      const colour = shade(getComputedStyle(at).backgroundColor);
      if (colour.length === 3 || colour[3] > 0) return colour;
    }
    return [255, 255, 255];
  };
  return [...document.querySelectorAll('h1,h2,h3,p,li,dt,dd,time')]
    .filter(e => e.innerText.trim())
    .map(e => [shade(getComputedStyle(e).color), behind(e)]);
})()
"""


def luminance(colour: list[float]) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    parts = [value / 255 for value in colour[:3]]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.outside(rule="text stands out from its ground by at least 7 to 1",
                     source="WCAG 2.2, SC 1.4.6, colours as Chromium computes them")  # fmt: skip
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_text_is_easily_seen(browser: Browser, page: Path, scheme: str) -> None:
    browser.show(page, WIDTHS[0], scheme)
    pairs = browser.value(CONTRASTS)
    assert len(pairs) > 20
    for text, ground in pairs:
        bright, dark = sorted((luminance(text), luminance(ground)), reverse=True)
        assert (bright + 0.05) / (dark + 0.05) >= 7


@pytest.mark.outside(rule="structure and names can be told by programs, and the page names its language",
                     source="WCAG 2.2, SC 1.3.1, 2.4.2, 2.4.6 and 3.1.1, by Chromium's accessibility tree")  # fmt: skip
def test_a_screen_reader_finds_its_way(browser: Browser, page: Path) -> None:
    browser.show(page, WIDTHS[0], "light")
    nodes = [node for node in browser.call("Accessibility.getFullAXTree")["nodes"] if not node["ignored"]]
    found = [(node["role"]["value"], node.get("name", {}).get("value", "")) for node in nodes]
    roles = [role for role, _ in found]
    assert [name for role, name in found if role == "RootWebArea"] == ["Cards owed to <i>ada</i> by The Corner"]
    assert roles.count("main") == 1
    assert [name for role, name in found if role == "region"] == ["What we need from you", "Your cards"]
    assert roles.count("article") == 3
    headings = [name for role, name in found if role == "heading"]
    assert len(headings) == 6
    assert all(headings)
    assert browser.value("document.documentElement.lang") == "en"
    levels = browser.value("[...document.querySelectorAll('h1,h2,h3')].map(e => Number(e.tagName[1]))")
    assert all(after - before <= 1 for before, after in zip([0, *levels], levels, strict=False))

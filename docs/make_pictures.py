"""Draws the pictures of the guide from the sample desk, as a person would see them on a fixed day.

Run `python docs/make_pictures.py` after a screen changed; a test draws them again and fails where one is stale.
"""

from __future__ import annotations

import asyncio
import os
import re
import tempfile
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from textual import events

from breakdesk.desk.clock import Clock
from breakdesk.desk.desk import open_desk
from breakdesk.desk.sample import add_stories, fill
from breakdesk.desk.thread import DeskThread
from breakdesk.store.parties import read_house
from breakdesk.tui.app import Breakdesk

FOLDER = Path(__file__).resolve().parent / "pictures"
NOON = datetime(2026, 6, 15, 18, tzinfo=UTC)
"""Noon in Denver, where the sample's house is, on the day for which its files were written."""
SHEET = """Buyer,What they hit,Pulled,Maker,Mailed in,Exp,Shelf
Ann Moor (@annm),Rook Ashby,3/4/2026,Larkspur Cards,3/9/2026,,A1
Bo Finch,Cal Dunmore,3/4/2026,Larkspur Cards,3/9/2026,3/31/2027,A1
"""
# The fonts that Textual names are fetched from a server; a page that is read should ask nothing of anybody.
_FETCHED_FONTS = re.compile(r"\s*@font-face \{.*?\}", re.DOTALL)


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """One picture: the keys that lead to it from Today; a key that begins with `=` is pasted text."""

    name: str
    keys: tuple[str, ...] = ()
    size: tuple[int, int] = (100, 30)
    on_air: bool = True
    theme: str = "night"


PICTURES = (
    Picture(name="today"),
    Picture(name="today-day", theme="day"),
    Picture(name="today-high-contrast", theme="high-contrast"),
    Picture(name="catch", keys=("f3", "=zubrin gold 3/10"), size=(120, 36)),
    Picture(name="spots", keys=("f3", "ctrl+f")),
    Picture(name="submit", keys=("s",)),
    Picture(name="ask", keys=("a",)),
    Picture(name="tell", keys=("t",)),
    Picture(name="ship", keys=("p",)),
    Picture(name="decide", keys=("d",)),
    Picture(name="parcels", keys=("f6",)),
    Picture(name="search", keys=("f5", "=an")),
    Picture(name="person", keys=("f5", "=algytm", "enter"), on_air=False),
    Picture(name="owed", keys=("f4",)),
    Picture(name="totals", keys=("f4", "t")),
    Picture(name="months", keys=("f4", "t", "o")),
    Picture(name="outlook", keys=("f7",)),
    Picture(name="settings", keys=("f8",)),
    Picture(name="help", keys=("f1",)),
    Picture(name="columns", keys=("o", "=SHEET", "enter", "m"), on_air=False),
)


def _made(folder: Path) -> Path:
    """The sample desk."""
    path = folder / "sample.db"
    desk = open_desk(path, Clock(lambda: NOON), create=True, who="JK")
    report = fill(desk)
    assert report.saved, report.problems
    problems = add_stories(desk)
    assert problems == []
    desk.close()
    (folder / "my list.csv").write_text(SHEET, encoding="utf-8")
    return path


async def _draw(picture: Picture, thread: DeskThread, folder: Path) -> str:
    house = await asyncio.wrap_future(thread.submit(lambda _desk: read_house()))
    app = Breakdesk(thread, house, go_on_after_failure=False, on_air=picture.on_air, theme=picture.theme)
    async with app.run_test(size=picture.size) as pilot:

        async def settle() -> None:
            for _ in range(8):
                await asyncio.wrap_future(thread.submit(lambda _desk: None))
                await pilot.pause()

        await settle()
        for key in picture.keys:
            if key.startswith("="):
                assert app.focused is not None, picture.name
                text = str(folder / "my list.csv") if key == "=SHEET" else key[1:]
                app.focused.post_message(events.Paste(text))
            else:
                await pilot.press(key)
            await settle()
        app.screen.set_focus(app.focused)
        await settle()
        drawn = _FETCHED_FONTS.sub("", app.export_screenshot(title="Breakdesk"))
    return "\n".join(line.rstrip() for line in drawn.splitlines()) + "\n"


def draw_all() -> dict[str, str]:
    """Every picture as SVG, by the name of its file."""
    # Neither the settings of this machine nor its wish for no colour may change a picture.
    kept = {name: os.environ.pop(name, None) for name in ("NO_COLOR", "BREAKDESK_CONFIG", "BREAKDESK_WHO")}
    with tempfile.TemporaryDirectory(prefix="breakdesk-") as name:
        folder = Path(name)
        os.environ["BREAKDESK_CONFIG"] = str(folder / "settings.toml")
        thread = DeskThread(_made(folder), Clock(lambda: NOON), create=False, who="JK")
        try:
            return {f"{picture.name}.svg": asyncio.run(_draw(picture, thread, folder)) for picture in PICTURES}
        finally:
            thread.close()
            os.environ.pop("BREAKDESK_CONFIG", None)
            os.environ.update({name: value for name, value in kept.items() if value is not None})


def main() -> None:
    """Draws the pictures anew."""
    FOLDER.mkdir(exist_ok=True)
    drawn = draw_all()
    for stale in {path.name for path in FOLDER.glob("*.svg")} - set(drawn):
        (FOLDER / stale).unlink()
    for name, picture in drawn.items():
        (FOLDER / name).write_text(picture, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()

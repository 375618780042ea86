"""How the rounds look: with a few items, when all is done, and with two hundred."""

from __future__ import annotations

from datetime import date

import pytest

from breakdesk.desk.arriving import InHand, in_hand
from breakdesk.desk.settling import refuse_claim
from breakdesk.desk.shipping import Ship, ship, start_parcel
from breakdesk.desk.submitting import Submit, submit

SIZES = [(80, 24), (120, 40)]
MANY = 200
NAMES = ("Kit Moor", "Una Dale", "Ivo Stone & Co", "渡辺 はるか", "Ángel [bold]Ruiz", "Nía Sandø")
KEYS = {"submit": "s", "ask": "a", "look": "l", "tell": "t", "ship": "p", "decide": "d", "parcels": "f6"}


def claims(stage, count, **more):
    """So many claims of different people and cards."""
    owners = ("Ada", "Bo", "Cy", "Dee")
    return [
        stage.pull(owners[number % 4], subject=NAMES[number % len(NAMES)], variation="Gold", numbered_to=25, **more)
        for number in range(count)
    ]


def sent_in(stage, count, **more):
    """The same, submitted."""
    tags = claims(stage, count, **more)
    for number, tag in enumerate(tags):
        stage.done(submit, Submit(tag=tag, reference=f"REF-{number:04}"))
    return tags


def prepare(stage, name, count):
    """So many items for a round."""
    if name == "submit":
        claims(stage, count - 1, expires_on=date(2026, 3, 9))
        stage.pull("Dee", subject="Una Dale", seen_on_camera=True, code="AB12?34")
    elif name in ("ask", "look"):
        sent_in(stage, count)
        sent_in(stage, 2, maker="Rising Press")
        stage.later(days=1)
    elif name == "tell":
        claims(stage, count)
        stage.later(days=4)
    elif name in ("ship", "parcels"):
        tags = sent_in(stage, count)
        for number, tag in enumerate(tags):
            stage.done(in_hand, InHand(tag=tag, serial=number % 25 + 1))
        for number, tag in enumerate(tags[: min(4, count)], start=1):
            stage.done(start_parcel, [tag])
            if name == "parcels" and number > 1:
                stage.done(ship, Ship(parcel_id=number, tracking="RA123456785GB", reason="test"))
    elif name == "decide":
        for tag in sent_in(stage, count):
            stage.done(refuse_claim, tag, "It was never printed.")
        stage.later(days=9)


def opened(stage, player_of, name, *keys):
    """Opens a round before the picture is taken."""

    async def run_before(pilot):
        player = player_of(stage, pilot.app, pilot)
        await pilot.pause()
        await player.settle()
        await player.press(KEYS[name], *keys)
        for field in pilot.app.screen.query("Input"):
            field.cursor_blink = False
        await pilot.pause()

    return run_before


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("name", KEYS)
class TestPictures:
    def test_a_few(self, stage, snap_compare, player_class, name, size):
        prepare(stage, name, 3)
        app = stage.app(on_air=size == SIZES[0])
        assert snap_compare(app, terminal_size=size, run_before=opened(stage, player_class, name))

    def test_nothing(self, stage, snap_compare, player_class, name, size):
        assert snap_compare(stage.app(), terminal_size=size, run_before=opened(stage, player_class, name))


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("name", ["submit", "look", "decide"])
def test_two_hundred(stage, snap_compare, player_class, name, size):
    prepare(stage, name, MANY)
    keys = ("j", "1", "5", "0", "enter") if name != "look" else ("end",)
    run_before = opened(stage, player_class, name, *keys)
    assert snap_compare(stage.app(on_air=False), terminal_size=size, run_before=run_before)


@pytest.mark.parametrize(
    ("name", "keys"),
    [
        ("submit", ("f",)),
        ("tell", ("y", "y")),
        ("ship", ("enter", "enter", "enter")),
        ("decide", ("enter",)),
        ("parcels", ("down", "x")),
    ],
)
def test_a_step_further(stage, snap_compare, player_class, name, keys):
    prepare(stage, name, 3)
    app = stage.app(on_air=False, theme="day")
    assert snap_compare(app, terminal_size=(80, 24), run_before=opened(stage, player_class, name, *keys))


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_postage_that_came_back(stage, snap_compare, player_class, tmp_path, size):
    prepare(stage, "ship", 4)
    back = tmp_path / "back.csv"
    back.write_text(
        "parcel,tracking,cost,insured\n1,RA123456785GB,4.50,20\n2,what 1,4.50,\n3,,,\n9,RA123456785GB,1,\n",
        encoding="utf-8",
    )

    open_parcels = opened(stage, player_class, "parcels", "f", "down", "enter")

    async def run_before(pilot):
        await open_parcels(pilot)
        await player_class(stage, pilot.app, pilot).paste(str(back), "enter")
        await pilot.pause()

    app = stage.app(on_air=size == SIZES[0], theme="day" if size == SIZES[1] else "night")
    assert snap_compare(app, terminal_size=size, run_before=run_before)

"""The command `photos`."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from breakdesk.cli.common import fail, report, with_desk
from breakdesk.cli.output import say, say_problem, say_table

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk
    from breakdesk.desk.night_photos import NightPhotos


@click.command("photos")
@click.argument("break_name", metavar="BREAK")
@click.argument("folder", type=click.Path(path_type=Path, file_okay=False))
@click.option("--keep", is_flag=True, help="Keep them as they are matched; without it they are only shown.")
@click.option("--no-code", is_flag=True, help="No code can be read on them: keep them unsealed.")
@click.option("--ahead", type=int, default=0, metavar="SECONDS", help="By how much the phone's clock is fast.")
@click.option("--turn", is_flag=True, help="The pile was photographed from its other end: the last claim first.")
@click.option(
    "--is", "corrections", nargs=2, multiple=True, metavar="FILE TAG", help="Which claim a photo shows; - for none."
)
@with_desk
def photos_command(
    desk: Desk,
    break_name: str,
    folder: Path,
    keep: bool,
    no_code: bool,
    ahead: int,
    turn: bool,
    corrections: tuple[tuple[str, str], ...],
) -> None:
    """Match the phone photos in FOLDER to the claims of BREAK in time order, show that, and keep them with --keep.

    Photos taken during the night go to the claim pulled last before them; those of the pile, taken after it, go to the
    claims one after the other. Delete the originals of photos that show a code: only the copies are sealed.
    """
    from breakdesk.cli.named import break_id
    from breakdesk.desk.night_photos import keep_night_photos, night_photos
    from breakdesk.desk.problems import Problem

    key = break_id(break_name)
    if key is None:
        fail("Name a break; `breakdesk breaks` lists them.")
    found = night_photos(desk, key, folder, ahead)
    if isinstance(found, Problem):
        fail(found.sentence)
    places = _corrected(found, turn, corrections)
    _show(desk, found, places)
    if keep:
        pairs = [
            (found.claims[place].id, photo.path)
            for photo, place in zip(found.photos, places, strict=True)
            if place is not None
        ]
        report(keep_night_photos(desk, pairs, shows_code=not no_code))


def _corrected(found: NightPhotos, turn: bool, corrections: tuple[tuple[str, str], ...]) -> list[int | None]:
    from breakdesk.rules.tags import normalise_tag

    last = len(found.claims) - 1
    places = [None if place is None else last - place if turn else place for place in found.matched.places]
    names = {photo.path.name: number for number, photo in enumerate(found.photos)}
    tags = {normalise_tag(claim.tag): place for place, claim in enumerate(found.claims)}
    for name, tag in corrections:
        if name not in names:
            fail(f"There is no photo {name} in that folder.")
        if tag != "-" and normalise_tag(tag) not in tags:
            fail(f"{tag} is no claim of that break.")
        places[names[name]] = None if tag == "-" else tags[normalise_tag(tag)]
    return places


def _show(desk: Desk, found: NightPhotos, places: list[int | None]) -> None:
    from breakdesk.desk.describing import what_of
    from breakdesk.rules.zones import in_zone
    from breakdesk.store.parties import read_house

    house = read_house()
    rows = []
    for photo, place in zip(found.photos, places, strict=True):
        local = in_zone(photo.taken_at, house.zone_at(photo.taken_at))
        taken = f"{local:%Y-%m-%d %H:%M:%S}{'' if photo.by_camera else ' (time of the file)'}"
        claim = None if place is None else found.claims[place]
        rows.append(
            (photo.path.name, taken, claim.tag if claim else "–", what_of(claim) if claim else "none of the claims")
        )
    say_table(("photo", "taken", "tag", "card"), rows)
    say(found.matched.how)
    if found.matched.doubt:
        say_problem(f"Note: {found.matched.doubt}")

"""The command `photo`."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from breakdesk.cli.common import fail, report, with_desk
from breakdesk.cli.output import say, say_table

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk
    from breakdesk.desk.photos import KeptPhoto


@click.command("photo")
@click.argument("tag")
@click.argument("files", nargs=-1, type=click.Path(path_type=Path, dir_okay=False), metavar="[FILE…]")
@click.option("--of", "what", default="condition", metavar="WHAT", help="What it shows, such as condition or slip.")
@click.option("--shows-code", is_flag=True, help="The code can be read on it: it is kept sealed.")
@click.option(
    "--save", type=click.Path(path_type=Path, file_okay=False), metavar="FOLDER", help="Write copies, unsealed, there."
)
@with_desk
def photo_command(
    desk: Desk, tag: str, files: tuple[Path, ...], what: str, shows_code: bool, save: Path | None
) -> None:
    """Keep photos of a claim, list those that are kept, or save copies of them.

    Delete the originals of photos that show a code: only the copy in the desk is sealed.
    """
    from breakdesk.desk.photos import SHOWS_CODE, keep_photos, photos_of
    from breakdesk.store.claims import claim_with_tag

    if files:
        report(keep_photos(desk, tag, files, SHOWS_CODE if shows_code else what))
        return
    claim_id = claim_with_tag(tag)
    if claim_id is None:
        fail(f"There is no claim {tag}. `breakdesk search` finds it by a name or a reference.")
    photos = photos_of(desk, claim_id)
    if not photos:
        say(f"No photo of {tag} is kept.")
    elif save is not None:
        _save(desk, photos, save)
    else:
        states = {True: "as kept", False: "changed, missing or locked"}
        rows = [(photo.what, photo.path.name, states[photo.whole]) for photo in photos]
        say_table(("shows", "file", "state"), rows)


def _save(desk: Desk, photos: tuple[KeptPhoto, ...], folder: Path) -> None:
    from breakdesk.desk.photos import save_copy

    for photo in photos:
        saved = save_copy(desk, photo, folder)
        if not isinstance(saved, Path):
            fail(saved.sentence)
        say(f"Written: {saved}")

"""Phone photos of a night: matched to its claims in time order, shown, corrected, and only then kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

from breakdesk.desk.acting import Act, act
from breakdesk.desk.breaks import claims_of_break
from breakdesk.desk.desk import Desk
from breakdesk.desk.photos import SHOWS_CODE, add_photos
from breakdesk.desk.problems import Done, Problem, Result, refuse
from breakdesk.files.photo_times import PhotoTime, photos_in
from breakdesk.rules.claim import Claim
from breakdesk.rules.clocks import instant_of
from breakdesk.rules.photo_matching import Matched, match_in_time
from breakdesk.rules.wording import counted
from breakdesk.store.parties import read_house


@dataclass(frozen=True, slots=True)
class NightPhotos:
    """The photos of a folder in the order of their time, the claims of a break, and which shows which."""

    photos: tuple[PhotoTime, ...]
    claims: tuple[Claim, ...]
    matched: Matched


def night_photos(desk: Desk, break_id: int, folder: Path, ahead: int = 0) -> NightPhotos | Problem:
    """Reads a folder and matches its photos; `ahead` is by how many seconds the phone's clock is fast.

    Takes a moment: every photo is opened. Nothing is kept yet.
    """
    zone = read_house().zone_at(desk.clock.as_of())
    try:
        photos = photos_in(folder, zone)
    except ValueError as error:
        return Problem(str(error))
    claims = tuple(claim for claim in claims_of_break(desk, break_id) if claim.pulled_at is not None)
    fast = timedelta(seconds=ahead)
    pulled = [instant_of(claim.pulled_at) for claim in claims if claim.pulled_at is not None]
    matched = match_in_time([photo.taken_at - fast for photo in photos], pulled)
    return NightPhotos(tuple(photos), claims, matched)


def keep_night_photos(
    desk: Desk, pairs: Sequence[tuple[int, Path]], *, shows_code: bool = True, key: int | None = None
) -> Result:
    """Keeps copies of photos with their claims, in one action; a claim's key stands before each path.

    Claim cards show their codes, so that the copies are sealed unless it is said that none can be read.
    """
    copies: list[Path] = []

    def work(a: Act) -> str:
        if not pairs:
            raise refuse("No photo has a claim.", "Give at least one photo its claim.")
        for claim_id in dict.fromkeys(claim_id for claim_id, _ in pairs):
            paths = [path for other, path in pairs if other == claim_id]
            add_photos(a, claim_id, paths, SHOWS_CODE if shows_code else "card", copies)
        claims = len({claim_id for claim_id, _ in pairs})
        return f"{counted(len(copies), 'photo')} of {counted(claims, 'claim')} kept."

    result = act(desk, "photo", work, key)
    if not isinstance(result, Done):
        for copy in copies:
            copy.unlink(missing_ok=True)
    return result

"""The stream's clock: where in the video a thing happened, the video's link, and how far the two are apart."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from urllib.parse import urlsplit

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.finding import claim_named
from breakdesk.desk.problems import Result, refuse
from breakdesk.rules.clocks import instant_of
from breakdesk.rules.wording import counted
from breakdesk.store import models
from breakdesk.store.claims import read_claims

_LONGEST_OFFSET = 24 * 60 * 60


def stream_seconds(row: models.Break, instant: datetime) -> int | None:
    """Whole seconds from the start of a break's video to an instant; None where the break never started."""
    if row.live_at is None:
        return None
    elapsed: timedelta = instant - row.live_at
    return max(elapsed // timedelta(seconds=1) + int(row.video_offset), 0)


def set_video(desk: Desk, break_id: int, link: str, kept_until: date | None = None, key: int | None = None) -> Result:
    """Keeps where the video of a break can be seen, and the day until which it is kept there."""

    def work(a: Act) -> str:
        row = models.Break.get_by_id(break_id)
        address = link.strip()
        if address and urlsplit(address).scheme not in ("http", "https"):
            raise refuse("That is not a web address.", "Type the whole address, beginning with https://")
        models.Break.update(video_link=address, video_kept_until=kept_until).where(
            models.Break.id == break_id
        ).execute()
        body = {"kept_until": kept_until.isoformat()} if kept_until else {}
        a.line("break", break_id, "video", body | a.text(address))
        return f"The video of {row.name} is noted." if address else f"{row.name} has no video."

    return act(desk, "video", work, key)


def correct_offset(desk: Desk, break_id: int, seconds: int, key: int | None = None) -> Result:
    """Says how many seconds the video was running before the break was started; moves the stamp of all its claims.

    Negative where the video began after the break.
    """

    def work(a: Act) -> str:
        row = models.Break.get_by_id(break_id)
        if row.live_at is None:
            raise refuse(f"{row.name} was never started, so it has no clock.", "Start it first.")
        if abs(seconds) > _LONGEST_OFFSET:
            raise refuse("That is more than a day.", "Type the difference as minutes and seconds.")
        models.Break.update(video_offset=seconds).where(models.Break.id == break_id).execute()
        a.line("break", break_id, "offset", {"before": int(row.video_offset), "seconds": seconds})
        row.video_offset = seconds
        moved = 0
        for claim in list(read_claims(desk.database, "claim.break_id = ? AND claim.state <> 'void'", [break_id])):
            stamp = None if claim.pulled_at is None else stream_seconds(row, instant_of(claim.pulled_at))
            if claim.video_seconds is not None and stamp is not None and stamp != claim.video_seconds:
                a.add(claim.id, "corrected", {"video_seconds": stamp}, day=max(a.day, claim.last_event_on))
                moved += 1
        return f"The clock of {row.name} is corrected; {counted(moved, 'claim')} moved with it."

    return act(desk, "correct the clock", work, key)


def seen_now(desk: Desk, tag: str, reported_by: str = "", key: int | None = None) -> Result:
    """The code of a claim can be seen on the stream now: stamps the video and puts it first in the submit round.

    `reported_by` is the handle of the viewer who said so.
    """

    def work(a: Act) -> str:
        claim = claim_named(a, tag)
        row = None if claim.break_id is None else models.Break.get_or_none(models.Break.id == claim.break_id)
        stamp = None if row is None or not row.running else stream_seconds(row, a.happened)
        body = {} if stamp is None else {"video_seconds": stamp}
        said = f"Reported by {reported_by.strip()}" if reported_by.strip() else ""
        a.add_in_order(claim, "seen", body | a.text(said))
        return f"{claim.tag} was seen on camera and is first to be submitted."

    return act(desk, "seen on camera", work, key)

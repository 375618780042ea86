"""The sample desk: an invented house whose dates follow today's, and what its files cannot say done by real actions."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from pathlib import Path

from breakdesk.desk import arriving, asking, breaks, following, looking, people, settling, shipping, submitting, telling
from breakdesk.desk.clock import Clock
from breakdesk.desk.desk import Desk
from breakdesk.desk.loading import LoadReport, load_files
from breakdesk.desk.problems import Problem, Result
from breakdesk.desk.viewing import today
from breakdesk.rules.zones import local_day, start_of_day
from breakdesk.store import models
from breakdesk.store.claims import claim_with_tag, claims_with_keys

ANCHOR = date(2026, 6, 15)
"""The day on which the sample's files tell the truth."""
ZONE = "America/Denver"
"""The zone of the sample's house."""
FOLDER = "sample_breaks"
TONIGHT = "124 Hoops pick your team"


def sample_files() -> list[Path]:
    """The sample's files: inside the package where it was installed, beside it in a checkout."""
    package = Path(__file__).resolve().parents[1]
    for folder in (package / FOLDER, package.parent / FOLDER):
        if (folder / "claims.csv").is_file():
            return sorted(path for path in folder.iterdir() if path.suffix in (".csv", ".xlsx"))
    return []


def shift_to(now: datetime) -> int:
    """By how many days the sample's dates move so that it is true at `now`."""
    return (local_day(now, ZONE) - ANCHOR).days


def fill(desk: Desk) -> LoadReport:
    """Loads the sample's files into a new desk, moved to the desk's own day."""
    return load_files(desk, sample_files(), shift_days=shift_to(desk.clock.as_of()))


def add_stories(desk: Desk) -> list[str]:
    """Does what the files cannot say; returns a sentence for whatever could not be done."""
    stories = _Stories(desk, local_day(desk.clock.as_of(), ZONE))
    for tell in (
        _offers, _submissions, _parcels_that_failed, _promises, _holds, _unanswered_address, _a_part_came, _a_mistake,
        _letters, _a_parcel_on_the_table, _tonight,
    ):  # fmt: skip
        tell(stories)
    return stories.problems


@dataclass(slots=True)
class _Stories:
    desk: Desk
    day: date
    problems: list[str] = field(default_factory=list)

    def before(self, days: int) -> Desk:
        """The desk as of a day in the past, shortly after midnight, when every office in the sample's home is shut."""
        instant = start_of_day(self.day - timedelta(days=days), ZONE) + timedelta(minutes=10)
        return self.desk.at(Clock(self.desk.clock.tell, named=instant))

    def ahead(self, days: int) -> date:
        return self.day + timedelta(days=days)

    def did(self, result: Result) -> None:
        if isinstance(result, Problem):
            self.problems.append(result.sentence)

    def told(self, tag: str, days_ago: int, text: str) -> None:
        claim_id = claim_with_tag(tag)
        owner_id = None if claim_id is None else claims_with_keys(self.desk.database, [claim_id])[0].owner_id
        if claim_id is not None and owner_id is not None:
            self.did(telling.mark_told(self.before(days_ago), owner_id, [claim_id], "direct", text))


def _offers(stories: _Stories) -> None:
    def offer(tag: str, days_ago: int, reply_in: int, what: str) -> None:
        request = asking.Answer(tags=[tag], word="offers", offer=what, reply_by=stories.ahead(reply_in))
        stories.did(asking.answer(stories.before(days_ago), request))

    offer("PNWN37", 13, 1, "Two signed base cards of the same player instead of the gold one")
    stories.told("PNWN37", 12, "The maker offers two signed base cards instead. Would you like them, or rather wait?")
    offer("G6QEEC", 10, 10, "A signed card of the same team, numbered to 25")
    stories.told("G6QEEC", 9, "The maker offers another signed card of your team. Would you like it, or rather wait?")
    offer("4EAD9W", 8, 6, "The same two players on two cards")
    stories.told("4EAD9W", 7, "The maker offers the two players on two cards. Would you like them?")
    stories.did(settling.answer_offer(stories.before(2), "4EAD9W", "take", "Said yes in the chat."))
    offer("Y7TJQC", 5, 9, "A card of the next release")


def _submissions(stories: _Stories) -> None:
    failed = submitting.submission_failed
    stories.did(failed(stories.before(3), "TYGQYF", "already_used", "The site says that it was used last month."))
    stories.did(failed(stories.before(1), "7JM4J3", "unreadable", "The last two characters are scratched."))
    stories.did(failed(stories.before(0), "Y7TJHR", "site_down"))
    _park(stories, "submit", "Y7TJHR", 2, "The maker's site is down.")


def _parcels_that_failed(stories: _Stories) -> None:
    stories.did(shipping.card_failed(stories.before(1), "F3JYMH", "lost", "No scan for six days."))
    stories.did(shipping.card_failed(stories.before(2), "NKPC4M", "returned", "Came back: wrong address."))


def _promises(stories: _Stories) -> None:
    follow_up = following.follow_up
    stories.did(follow_up(stories.before(4), "TYGRCN", stories.day, "Promised on the phone to look again today."))
    stories.did(follow_up(stories.before(1), "X4N7YF", stories.ahead(14), "Back from a journey in two weeks."))
    words = "Call back about the two spots of the last night."
    stories.did(people.promise(stories.before(3), "Wren Abernackle", stories.day, words))


def _holds(stories: _Stories) -> None:
    stories.did(following.hold(stories.before(3), "RWCFHR", "The payment is disputed."))
    stories.did(following.hold(stories.before(2), "APYT9K", "The payment is disputed."))
    _park(stories, "ask", "6GFP4K", 9, "The maker promised news by then.")


def _park(stories: _Stories, round_name: str, tag: str, days: int, reason: str) -> None:
    claim_id = claim_with_tag(tag)
    if claim_id is not None:
        stories.did(following.park(stories.before(0), round_name, claim_id, stories.ahead(days), reason))


def _unanswered_address(stories: _Stories) -> None:
    tag = "7JM4RH"
    stories.did(arriving.in_hand(stories.before(22), arriving.InHand(tag=tag, condition="Clean, corners sharp.")))
    for days_ago in (17, 12, 7):
        stories.told(tag, days_ago, "Your card is here. Please send us the address that it should go to.")


def _a_part_came(stories: _Stories) -> None:
    request = arriving.InHand(tag="F3JYFX", condition="One of two came.", still_owed="Nils Åsgårdh, the second card")
    stories.did(arriving.in_hand(stories.before(2), request))


def _a_mistake(stories: _Stories) -> None:
    stories.did(settling.void(stories.before(1), "9MRGDW", "Written down twice on the night."))


def _letters(stories: _Stories) -> None:
    """A look, an answer, and a message that waits for its maker's office to open."""
    desk = stories.before(0)
    request = asking.Answer(tags=["KFDHH4"], word="waits_signer", note="Cards are with the player.")
    stories.did(asking.answer(stories.before(6), request))
    coming = asking.Answer(tags=["NKPC6J"], word="on_its_way", inbound_tracking="KT03310JK")
    stories.did(asking.answer(stories.before(1), coming))
    stories.did(looking.look(stories.before(1), "Pellwether Issue", ["JD76WT", "MHHWHH", "H9XQ6A"]))
    text = "Good day, could you tell us how these two claims stand? Thank you."
    stories.did(asking.ask(desk, ["MHHWGK", "APYTEA"], text))


def _a_parcel_on_the_table(stories: _Stories) -> None:
    """A parcel that is half packed."""
    desk = stories.before(0)
    ready = [person for person in today(desk).today.ship if person.address_confirmed]
    if ready:
        stories.did(shipping.start_parcel(desk, [claim.tag for claim in ready[0].claims]))


def _tonight(stories: _Stories) -> None:
    """The night's break is running, so that a card can be caught at once."""
    row = models.Break.get_or_none(models.Break.name == TONIGHT)
    if row is None:
        stories.problems.append(f"{TONIGHT} is not among the sample's breaks.")
    else:
        stories.did(breaks.start_break(stories.desk, int(row.id)))

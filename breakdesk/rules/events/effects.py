"""What each kind of event does to a claim."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date

from breakdesk.rules.claim import FAILURES_TO_TRY_AGAIN, Event
from breakdesk.rules.events import ends
from breakdesk.rules.events.facts import Facts, add_news, leave_parcel, owner_news, with_days
from breakdesk.rules.identity import take_for


def _pulled(facts: Facts, event: Event) -> None:
    body = with_days(event.body)
    body.pop("quiet", None)
    body["candidates"] = tuple(body.get("candidates", ()))
    body["seen_on_camera"] = bool(body.get("seen_on_camera"))
    facts.update(body)
    facts["state"] = "pulled"
    facts.setdefault("pull_day", event.day)
    facts["owner_since"] = event.day
    facts["first_owner_id"] = facts.get("owner_id")
    owner_news(facts, event, "pulled")


def _corrected(facts: Facts, event: Event) -> None:
    facts.update(with_days(event.body))


def _chosen(facts: Facts, event: Event) -> None:
    facts["expired_choice"] = event.body["choice"]


def _submitted(facts: Facts, event: Event) -> None:
    # A claim card that was packed to be given is not given any more.
    leave_parcel(facts)
    facts.update(with_days({key: value for key, value in event.body.items() if key != "quiet"}))
    facts.update(state="submitted", submitted_on=event.day, failed_on=None, failed_how=None)
    owner_news(facts, event, "submitted")


def _submit_failed(facts: Facts, event: Event) -> None:
    facts["failed_how"] = event.body["how"]
    facts["failed_on"] = None if event.body["how"] in FAILURES_TO_TRY_AGAIN else event.day


def _try_again(facts: Facts, event: Event) -> None:
    facts.update(failed_on=None, failed_how=None)


def _ask_held(facts: Facts, event: Event) -> None:
    facts["ask_held"] = True


def _ask_dropped(facts: Facts, event: Event) -> None:
    facts["ask_held"] = False


def _asked(facts: Facts, event: Event) -> None:
    facts.update(last_asked_on=event.day, ask_held=False, answer=None, answered_on=None, answer_days=None)


def _answered(facts: Facts, event: Event) -> None:
    facts.update(answer=event.body["answer"], answered_on=event.day, answer_days=event.body.get("days"))
    if event.body.get("inbound_tracking"):
        facts["inbound_tracking"] = event.body["inbound_tracking"]
    if event.body.get("news"):
        owner_news(facts, event, "noted")


def _offered(facts: Facts, event: Event) -> None:
    facts.update(state="offered", offered_on=event.day, phase_told=(), offer_answer=None, offer_answered_on=None)
    # An offer is the maker's answer to the last ask, too.
    facts.update(answer="offers", answered_on=event.day, answer_days=None)
    facts["reply_by"] = with_days(event.body).get("reply_by")
    owner_news(facts, event, "offered")


def _offer_answered(facts: Facts, event: Event) -> None:
    facts.update(offer_answer=event.body["answer"], offer_answered_on=event.day)


def _offer_passed_on(facts: Facts, event: Event) -> None:
    facts.update(state="submitted", offered_on=None, reply_by=None, offer_answered_on=None)
    owner_news(facts, event, "noted")


def _in_hand(facts: Facts, event: Event) -> None:
    body = event.body
    if body.get("serial") is not None:
        facts["serial"] = body["serial"]
    facts.update(phase_told=(), parcel_id=None, lost_on=None, lost_how=None)
    if body.get("again") and facts.get("in_hand_on") is None:
        # The claim card itself was on its way to the participant and came back: there is no card yet.
        facts.update(state="pulled", shipped_on=None, tracking="")
        return
    facts.update(state="in_hand", in_hand_on=event.day)
    owner_news(facts, event, "in_hand")


def _packed(facts: Facts, event: Event) -> None:
    facts["parcel_id"] = event.body.get("parcel")


def _shipped(facts: Facts, event: Event) -> None:
    facts.update(state="shipped", shipped_on=event.day, phase_told=(), lost_on=None, lost_how=None)
    if event.body.get("tracking"):
        facts["tracking"] = event.body["tracking"]
    owner_news(facts, event, "shipped")


def _lost(facts: Facts, event: Event) -> None:
    facts.update(lost_on=event.day, lost_how=event.body["how"])
    owner_news(facts, event, "noted")


def _owner(facts: Facts, event: Event) -> None:
    body = event.body
    before = facts.get("owner_id")
    after = body.get("owner_id")
    facts.update(
        owner_kind=body["owner_kind"],
        owner_id=after,
        candidates=tuple(body.get("candidates", ())),
        owner_since=event.day,
    )
    if facts.get("first_owner_id") is None:
        facts["first_owner_id"] = after
    if before != after:
        leave_parcel(facts)
        facts["phase_told"] = ()
        add_news(facts, "owner", event.day, before)
        add_news(facts, "owner", event.day, after)


def _told(facts: Facts, event: Event) -> None:
    person_id = event.body.get("person")
    if event.body.get("news_since"):
        # The message was written before the latest news, which stays to be told.
        facts["last_told_on"] = event.day
        return
    if person_id is None:
        facts["news"] = {}
    else:
        facts["news"].pop(person_id, None)
    facts["last_told_on"] = event.day
    if person_id is None or person_id == facts.get("owner_id"):
        facts["phase_told"] = (*facts.get("phase_told", ()), event.day)


def _noted(facts: Facts, event: Event) -> None:
    if event.body.get("news"):
        owner_news(facts, event, "noted")


def _seen(facts: Facts, event: Event) -> None:
    facts["seen_on_camera"] = True
    if event.body.get("video_seconds") is not None:
        facts["video_seconds"] = event.body["video_seconds"]


def _follow_up(facts: Facts, event: Event) -> None:
    facts["follow_up_on"] = date.fromisoformat(event.body["on"])


def _followed_up(facts: Facts, event: Event) -> None:
    facts["follow_up_on"] = None


def _noticed(facts: Facts, event: Event) -> None:
    facts["noticed_on"] = event.day


def _held(facts: Facts, event: Event) -> None:
    facts["on_hold"] = True


def _released(facts: Facts, event: Event) -> None:
    facts["on_hold"] = False


def _nothing(facts: Facts, event: Event) -> None:
    """Events that are only read in the history: a code entered, a photo taken, a split."""


EFFECTS: Mapping[str, Callable[[Facts, Event], None]] = {
    "pulled": _pulled,
    "corrected": _corrected,
    "chosen": _chosen,
    "submitted": _submitted,
    "submit_failed": _submit_failed,
    "try_again": _try_again,
    "ask_held": _ask_held,
    "ask_dropped": _ask_dropped,
    "asked": _asked,
    "answered": _answered,
    "looked": _nothing,
    "offered": _offered,
    "offer_answered": _offer_answered,
    "offer_passed_on": _offer_passed_on,
    "refused": ends.refused,
    "in_hand": _in_hand,
    "packed": _packed,
    "shipped": _shipped,
    "lost": _lost,
    "closed": ends.closed,
    "owner": _owner,
    "told": _told,
    "same_person": take_for,
    "noted": _noted,
    "seen": _seen,
    "follow_up": _follow_up,
    "followed_up": _followed_up,
    "held": _held,
    "released": _released,
    "code_entered": _nothing,
    "delay_notice": _noticed,
    "split": _nothing,
    "photo": _nothing,
    "evidence": _nothing,
    "sent_back": _nothing,
    "came_back": _nothing,
    "card_lost": _nothing,
    "card_found": _nothing,
    "consent": _nothing,
    "linked": _nothing,
    "void": ends.void,
}

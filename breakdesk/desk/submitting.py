"""The submit round: entering a claim with its maker, and every answer of the maker's site."""

from __future__ import annotations

from dataclasses import dataclass

from breakdesk.desk.acting import Act, act
from breakdesk.desk.codes import write_code
from breakdesk.desk.desk import Desk
from breakdesk.desk.finding import claim_named, maker_named, require_state
from breakdesk.desk.problems import Result, refuse
from breakdesk.rules.claim import EXPIRED_CHOICES, FAILURES, FAILURES_TO_TRY_AGAIN
from breakdesk.rules.clocks import expired_at_pull
from breakdesk.rules.names import folded
from breakdesk.rules.parties import NO_MAKER
from breakdesk.store import models
from breakdesk.store.parties import read_makers

FAILURE_WORDS = {
    "already_used": "the code was used already",
    "invalid": "the maker does not know the code",
    "expired": "the maker says it has expired",
    "unreadable": "the code cannot be read",
    "card_missing": "the claim card is missing",
    "site_down": "the maker's site is down",
    "must_mail": "it must be mailed in",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Submit:
    """A claim was entered with its maker. `ship_to` says where the maker sends the card."""

    tag: str
    code: str = ""
    reference: str = ""
    account: str = ""
    method: str = "site"
    ship_to: str = "house"


def submit(desk: Desk, request: Submit, key: int | None = None) -> Result:
    """Marks a pulled claim as submitted, with its reference."""

    def work(a: Act) -> str:
        claim = claim_named(a, request.tag)
        require_state(claim, "submitted", "pulled")
        if request.code:
            write_code(a, claim, request.code)
        body: dict[str, object] = {"method": request.method, "ship_to": request.ship_to}
        if request.reference.strip():
            body["reference"] = request.reference.strip()
        if request.account.strip():
            body["account_id"] = account_of(claim.maker_id, request.account)
        a.add_in_order(claim, "submitted", body)
        said = f", reference {request.reference.strip()}" if request.reference.strip() else ""
        return f"{claim.tag} is submitted{said}."

    return act(desk, "submit", work, key, beside=True)


def account_of(maker_id: int | None, name: str) -> int:
    """The key of an account with a maker, made where it is new."""
    if maker_id is None:
        raise refuse("The claim has no maker, so it has no account.", "Say which maker it is first.")
    table = models.Account
    row = table.get_or_none(table.maker == maker_id, table.folded == folded(name))
    if row is None:
        row = table.create(maker=maker_id, name=name.strip(), folded=folded(name))
    return int(row.id)


def submission_failed(desk: Desk, tag: str, how: str, note: str = "", key: int | None = None) -> Result:
    """Records what the maker's site said instead of a reference."""

    def work(a: Act) -> str:
        if how not in FAILURES:
            raise refuse(f"{how} is not one of the outcomes.", f"Use one of: {', '.join(FAILURES)}.")
        claim = claim_named(a, tag)
        require_state(claim, "tried", "pulled")
        a.add_in_order(claim, "submit_failed", {"how": how, **a.text(note)})
        follows = "stays to be submitted" if how in FAILURES_TO_TRY_AGAIN else "waits for your decision"
        return f"{claim.tag}: {FAILURE_WORDS[how]}. It {follows}."

    return act(desk, "submission failed", work, key, beside=True)


def try_again(desk: Desk, tag: str, key: int | None = None) -> Result:
    """Puts a claim whose submission failed back among those to be submitted."""

    def work(a: Act) -> str:
        claim = claim_named(a, tag)
        require_state(claim, "tried again", "pulled")
        if claim.failed_on is None:
            raise refuse(f"No submission of {claim.tag} has failed.", "It can be submitted as it is.")
        a.add_in_order(claim, "try_again")
        return f"{claim.tag} is to be submitted again."

    return act(desk, "try again", work, key)


def choose_for_expired(desk: Desk, tag: str, choice: str, key: int | None = None) -> Result:
    """Decides about a card that had expired when it was pulled: try to submit it, or ask the maker first.

    Closing it is an action of its own.
    """

    def work(a: Act) -> str:
        if choice not in EXPIRED_CHOICES:
            raise refuse(f"{choice} is not a choice here.", f"Use one of: {', '.join(EXPIRED_CHOICES)}.")
        claim = claim_named(a, tag)
        require_state(claim, "decided on", "pulled")
        maker = read_makers(a.desk.database).get(claim.maker_id or 0, NO_MAKER)
        if not expired_at_pull(claim, maker):
            raise refuse(
                f"The card of {claim.tag} had not expired when it was pulled.", "It can be submitted as it is."
            )
        a.add_in_order(claim, "chosen", {"choice": choice})
        if choice == "try":
            return f"{claim.tag} goes to the submit round, though its card had expired."
        return f"{claim.tag}: noted that the maker is asked first. It stays to be decided until you choose again."

    return act(desk, "choose for expired", work, key)


def seen_on_camera(desk: Desk, tag: str, video_seconds: int | None = None, key: int | None = None) -> Result:
    """The code was visible on the stream: the claim goes first in the submit round."""

    def work(a: Act) -> str:
        claim = claim_named(a, tag)
        body = {} if video_seconds is None else {"video_seconds": video_seconds}
        a.add_in_order(claim, "seen", body)
        return f"{claim.tag} was seen on camera and is first to be submitted."

    return act(desk, "seen on camera", work, key, beside=True)


def move_to_maker(desk: Desk, tag: str, maker: str, key: int | None = None) -> Result:
    """Says which maker a claim is with, where that was unknown or wrong."""

    def work(a: Act) -> str:
        claim = claim_named(a, tag)
        row = maker_named(maker)
        # An account is one with a maker.
        a.add_in_order(claim, "corrected", {"maker_id": int(row.id), "account_id": None})
        return f"{claim.tag} is with {row.name}."

    return act(desk, "correct", work, key)

"""The page that explains the sample's files, with the tags of claims that suit the stories no file column can tell."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from .claims import Claim

# story | case | which of them | place among those
_STORIES = """
a replacement is offered; the reply is due tomorrow|waiting_asked_before|person|0
a replacement is offered; half of the time is over|waiting_asked_before|person|3
the participant has answered an offer; the maker has not been told|waiting_asked_before|person|6
a replacement is offered on a card that the house waits for, its participant being bought out|settled_waiting|person|1
submitting failed: the maker says that the code is already used|pulled|person|0
submitting failed: the code cannot be read|pulled|person|1
parked in the submit round: the maker's site is down|pulled_seen|person|0
a parcel is lost on the way|shipped_unheard|person|0
a parcel came back: wrong address|shipped_unheard_abroad|person|0
a follow-up that was promised on the phone is due today|waiting_asked_lately|person|2
a follow-up lies two weeks ahead|waiting_asked_lately|person|5
payment is disputed, a hold on a card in hand: nothing goes out|arrived|person|0
payment is disputed, a hold on a claim that still waits|waiting|person|12
parked in the ask round: the maker promised a date|waiting|person|4
not answering: the address was asked for three times|waiting|person|5
several owners, to be settled by a random choice|waiting|several|0
several owners, to be settled by a choice with a reason|waiting|several|1
the maker fills part of what was missing: the claim is split|waiting|shortage|0
entered by mistake: void|waiting|house|-1
"""

_TEXT = """# The sample desk's files

An invented break house, *Juniper Kettle Breaks*, with everything it owes and is owed. Makers, products, leagues,
teams, players, customers, addresses and codes are inventions; mail domains and telephone numbers are from the blocks
reserved for examples. `breakdesk try` opens a throwaway desk from these files, and they can be loaded one by one with
`breakdesk load`.

**The anchor day is 2026-06-15, a Monday.** The claims tell the truth on that day. The throwaway desk moves every date
in every file by the days that have passed since, so that on any day the same claims are late, recent or due.
Times keep their hour in the house's zone (America/Denver).

| file | what it is |
| --- | --- |
| `house.csv` | the house: zone, currency, its own terms |
| `makers.csv` | four makers in four zones, each with its own hours, closed days, patience and policy on expired cards |
| `participants.csv` | 60 people with handles and addresses: some old, some unconfirmed, some on several lines |
| `checklist-….csv` | eight products, 40 to 104 cards each: signed cards by variation, patch cards, two-player cards |
| `spots-….csv`, one `.xlsx` | 24 breaks over 14 months, in every format; the last starts tonight, without claims |
| `claims.csv` | 180 claims in every state that a file can say |

How the spots files say what happened: an empty participant is an unsold spot; two names joined by `;` share a spot;
several teams joined by `;` are one spot; two products in the cell mean that the spot counts for both; an order that
ends in `-R` was given back and sold again (the row names the person who has it now).

In `claims.csv`, a claim of a break without a participant belongs to whoever the spots say: one person, several (a card
of two teams), the house (an unsold spot), or nobody yet (a break by the last digit of a serial that nobody knows
before the card comes). A claim without break and participant is the house's own.

`python tests/make_sample.py` writes all of this again, the same to the byte; do not edit the files by hand.

## Stories that no column can tell

Offers, failed submissions, lost parcels, follow-ups, holds and parked items are actions, not columns. These claims suit
them:

| story | tag |
| --- | --- |
"""


def write(path: Path, claims: Sequence[tuple[str, Claim]]) -> None:
    """Write the page; `claims` are all claims with their tags."""
    lines = []
    for line in _STORIES.strip().splitlines():
        story, case, which, place = line.split("|")
        tags = [tag for tag, claim in claims if claim.case == case and _suits(claim, which)]
        lines.append(f"| {story} | {tags[int(place)]} |\n")
    path.write_text(_TEXT + "".join(lines), encoding="utf-8", newline="\n")


def _suits(claim: Claim, which: str) -> bool:
    if which == "person":
        return bool(claim.person) and not claim.kind
    if which == "several":
        return len(claim.owners) > 1
    if which == "house":
        return claim.owners == {""}
    return claim.kind == which

"""What a search found, as text and as JSON."""

from __future__ import annotations

from breakdesk.cli.output import say, say_json, say_table
from breakdesk.cli.wording import day_words
from breakdesk.desk.desk import Desk
from breakdesk.desk.finding import STATE_WORDS
from breakdesk.desk.listing import ClaimRow, rows_with_keys
from breakdesk.desk.viewing import Found
from breakdesk.store.lists import people_rows


def say_found(desk: Desk, found: Found, *, as_json: bool) -> None:
    """Prints the participants, then the claims."""
    people = people_rows(desk.database, found.people)
    claims = rows_with_keys(desk, found.claims)
    if as_json:
        say_json(
            {
                "participants": [{"participant": name, "handle": handle or None} for _, name, handle, *_ in people],
                "claims": [
                    {"tag": row.tag, "state": row.state, "subject": row.subject or None, "participant": _owner(row)}
                    for row in claims
                ],
            }
        )
        return
    if not people and not claims:
        say("Nothing was found.")
        return
    if people:
        say_table(("participant", "handle"), [(name, handle) for _, name, handle, *_ in people])
    if people and claims:
        say()
    if claims:
        say_table(
            ("tag", "card", "state", "for", "pulled", "reference"),
            [
                (
                    row.tag,
                    " ".join(part for part in (row.subject.replace(";", " & "), row.variation) if part),
                    STATE_WORDS[row.state],
                    _owner(row) or "",
                    day_words(row.pull_day),
                    row.reference,
                )
                for row in claims
            ],
        )


def _owner(row: ClaimRow) -> str | None:
    if row.owner_kind == "house":
        from breakdesk.store.parties import read_house

        return read_house().name
    return row.owner_name or None

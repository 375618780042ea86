"""Writes a plan inside one action."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from breakdesk.desk.acting import Act
from breakdesk.desk.loading.plan import NewClaim, Plan
from breakdesk.store import history, loading, models, projecting, words
from breakdesk.store.engine import insert_rows, keys_were_chosen
from breakdesk.store.models import StrictSqlite
from breakdesk.store.models.base import Table
from breakdesk.store.parties import read_parties

CLAIMS_AT_ONCE = 2000
# Those that others refer to first.
_ORDER: tuple[type[Table], ...] = (
    models.Term, models.Maker, models.Account, models.ClosedDay, models.Product, models.Card, models.Participant,
    models.Contact, models.Address, models.Break, models.BreakProduct, models.Spot, models.SpotHolder,
)  # fmt: skip


def claim_lines(claims: Sequence[NewClaim]) -> Iterator[history.Line]:
    """The history of new claims, claim by claim."""
    for claim in claims:
        for event in claim.events:
            body = history.canonical(event.body)
            yield history.Line("claim", claim.claim_id, event.kind, event.day, body)


def write(plan: Plan, lines: Sequence[history.Line], a: Act, progress: Callable[[int, int], None]) -> int:
    """Writes everything; returns how many claims fall due on other days because terms changed."""
    database = a.desk.database
    _write_things(plan, database)
    moved = projecting.refresh_due_days(database) if plan.terms_changed and plan.snapshot.has_claims else 0
    _write_claims(plan, database, progress)
    loading.insert_new(database, models.ClaimCode, _code_rows(plan))
    _write_tellings(plan, database, a)
    for claim_id, events in plan.added_events.items():
        for event in events:
            a.add(claim_id, event.kind, event.body, event.day)
    for claim_id, note_id in plan.added_notes:
        loading.set_note(database, claim_id, note_id)
    loading.remember_rows(database, plan.remembered)
    keys_were_chosen(database, loading.NUMBERED)
    a.lines += lines
    a.people |= plan.people | {person_id for person_id, _ in plan.tellings}
    a.people |= projecting.people_in(claim.facts for claim in plan.claims.values())
    return moved


def _write_things(plan: Plan, database: StrictSqlite) -> None:
    if plan.house_name:
        loading.set_house_name(database, plan.house_name)
    for maker_id in plan.forgotten_holidays:
        loading.forget_holidays(database, maker_id)
    for table in _ORDER:
        loading.insert_new(database, table, plan.rows.get(table, ()))
    for (table, row_id), values in plan.changes.items():
        loading.update_row(database, table, row_id, values)
    for spot_id, holders in plan.holders.items():
        loading.replace_holders(database, spot_id, holders)
    words.write_words(database, "participant", plan.new_words)
    for person_id, found in plan.changed_words:
        words.rewrite_words(database, "participant", person_id, found)
    loading.write_texts(database, plan.texts)


def _write_claims(plan: Plan, database: StrictSqlite, progress: Callable[[int, int], None]) -> None:
    claims = list(plan.claims.values())
    if not claims:
        return
    parties = read_parties(database, projecting.people_in(claim.facts for claim in claims))
    for start in range(0, len(claims), CLAIMS_AT_ONCE):
        progress(start, len(claims))
        part = claims[start : start + CLAIMS_AT_ONCE]
        origins = {claim.claim_id: (claim.digest, claim.note_id) for claim in part}
        projecting.insert_claims(database, [claim.facts for claim in part], parties, origins)


def _code_rows(plan: Plan) -> list[dict[str, object]]:
    names = ("claim_id", "key_id", "sealed", "digest", "folded_digest")
    return [dict(zip(names, row, strict=True)) for row in plan.codes]


def _write_tellings(plan: Plan, database: StrictSqlite, a: Act) -> None:
    tellings, covered = [], []
    for (person_id, day), claim_ids in plan.tellings.items():
        telling_id = plan.next_id(models.Telling)
        tellings.append({"id": telling_id, "participant_id": person_id, "day": day.isoformat(), "action_key": a.key})
        covered += [(telling_id, claim_id) for claim_id in claim_ids]
    loading.insert_new(database, models.Telling, tellings)
    insert_rows(database, models.TellingClaim, ("telling_id", "claim_id"), covered)

"""Claim codes at the desk: sealed when written, unique, questioned when they look like another."""

from __future__ import annotations

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.finding import claim_named
from breakdesk.desk.problems import Problem, Result, refuse
from breakdesk.rules.claim import Claim
from breakdesk.rules.codes import normalise_code
from breakdesk.store import models
from breakdesk.store.claims import claim_with_tag
from breakdesk.store.sealing import NoKey

KEY_REMEDY = (
    "Put the key file back beside the desk file, or unlock the desk with its passphrase or its recovery key "
    "(`breakdesk lock` tells which it has); without one of them codes cannot be read or compared."
)


def write_code(a: Act, claim: Claim, code: str) -> None:
    """Seals a code for a claim; refuses one that another claim has, and warns of a lookalike."""
    normal = normalise_code(code)
    if not normal:
        raise refuse("The code is empty.", "Type the code as printed; use ? for a place that cannot be read.")
    sealer, table = a.desk.sealer, models.ClaimCode
    try:
        digest, folded_digest = sealer.code_digests(normal)
        sealed = sealer.seal(normal, f"claim {claim.id}")
    except NoKey:
        raise refuse("The desk's codes are locked.", KEY_REMEDY) from None
    if digest is not None:
        other = table.get_or_none(table.digest == digest, table.claim != claim.id)
        if other is not None:
            raise refuse(f"That code is on claim {other.claim.tag} already.", "Check which of the two it belongs to.")
        alike = table.get_or_none(table.folded_digest == folded_digest, table.claim != claim.id)
        if alike is not None:
            a.warnings.append(f"The code differs from that of {alike.claim.tag} only by lookalike characters.")
    table.delete().where(table.claim == claim.id).execute()
    table.insert(
        claim=claim.id, key_id=sealer.key_id, sealed=sealed, digest=digest, folded_digest=folded_digest
    ).execute()
    a.add(claim.id, "code_entered", day=max(a.day, claim.last_event_on))


def code_alike(desk: Desk, tag: str, code: str) -> str:
    """The tag of another claim whose code differs from this one only by lookalikes; empty where none does."""
    claim_id, normal = claim_with_tag(tag), normalise_code(code)
    try:
        digest, folded_digest = desk.sealer.code_digests(normal)
    except NoKey:
        return ""
    if digest is None:
        return ""
    table = models.ClaimCode
    other = table.get_or_none(table.folded_digest == folded_digest, table.digest != digest, table.claim != claim_id)
    return "" if other is None else str(other.claim.tag)


def enter_code(desk: Desk, tag: str, code: str, key: int | None = None) -> Result:
    """Keeps a claim's code, replacing an earlier one."""

    def work(a: Act) -> str:
        claim = claim_named(a, tag)
        a.require_order(claim)
        write_code(a, claim, code)
        return f"The code of {claim.tag} is kept, sealed."

    return act(desk, "enter code", work, key)


def show_code(desk: Desk, tag: str) -> tuple[Result, str]:
    """A claim's code in the clear, the second part; the history says who looked, and never what there was to see."""
    code = ""

    def work(a: Act) -> str:
        nonlocal code
        claim = claim_named(a, tag)
        found = read_code(desk, claim.id)
        if found is None:
            raise refuse(f"Claim {claim.tag} has no code.")
        if isinstance(found, Problem):
            raise refuse(found.what, found.remedy)
        code = found
        a.line("claim code", claim.id, "code_shown")
        return f"The code of {claim.tag} was shown; the history says so."

    return act(desk, "show code", work), code


def read_code(desk: Desk, claim_id: int) -> str | Problem | None:
    """A claim's code in the clear, for somebody who is off air; None where it has none."""
    row = models.ClaimCode.get_or_none(models.ClaimCode.claim == claim_id)
    if row is None:
        return None
    try:
        return desk.sealer.open(bytes(row.sealed), f"claim {claim_id}")
    except NoKey:
        return Problem("The desk's codes are locked, or this one was sealed with another key.", KEY_REMEDY)

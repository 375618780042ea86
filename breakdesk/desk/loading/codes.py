"""Seals the codes of claims; each belongs to one claim only."""

from __future__ import annotations

from dataclasses import dataclass

from breakdesk.desk.loading.plan import Place, Plan
from breakdesk.files.row_kinds import ClaimRow
from breakdesk.rules.codes import normalise_code
from breakdesk.store.loading import read_code_digests
from breakdesk.store.models import StrictSqlite


@dataclass(frozen=True, slots=True)
class _Holder:
    claim_id: int
    tag: str


class Codes:
    """Every code of the desk and of the load, by digests only."""

    def __init__(self, plan: Plan, database: StrictSqlite) -> None:
        self._plan = plan
        self._database = database
        self._equal: dict[str, _Holder] | None = None
        self._alike: dict[str, _Holder] = {}
        self._digest_of: dict[int, str | None] = {}

    def take(self, row: ClaimRow, claim_id: int, tag: str, place: Place) -> bool:
        """Seals a row's code for its claim, where it has one and the claim has none; tells whether it did.

        A code of another claim is an error that never shows it; one that only looks like another is a warning.
        """
        if not row.code:
            return False
        equal = self._read()
        normal = normalise_code(row.code)
        if not normal:
            what = "there is no letter or digit in this code"
            self._plan.error(place, "code", None, what, "Write the code as printed; use ? for an unreadable place.")
            return False
        sealer = self._plan.sealer
        digest, folded = sealer.code_digests(normal)
        if claim_id in self._digest_of:
            self._compare(claim_id, tag, digest, place)
            return False
        if digest is not None and digest in equal:
            what = f"this code is on claim {equal[digest].tag} already"
            self._plan.error(place, "code", None, what, "Check which of the two claims it belongs to.")
            return False
        if folded is not None and folded in self._alike:
            what = f"this code differs from that of claim {self._alike[folded].tag} only by lookalike characters"
            self._plan.warn(place, "code", None, what, "Compare both with the claim cards.")
        self._note(claim_id, tag, digest, folded)
        self._plan.codes.append((claim_id, sealer.key_id, sealer.seal(normal, f"claim {claim_id}"), digest, folded))
        return True

    def _compare(self, claim_id: int, tag: str, digest: str | None, place: Place) -> None:
        if self._digest_of[claim_id] != digest:
            what = f"another code is recorded for claim {tag} and stays"
            self._plan.warn(place, "code", None, what, "Correct it at the desk, if the recorded one is wrong.")

    def _note(self, claim_id: int, tag: str, digest: str | None, folded: str | None) -> None:
        holder = _Holder(claim_id, tag)
        self._digest_of[claim_id] = digest
        if digest is not None:
            self._read()[digest] = holder
        if folded is not None:
            self._alike.setdefault(folded, holder)

    def _read(self) -> dict[str, _Holder]:
        if self._equal is None:
            self._equal = {}
            for claim_id, tag, digest, folded in read_code_digests(self._database):
                self._note(claim_id, tag, digest, folded)
        return self._equal

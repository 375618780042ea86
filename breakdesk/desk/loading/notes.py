"""Keeps what a note says apart from the history, which holds its salted digest."""

from __future__ import annotations

import secrets
from typing import Any

from breakdesk.desk.loading.plan import Plan
from breakdesk.store import models
from breakdesk.store.history import SALT_BYTES, text_digest


def keep_note(plan: Plan, text: str) -> tuple[int, dict[str, Any]]:
    """The key of the kept text, and what the history may hold of it."""
    salt = secrets.token_bytes(SALT_BYTES)
    text_id = plan.next_id(models.FreeText)
    plan.texts.append((text_id, salt, text))
    return text_id, {"text": text_id, "text_digest": text_digest(salt, text)}

"""The one clock. Tests and `--on` set it; nothing else asks the machine for the time."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime


def machine_now() -> datetime:
    """The machine's time in UTC."""
    return datetime.now(UTC)


@dataclass(frozen=True, slots=True)
class Clock:
    """Tells `now`, and `as_of`: the instant a person asked about, where they named one."""

    tell: Callable[[], datetime] = machine_now
    named: datetime | None = None

    def now(self) -> datetime:
        """The instant at which things are recorded."""
        return self.tell()

    def as_of(self) -> datetime:
        """The instant to compute for, and at which actions are said to have happened."""
        return self.named if self.named is not None else self.tell()

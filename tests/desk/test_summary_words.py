"""How the summary of the day writes the moments that it names."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from breakdesk.desk.summary import limit_words


@pytest.mark.parametrize(
    ("end", "zone", "words"),
    [
        (datetime(2026, 3, 10, 6, 0, tzinfo=UTC), "America/Denver", "the end of Mon 9 Mar"),
        (datetime(2026, 3, 8, 7, 0, tzinfo=UTC), "America/Denver", "the end of Sat 7 Mar"),
        (datetime(2026, 3, 10, 15, 0, tzinfo=UTC), "America/Denver", "Tue 10 Mar 09:00"),
        (datetime(2026, 4, 23, 22, 0, tzinfo=UTC), "Africa/Cairo", "the end of Thu 23 Apr"),
    ],
)
def test_a_limit_at_midnight_is_the_end_of_the_day_before(end: datetime, zone: str, words: str) -> None:
    assert limit_words(end, zone) == words

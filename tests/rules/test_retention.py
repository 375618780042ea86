"""Which backups are kept: hourly for a day, daily for a month, monthly for a year."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.rules.retention import DAILY_FOR, HOURLY_FOR, MONTHLY_FOR, kept

NOW = datetime(2026, 6, 15, 18, 30, tzinfo=UTC)
BACKUPS = st.lists(
    st.integers(-60, 60 * 24 * 500).map(lambda minutes: NOW - timedelta(minutes=minutes)), unique=True, max_size=80
)


def test_a_year_of_hourly_backups_leaves_a_day_of_hours_a_month_of_days_and_a_year_of_months() -> None:
    made = [NOW - timedelta(hours=hours) for hours in range(24 * 400)]
    left = sorted(kept(made, NOW), reverse=True)
    assert left[:25] == made[:25]
    days = [instant for instant in left if HOURLY_FOR < NOW - instant <= DAILY_FOR]
    last_hours = [f"{NOW - timedelta(days=back):%m-%d} 23" for back in range(2, 32)]
    assert [f"{instant:%m-%d %H}" for instant in days][: len(last_hours)] == last_hours
    months = [instant for instant in left if NOW - instant > DAILY_FOR]
    assert len({(instant.year, instant.month) for instant in months}) == len(months)
    assert {f"{instant:%Y-%m}" for instant in months} >= {f"2025-{month:02d}" for month in range(7, 13)}


@given(BACKUPS)
@settings(max_examples=200, deadline=None)
def test_the_newest_stays_and_every_recent_hour_day_and_month_has_its_newest(made: list[datetime]) -> None:
    left = kept(made, NOW)
    assert left <= set(made)
    assert not made or max(made) in left
    for instant in made:
        same = [
            (HOURLY_FOR, "%Y-%m-%d %H"),
            (DAILY_FOR, "%Y-%m-%d"),
            (MONTHLY_FOR, "%Y-%m"),
        ]
        for limit, period in same:
            if NOW - instant <= limit:
                assert any(f"{other:{period}}" == f"{instant:{period}}" and other >= instant for other in left)


@given(BACKUPS, st.integers(0, 24 * 40))
@settings(max_examples=200, deadline=None)
def test_rotating_often_keeps_what_rotating_once_keeps(made: list[datetime], hours: int) -> None:
    later = NOW + timedelta(hours=hours)
    once, twice = kept(made, later), kept(kept(made, NOW), later)
    for period in ("%Y-%m-%d", "%Y-%m"):
        limit = DAILY_FOR if period.endswith("d") else MONTHLY_FOR
        covered = {f"{instant:{period}}" for instant in once if later - instant <= limit}
        assert covered == {f"{instant:{period}}" for instant in twice if later - instant <= limit}

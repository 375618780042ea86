"""The words by which claims and participants are found while somebody types."""

from __future__ import annotations

from collections.abc import Iterable

from breakdesk.rules.names import folded
from breakdesk.store.engine import insert_rows, run
from breakdesk.store.models import SearchWord, StrictSqlite

LAST_LETTER = "\U0010ffff"


def words_of(*texts: str) -> set[str]:
    """The folded words in some texts, and each run of letters and digits as typed without its breaks."""
    return {word for text in texts for word in folded(text).split()}


def write_words(database: StrictSqlite, thing: str, words: Iterable[tuple[int, set[str]]]) -> None:
    """Adds words for things that have none yet."""
    rows = ((word, thing, thing_id) for thing_id, found in words for word in sorted(found))
    insert_rows(database, SearchWord, ("word", "thing", "thing_id"), rows)


def rewrite_words(database: StrictSqlite, thing: str, thing_id: int, words: set[str]) -> None:
    """Replaces the words of one thing."""
    SearchWord.delete().where(SearchWord.thing == thing, SearchWord.thing_id == thing_id).execute()
    write_words(database, thing, [(thing_id, words)])


def find(database: StrictSqlite, text: str, thing: str, limit: int) -> list[int]:
    """Keys of things that have, for every word typed, a word beginning with it."""
    wanted = folded(text).split()
    if not wanted:
        return []
    parts, values = [], []
    for word in wanted:
        parts.append("SELECT DISTINCT thing_id FROM search_word WHERE thing = ? AND word >= ? AND word < ?")
        values += [thing, word, word + LAST_LETTER]
    sql = " INTERSECT ".join(parts) + " LIMIT ?"
    return [row[0] for row in run(database, sql, [*values, limit])]

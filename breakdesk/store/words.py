"""The words by which claims and participants are found while somebody types."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from breakdesk.rules.names import folded
from breakdesk.store.engine import by_index, insert_rows, run
from breakdesk.store.models import SearchWord, StrictSqlite

LAST_LETTER = "\U0010ffff"
# Left to itself the engine walks all words of all claims, because they stand in the order in which it wants to answer.
_FIND = """
SELECT DISTINCT found.thing_id FROM search_word AS found {by_index}
 WHERE found.thing = ? AND found.word >= ? AND found.word < ?
"""
_ALSO = """
   AND EXISTS (SELECT 1 FROM search_word AS other
                WHERE other.thing = found.thing AND other.thing_id = found.thing_id
                  AND other.word >= ? AND other.word < ?)
"""


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
    # The longest word leaves the fewest things; each of those is then asked for the other words.
    first, *others = sorted(set(folded(text).split()), key=len, reverse=True) or [""]
    if not first:
        return []
    values: list[Any] = [thing, first, first + LAST_LETTER]
    for word in others:
        values += [word, word + LAST_LETTER]
    finding = _FIND.format(by_index=by_index(database, "search_word_thing_word_thing_id"))
    rows = run(database, finding + _ALSO * len(others) + " LIMIT ?", [*values, limit])
    return [row[0] for row in rows]

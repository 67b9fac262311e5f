"""Long programs: plain lines many at a time, with the ordinary reader for all others in between.

Nothing is judged here. What is not plain, and whatever something is the matter with, goes to the ordinary
reader, which finds the state as if it had read the lines before itself.
"""

from __future__ import annotations

from collections.abc import Sequence

from polypocket.reader.columns import Draft
from polypocket.reader.dialect import Dialect
from polypocket.reader.state import State
from polypocket.reader.stretch import carry_out_plain, is_usual
from polypocket.reader.table import Table, table_of, understands

__all__ = ["Bulk", "bulk_of"]

#: Lines in one table: its columns then fit into a processor's cache, as measured.
TABLE_LINES = 16_384
#: Fewer plain lines than this are sooner read line by line, as measured.
SHORTEST = 32


def bulk_of(lines: Sequence[str], dialect: Dialect) -> Bulk | None:
    """Return what reads these lines, one at least, many at a time, ``None`` where the control is unusual."""
    return Bulk(lines, dialect) if understands(dialect) else None


class Bulk:
    """Carries out plain lines of a program, table after table."""

    def __init__(self, lines: Sequence[str], dialect: Dialect) -> None:
        self._lines, self._dialect = lines, dialect
        self._table: Table | None = None
        self._first = self._beyond = 0
        self._not_plain: list[int] = []
        self._window = TABLE_LINES
        self._pause, self._resume = 1, 0

    def carry_out(self, index: int, state: State, draft: Draft) -> int:
        """Carry out plain lines from ``index`` on, and return how many: none where the ordinary reader is to.

        After a line with something the matter the ordinary reader gets a few lines more, each time twice as
        many, so that a program full of mistakes does not take much longer than it would without tables.
        """
        if index < self._resume:
            return 0
        if self._table is None or index >= self._beyond:
            self._make_table(index)
        assert self._table is not None
        begin = index - self._first
        while self._not_plain and self._not_plain[-1] < begin:
            self._not_plain.pop()
        end = self._not_plain[-1] if self._not_plain else len(self._table)
        asked = min(end - begin, self._window)
        if asked < SHORTEST:
            self._resume = index + asked + 1
            return 0
        if not is_usual(state):
            return 0
        lines = slice(begin, begin + asked)
        done = carry_out_plain(self._table, lines, index + 1, state, draft, self._dialect)
        if done == asked:
            self._window = min(2 * self._window, TABLE_LINES)
            self._pause = 1
            return done
        self._window = SHORTEST
        self._pause = min(2 * self._pause, TABLE_LINES) if done < SHORTEST else 1
        self._resume = index + done + self._pause
        return done

    def _make_table(self, index: int) -> None:
        lines = self._lines[index : index + TABLE_LINES]
        self._table = table_of(lines, self._dialect)
        self._first, self._beyond = index, index + len(lines)
        self._not_plain = (~self._table.plain).nonzero()[0][::-1].tolist()

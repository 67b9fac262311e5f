"""The words of one line, sorted into modal groups and checked against each other.

Source: NISTIR 6556 3.3.4 to 3.4 and table 4 (in part from memory): of a modal group at most one word on a
line, at most four M words, any other letter at most once.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import NamedTuple

from polypocket.reader.dialect import Dialect
from polypocket.reader.groups import (
    CARRIED_OUT_CYCLES,
    NOT_CARRIED_OUT_G,
    NOT_CARRIED_OUT_M,
    Group,
    g_groups,
    g_text,
    m_groups,
)
from polypocket.reader.words import Reading, Word

__all__ = ["Block", "Code", "sort_words"]

#: NISTIR 6556 3.3.4 (from memory).
_MOST_M_WORDS = 4

_VALUES = frozenset("DFHIJKLPQRSTXYZ")
_ROTARY = frozenset("ABC")
_WITH_POINT = frozenset("XYZIJKQR")


class Code(NamedTuple):
    """A G word in tenths, or an M word, and its column."""

    number: int
    column: int


@dataclass(slots=True, eq=False, repr=False)
class Block:
    """What one line tells the control to do.

    Attributes:
        line: from 1.
        column: of the first word, from 1.
        optional: it begins with ``/``.
        codes: the G and M words, one a group.
        values: the other words by letter.
        refused: something on the line was refused; it then makes no motion.
        unread: capital letters in the part of the line that was not read.
    """

    line: int
    column: int
    optional: bool
    codes: dict[Group, Code] = field(default_factory=dict)
    values: dict[str, Word] = field(default_factory=dict)
    refused: bool = False
    unread: frozenset[str] = frozenset()


def sort_words(
    reading: Reading, line: int, dialect: Dialect, complain: Callable[[int, int, str, str], None]
) -> Block:
    """Sort the words of a line into a block.

    Whatever is refused goes to ``complain`` (line, column, code, text) and marks the block as refused; the
    words that are understood stay in it.
    """
    block = Block(line, reading.words[0].column if reading.words else 1, reading.optional)
    g_words = g_groups(dialect)
    count = 0

    def refuse(column: int, text: str) -> None:
        block.refused = True
        complain(line, column, "unread", text)

    for word in reading.words:
        letter, _, column, text = word
        if letter == "G":
            _sort_g(block, word, g_words.get(_tenths(word)), dialect, refuse)
        elif letter == "M":
            count += 1
            if count == _MOST_M_WORDS + 1:
                refuse(column, f"more than {_MOST_M_WORDS} M words on one line")
            _sort_m(block, word, dialect, refuse)
        elif letter not in _VALUES:
            what = "rotary axes are not carried out" if letter in _ROTARY else "this letter is not known"
            refuse(column, f"{letter}{text}: {what}")
        elif letter in block.values:
            refuse(column, f"{letter} stands twice on one line")
            block.unread |= {letter}
        else:
            if dialect.decimal_point and letter in _WITH_POINT and "." not in text:
                refuse(
                    column,
                    f"{letter}{text} has no decimal point; this control may read another length from it",
                )
                block.unread |= {letter}
            block.values[letter] = word
    if dialect.line_numbers and reading.words and not reading.numbered:
        refuse(block.column, "the line carries no N word, and this control wants one on every line")
    if reading.fault:
        refuse(reading.fault.column, reading.fault.text)
        block.unread |= frozenset(reading.fault.rest.upper())
    return block


def _tenths(word: Word) -> int:
    """Give a G word in tenths, -1 where it is negative or has more than one decimal."""
    tenths = round(word.value * 10.0)
    return tenths if tenths / 10.0 == word.value and "-" not in word.text else -1


def _sort_g(
    block: Block, word: Word, group: Group | None, dialect: Dialect, refuse: Callable[[int, str], None]
) -> None:
    tenths = _tenths(word)
    if dialect.unknown and g_text(tenths) in dialect.unknown:
        text = f"{g_text(tenths)} is not known to the dialect {dialect.name}"
        refuse(word.column, text)
    elif text := NOT_CARRIED_OUT_G.get(tenths, ""):
        refuse(word.column, text)
    elif tenths in CARRIED_OUT_CYCLES and not dialect.cycles:
        text = f"which words the cycle {g_text(tenths)} takes differs among the controls of {dialect.name}"
        refuse(word.column, text)
    if group is None:
        if not text:
            refuse(word.column, f"G{word.text} is not known to the dialect {dialect.name}")
    elif (earlier := block.codes.get(group)) is not None:
        refuse(word.column, f"{g_text(tenths)} and {g_text(earlier.number)} are of one modal group ({group})")
    else:
        block.codes[group] = Code(tenths, word.column)


def _sort_m(block: Block, word: Word, dialect: Dialect, refuse: Callable[[int, str], None]) -> None:
    number = int(word.value) if word.value.is_integer() and "-" not in word.text else -1
    groups = m_groups(number)
    if text := NOT_CARRIED_OUT_M.get(number):
        refuse(word.column, text)
    elif not groups:
        refuse(word.column, f"M{word.text} is not known")
    elif f"M{number}" in dialect.unknown:
        refuse(word.column, f"M{number} is not known to the dialect {dialect.name}")
    for group in groups:
        if (earlier := block.codes.get(group)) is not None:
            refuse(word.column, f"M{number} and M{earlier.number} are of one modal group ({group})")
            return
    for group in groups:
        block.codes[group] = Code(number, word.column)

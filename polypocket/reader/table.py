"""Many lines as a table, one row a letter and one column a line, and which of them are plain.

A plain line holds words that ``groups`` and ``block`` let pass whatever the state: N, one of G0 to G3, X Y Z,
I J or R, F, S, each at most once and with the axes that it needs. What a line does is for ``stretch``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from polypocket.reader.asks import asks_a_person, pass_announced
from polypocket.reader.dialect import Dialect
from polypocket.reader.tokens import LETTERS, Tokens, tokenise

__all__ = ["Table", "table_of", "understands"]

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]
Truths = NDArray[np.bool_]

_MOST_DIGITS_OF_N = 5
_MINUS = ord("-")
_PLAIN_WORDS = ("G0", "G1", "G2", "G3")

#: The traits that are looked at here, or make no difference to a plain line.
_KNOWN_TRAITS = frozenset(
    {
        "name", "inch_word", "millimetre_word", "line_numbers", "decimal_point", "line_length",
        "program_number", "end_word", "register_of_cutter", "arc_radius_mm", "arc_radius_inch", "unknown",
        "reference_all_axes", "cycles",
    }
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Table:
    """Lines as a table.

    Attributes:
        plain: whether the line is plain; the other entries mean nothing where it is not.
        words: value by letter, NaN where the line has no such word.
        passes: the pass that a comment announces, NaN for none.
        comments: line index, column from 1, text; by line.
        comment_lines: the line indices of ``comments``.
    """

    plain: Truths
    words: dict[str, Floats]
    passes: Floats
    comments: list[tuple[int, int, str]]
    comment_lines: Indices

    def __len__(self) -> int:
        return len(self.plain)


def understands(dialect: Dialect) -> bool:
    """Whether all that is unusual in how a control reads is known here."""
    usual = Dialect(dialect.name)
    return dialect.unknown.isdisjoint(_PLAIN_WORDS) and all(
        trait in _KNOWN_TRAITS or getattr(dialect, trait) == getattr(usual, trait)
        for trait in Dialect._fields
    )


def table_of(lines: Sequence[str], dialect: Dialect) -> Table:
    """Put lines into a table; there is at least one, and none carries its line end."""
    tokens = tokenise(lines)
    count = len(lines)
    values = np.full((len(LETTERS), count), np.nan)
    values[tokens.letter, tokens.line] = tokens.value
    words = dict(zip(LETTERS, values, strict=True))
    there = dict(zip(LETTERS, ~np.isnan(values), strict=True))
    plain = tokens.readable & (tokens.size <= dialect.line_length)
    plain[tokens.line[_refused(tokens, dialect)]] = False
    places = tokens.letter.astype(np.int64) * count + tokens.line
    plain &= (np.bincount(places, minlength=values.size).reshape(values.shape) <= 1).all(axis=0)

    any_word = np.zeros(count, dtype=np.bool_)
    for letter in LETTERS[1:]:
        any_word |= there[letter]
    if dialect.line_numbers:
        plain &= there["N"] | ~any_word
    centre = there["I"] | there["J"]
    across = there["X"] | there["Y"]
    plain &= ~there["G"] | across | there["Z"]
    plain &= across | ~(centre | there["R"])
    plain &= ~(centre & there["R"])
    passes, comment_lines = _hear(tokens, plain, any_word)
    comments = [(line, begin + 1, text) for line, begin, text in tokens.comments]
    return Table(plain, words, passes, comments, comment_lines)


def _refused(tokens: Tokens, dialect: Dialect) -> Truths:
    """Find the words that a line may not hold, or that only the ordinary reader judges."""

    def is_one_of(letters: str) -> Truths:
        return np.isin(tokens.letter, [LETTERS.index(letter) for letter in letters])

    number, motion = is_one_of("N"), is_one_of("G")
    signed: Truths = tokens.sign != 0
    refused = number & (~tokens.first | tokens.pointed | signed | (tokens.digits > _MOST_DIGITS_OF_N))
    refused |= motion & (signed | ~np.isin(tokens.value, (0.0, 1.0, 2.0, 3.0)))
    refused |= is_one_of("FS") & (tokens.sign == _MINUS)
    if dialect.decimal_point:
        refused |= is_one_of("XYZIJR") & ~tokens.pointed
    return refused


def _hear(tokens: Tokens, plain: Truths, any_word: Truths) -> tuple[Floats, Indices]:
    """Return the passes that comments announce and the comments' lines; lines that ask for something are not plain.

    So are lines with a comment before N, and those that announce a pass beside other words, since there it
    matters which of the two comes first.
    """
    passes = np.full(len(plain), np.nan)
    lines = np.fromiter((line for line, _, _ in tokens.comments), np.int64, len(tokens.comments))
    if not tokens.comments:
        return passes, lines
    numbered = np.full(len(plain), -1, dtype=np.int64)
    is_number = tokens.letter == LETTERS.index("N")
    numbered[tokens.line[is_number]] = tokens.begins[is_number]
    begins = np.fromiter((begin for _, begin, _ in tokens.comments), np.int64, len(lines))
    plain[lines[begins < numbered[lines]]] = False
    for line, _, text in tokens.comments:
        if (number := pass_announced(text)) is not None:
            passes[line] = number
        elif asks_a_person(text):
            plain[line] = False
    plain &= np.isnan(passes) | ~any_word
    return passes, lines

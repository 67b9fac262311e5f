"""The characters of many lines into words, all at once: a guard in front of ``words``, never its judge.

Only lines whose every word is a known letter with its number right behind it count as readable, and there
nothing else can be meant: ``words`` reads the same words with the same values. Whatever is unusual makes its
line unreadable here, and is left to ``words``.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["LETTERS", "Tokens", "tokenise"]

#: The letters that are read here; a word's ``letter`` is an index into them.
LETTERS = "NGXYZIJRFS"

#: Most digits of a number. Below 2^53 (15.95 digits) an integer is exact in a double, and so is 10^15: their
#: quotient, rounded once (IEEE 754), is the double nearest to the decimal number, which is what `float` gives.
_MOST_DIGITS = 15

_OTHER, _BLANK, _LINE_END, _LETTER, _DIGIT, _POINT, _SIGN = range(7)

Bytes = NDArray[np.uint8]
Floats = NDArray[np.float64]
Indices = NDArray[np.int64]
Truths = NDArray[np.bool_]


def _classes() -> Bytes:
    classes = np.full(256, _OTHER, dtype=np.uint8)
    groups = (" \t", "\n", LETTERS + LETTERS.lower(), "0123456789", ".", "+-")
    for what, characters in enumerate(groups, _BLANK):
        classes[list(characters.encode())] = what
    return classes


def _letter_numbers() -> Bytes:
    numbers = np.zeros(256, dtype=np.uint8)
    for number, letter in enumerate(LETTERS):
        numbers[[ord(letter), ord(letter.lower())]] = number
    return numbers


_CLASSES, _LETTER_NUMBERS = _classes(), _letter_numbers()
_POWERS = 10 ** np.arange(_MOST_DIGITS + 1, dtype=np.int64)
_COMMENT = re.compile(r"\(([^()\n]*)\)")


@dataclass(frozen=True, slots=True)
class Tokens:
    """The words of some lines in columns, one entry a word, in the order of the text.

    Attributes:
        readable: one entry a line: whether its words are here and are all that it holds but comments.
        size: one entry a line: its number of characters.
        line: index of the word's line.
        first: whether it is the first word on its line.
        letter: index into ``LETTERS``.
        value: the number, bit for bit as ``words`` reads it.
        sign: character before the digits, ``+`` or ``-``, or 0.
        digits: how many.
        pointed: whether the number has a point.
        comments: line index, index of the opening parenthesis in the line, and text.
        begins: index of the word's letter in its line.
    """

    readable: Truths
    size: Indices
    line: Indices
    first: Truths
    letter: Bytes
    value: Floats
    sign: Bytes
    digits: Indices
    pointed: Truths
    begins: Indices
    comments: list[tuple[int, int, str]]


def tokenise(lines: Sequence[str]) -> Tokens:
    """Read the words of lines that are given without their line ends; there is at least one line."""
    text = "\n".join(lines) + "\n"
    raw, remarks = _without_comments(text)
    characters = np.frombuffer(raw, dtype=np.uint8)
    classes = _CLASSES[characters]
    ends = np.flatnonzero(classes == _LINE_END)
    starts = np.concatenate(([0], ends[:-1] + 1))
    readable = np.ones(len(ends), dtype=np.bool_)
    readable[np.searchsorted(ends, np.flatnonzero(_strange(classes)))] = False
    if not readable.all():
        # What is left makes words: each letter is followed by one unbroken run of digits, point and sign.
        classes[np.repeat(~readable, ends - starts + 1)] = _BLANK
    at = np.flatnonzero(classes == _LETTER)
    number = classes >= _DIGIT
    stop = np.flatnonzero(number[:-1] & ~number[1:]) + 1
    line = np.searchsorted(ends, at)
    value, digits, pointed, sound = _values(characters, classes, at, stop)
    signs = characters[at + 1] if len(at) else characters[:0]
    sign = np.where(classes[at + 1] == _SIGN, signs, 0).astype(np.uint8) if len(at) else signs
    readable[line[~sound]] = False
    opened = np.fromiter((begin for begin, _ in remarks), np.int64, len(remarks))
    remark_lines = np.searchsorted(ends, opened)
    return Tokens(
        readable=readable,
        size=ends - starts,
        line=line,
        first=np.diff(line, prepend=-1) != 0,
        letter=_LETTER_NUMBERS[characters[at]],
        value=np.where(sign == ord("-"), -value, value),
        sign=sign,
        digits=digits,
        pointed=pointed,
        begins=at - starts[line],
        comments=[
            (index, begin, remark)
            for index, begin, (_, remark) in zip(
                remark_lines.tolist(), (opened - starts[remark_lines]).tolist(), remarks, strict=True
            )
        ],
    )


def _without_comments(text: str) -> tuple[bytes | bytearray, list[tuple[int, str]]]:
    """Return the characters, one byte each, with blanks for comments, and where each began and its text.

    A comment ends the word before it, and a blank does so here too: digits behind one are no part of a word.
    Parentheses that are left over make their line unreadable.
    """
    plain = text.encode("ascii", "replace")
    if b"(" not in plain:
        return plain, []
    raw = bytearray(plain)
    remarks: list[tuple[int, str]] = []
    for comment in _COMMENT.finditer(text):
        begin, end = comment.span()
        raw[begin:end] = b" " * (end - begin)
        remarks.append((begin, comment[1]))
    return raw, remarks


def _strange(classes: Bytes) -> Truths:
    """Find the characters that keep a line from being letters with their numbers right behind them."""
    before = np.empty_like(classes)
    before[0], before[1:] = _LINE_END, classes[:-1]
    after_letter = before == _LETTER
    strange = classes == _OTHER
    strange |= (classes >= _DIGIT) & (before < _LETTER)
    strange |= after_letter & (classes < _DIGIT)
    strange |= (classes == _SIGN) & ~after_letter
    return strange


def _values(
    characters: Bytes, classes: Bytes, at: Indices, stop: Indices
) -> tuple[Floats, Indices, Truths, Truths]:
    """Return the numbers without their signs, how many digits, whether there is a point, and which are sound."""
    count = len(at)
    places = np.flatnonzero(classes == _DIGIT)
    beyond = np.searchsorted(places, stop)
    first = np.concatenate(([0], beyond[:-1])) if count else beyond
    digits = beyond - first
    points = np.flatnonzero(classes == _POINT)
    of_point = np.searchsorted(at, points) - 1
    most_points = np.bincount(of_point, minlength=count) if count else digits
    sound = (digits >= 1) & (digits <= _MOST_DIGITS) & (most_points <= 1)

    mantissa = np.zeros(count, dtype=np.int64)
    # Digits from the last one of a number: units, tens, hundreds …; too long a number is not used.
    power = np.repeat(beyond - 1, digits) - np.arange(len(places))
    worth = (characters[places] - np.uint8(ord("0"))) * _POWERS[np.minimum(power, _MOST_DIGITS)]
    some = digits > 0
    if some.any():
        mantissa[some] = np.add.reduceat(worth, first[some])
    decimals = np.zeros(count, dtype=np.int64)
    decimals[of_point] = stop[of_point] - points - 1
    value = mantissa / _POWERS[np.minimum(decimals, _MOST_DIGITS)].astype(np.float64)
    return value, digits, most_points > 0, sound

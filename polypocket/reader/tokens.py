"""The characters of many lines into words, all at once: a guard in front of ``words``, never its judge.

Only lines whose every word is a known letter with its number right behind it count as readable, and there
nothing else can be meant: ``words`` reads the same words with the same values. Whatever is unusual makes its
line unreadable here, and is left to ``words``.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

__all__ = ["LETTERS", "Tokens", "tokenise"]

#: The letters that are read here; a word's ``letter`` is an index into them.
LETTERS = "NGXYZIJRFS"

#: Most digits before and after the point: as many as `_eight_digits` takes.
_MOST_TOGETHER = 8

#: Most digits of a number. Below 2^53 (15.95 digits) an integer is exact in a double, and so is 10^15: their
#: quotient, rounded once (IEEE 754), is the double nearest to the decimal number, which is what `float` gives.
_MOST_DIGITS = 15

_OTHER, _BLANK, _LINE_END, _LETTER, _DIGIT, _POINT, _SIGN = range(7)

Bytes = NDArray[np.uint8]
Floats = NDArray[np.float64]
Indices = NDArray[np.int64]
Truths = NDArray[np.bool_]


def _translation(groups: Sequence[str], first: int) -> bytes:
    """Return what ``bytes.translate`` takes: the n-th group's characters become ``first + n``, others 0."""
    table = bytearray(256)
    for what, characters in enumerate(groups, first):
        for character in characters.encode():
            table[character] = what
    return bytes(table)


_CLASSES = _translation((" \t", "\n", LETTERS + LETTERS.lower(), "0123456789", ".", "+-"), _BLANK)
_LETTER_NUMBERS = np.frombuffer(_translation([each + each.lower() for each in LETTERS], 0), dtype=np.uint8)
_POWERS = 10 ** np.arange(_MOST_DIGITS + 1, dtype=np.int64)
_COMMENT = re.compile(r"\(([^()\n]*)\)")


class Tokens(NamedTuple):
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
    raw, remarks = _without_comments("\n".join(lines) + "\n")
    characters = np.frombuffer(raw, dtype=np.uint8)
    classes = np.frombuffer(raw.translate(_CLASSES), dtype=np.uint8)
    ends = np.flatnonzero(classes == _LINE_END)
    starts = np.concatenate(([0], ends[:-1] + 1))
    readable = np.ones(len(ends), dtype=np.bool_)
    readable[np.searchsorted(ends, np.flatnonzero(_strange(classes)))] = False
    if not readable.all():
        # What is left makes words: each letter is followed by one unbroken run of digits, point and sign.
        classes = classes.copy()
        for begin, end in zip(starts[~readable].tolist(), ends[~readable].tolist(), strict=True):
            classes[begin:end] = _BLANK
    begins_word = classes == _LETTER
    at = np.flatnonzero(begins_word)
    number = classes >= _DIGIT
    stop = np.flatnonzero(number[:-1] & ~number[1:]) + 1
    words_so_far = np.cumsum(begins_word, dtype=np.int32)
    line = np.repeat(np.arange(len(ends)), np.diff(words_so_far[ends], prepend=0))
    points = np.flatnonzero(classes == _POINT)
    signed = classes[at + 1] == _SIGN
    value, digits, pointed, sound = _values(
        raw, at + 1 + signed, stop, points, words_so_far[points].astype(np.int64) - 1
    )
    sign = np.where(signed, characters[at + 1], np.uint8(0))
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
    strange: Truths = classes == _OTHER
    strange |= (classes >= _DIGIT) & (before < _LETTER)
    strange |= after_letter & (classes < _DIGIT)
    strange |= (classes == _SIGN) & ~after_letter
    return strange


def _values(
    raw: bytes | bytearray, begin: Indices, stop: Indices, points: Indices, of_point: Indices
) -> tuple[Floats, Indices, Truths, Truths]:
    """Return the numbers without their signs, how many digits, whether there is a point, and which are sound.

    Args:
        raw: the characters.
        begin: where each number's digits begin.
        stop: one beyond each number's last character.
        points: where there are decimal points.
        of_point: to which number each belongs.
    """
    how_many = np.bincount(of_point, minlength=len(begin))
    pointed = how_many > 0
    point = stop.copy()
    point[of_point] = points
    whole, decimals = point - begin, stop - point - pointed
    digits = whole + decimals
    sound = (how_many <= 1) & (digits >= 1) & (digits <= _MOST_DIGITS)
    sound &= (whole <= _MOST_TOGETHER) & (decimals <= _MOST_TOGETHER)
    places = np.where(sound, decimals, 0)
    mantissa = _eight_digits(raw, point, np.where(sound, whole, 0)) * _POWERS[places]
    mantissa += _eight_digits(raw, stop, places)
    return mantissa / _POWERS[places].astype(np.float64), digits, pointed, sound


def _eight_digits(raw: bytes | bytearray, stop: Indices, count: Indices) -> Indices:
    """Return the numbers that the ``count`` (at most 8) digits before each ``stop`` make.

    Eight characters are taken as one integer of 64 bits, in which neighbours are put together: digits to pairs,
    pairs to fours, fours to eight, as described in the literature on parsing numbers (from memory).
    """
    padded = b"\0" * _MOST_TOGETHER + raw
    every_eight: NDArray[np.uint64] = np.ndarray(
        len(padded) - _MOST_TOGETHER + 1, dtype="<u8", buffer=padded, strides=(1,)
    )
    # The first character is the lowest byte, so the digits are the highest `count` bytes.
    digits = (every_eight[stop] ^ _ZEROS) & _HIGHEST_BYTES[count]
    pairs = ((digits * np.uint64(10)) + (digits >> np.uint64(8))) & _EVERY_SECOND_BYTE
    fours = (pairs * np.uint64(100) + (pairs >> np.uint64(16))) & _EVERY_FOURTH_BYTES
    eight = (fours * np.uint64(10_000) + (fours >> np.uint64(32))) & _LOWER_HALF
    return eight.astype(np.int64)


_ZEROS = np.uint64(0x3030303030303030)
_HIGHEST_BYTES = np.array([(2**64 - 1) ^ (2 ** (64 - 8 * count) - 1) for count in range(9)], dtype=np.uint64)
_EVERY_SECOND_BYTE = np.uint64(0x00FF00FF00FF00FF)
_EVERY_FOURTH_BYTES = np.uint64(0x0000FFFF0000FFFF)
_LOWER_HALF = np.uint64(0x00000000FFFFFFFF)

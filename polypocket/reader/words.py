"""A line of text into words, comments and at most one fault: the only place where characters are looked at.

Source of the rules: NISTIR 6556, Appendix E and section 3.3 (in part from memory): case and blanks outside
comments do not matter, not even inside a number; a line is an optional ``/``, an optional N word, then
words and comments in any order; comments stand in parentheses and do not nest.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import NamedTuple

__all__ = ["MOST_CHARACTERS", "Fault", "Reading", "Remark", "Word", "read_number", "read_words"]

#: Most characters in one number: 17 digits determine a double (IEEE 754), longer is no dimension. No source.
MOST_CHARACTERS = 32

# A letter takes every sign, digit and point behind it and the blanks between; `read_number` judges whether
# that is one. A comment ends the word before it: a control may drop it or read it as a blank,
# so `G1(a)5` is no G15.
_TOKEN = re.compile(r"([A-Za-z])((?:[ \t]*+[-+.0-9]++)*+)|[ \t]+|\(([^()]*)\)|(.)", re.DOTALL)
_WORD, _COMMENT, _STRAY = 2, 3, 4
_BLOCK_DELETE = re.compile(r"[ \t]*/")
_WITHOUT_BLANKS = str.maketrans("", "", " \t")

_STRAY_TEXTS = {
    ")": "this ends a comment that was not begun",
    "=": "variables are not carried out; write the number itself",
    "#": "variables are not carried out; write the number itself",
    "[": "expressions are not carried out; write the number itself",
    "%": "% stands alone on its line, first and last in the program",
    ";": "a comment stands in parentheses",
    ":": "a program number is read only where the dialect has one, right after the opening %",
    "/": "/ stands only at the start of a line",
    "\r": "a carriage return (U+000D) inside a line; save the file with line ends LF or CR LF",
    "\ufeff": "a byte order mark (U+FEFF); save the file as UTF-8 without one",
}


class Word(NamedTuple):
    """A capital letter with its number; ``column`` (from 1) is the letter's, ``text`` has no blanks."""

    letter: str
    value: float
    column: int
    text: str


class Remark(NamedTuple):
    """A comment's text without its parentheses, and the column of the opening one, from 1."""

    column: int
    text: str


class Fault(NamedTuple):
    """What stopped the reading of a line: where, why, and the part of the line that was not read."""

    column: int
    text: str
    rest: str


@dataclass(slots=True)
class Reading:
    """What a line holds.

    Attributes:
        optional: the line begins with ``/``.
        numbered: it carries an N word.
        words: all words but N, in the order of the text.
        comments: in the order of the text.
        fault: the first thing that cannot be read; what follows it on the line is not read.
    """

    optional: bool = False
    numbered: bool = False
    words: list[Word] = field(default_factory=list)
    comments: list[Remark] = field(default_factory=list)
    fault: Fault | None = None


def read_number(text: str) -> float | None:
    """Read an optional sign and digits with at most one point; ``None`` where it is no such number.

    Only signs, digits and points may be handed in: of these ``float`` takes exactly what NISTIR 6556
    3.3.2.1 allows (from memory), and rounds it correctly.
    """
    if len(text) > MOST_CHARACTERS:
        return None
    try:
        return float(text)
    except ValueError:
        return None


def read_words(line: str) -> Reading:
    """Read one line, given without its line end. The first thing that cannot be read is the fault."""
    reading = Reading()
    begin = 0
    if slash := _BLOCK_DELETE.match(line):
        reading.optional, begin = True, slash.end()
    words = reading.words
    for token in _TOKEN.finditer(line, begin):
        what = token.lastindex
        if what == _WORD:
            letter, number = token[1].upper(), token[2]
            if " " in number or "\t" in number:
                number = number.translate(_WITHOUT_BLANKS)
            value = read_number(number)
            if value is None or letter in "NO":
                reading.fault = _word_fault(reading, line, token, letter, number)
                if reading.fault:
                    break
                reading.numbered = True
            else:
                words.append(Word(letter, value, token.start() + 1, number))
        elif what == _COMMENT:
            reading.comments.append(Remark(token.start() + 1, token[3]))
        elif what == _STRAY:
            reading.fault = Fault(token.start() + 1, _stray_text(line, token.start()), line[token.start() :])
            break
    return reading


def _word_fault(reading: Reading, line: str, token: re.Match[str], letter: str, number: str) -> Fault | None:
    """Judge an N or O word, or a letter without a proper number; ``None`` for an N word that is right."""
    column, rest = token.start() + 1, line[token.start() :]
    if letter == "O":
        return Fault(column, "O words (subprograms, program names) are not carried out", rest)
    if letter == "N":
        if reading.words or reading.comments or reading.numbered:
            return Fault(column, "N stands only once, first on its line", rest)
        if not (number.isdigit() and len(number) <= 5):
            return Fault(column, f"N wants one to five digits, not '{number[:MOST_CHARACTERS]}'", rest)
        return None
    following = line[token.end() :].lstrip(" \t")
    if not number and following[:1] in ("#", "["):
        index = len(line) - len(following)
        return Fault(index + 1, _stray_text(line, index), rest)
    if not number:
        return Fault(column, f"{letter} has no number", rest)
    if len(number) > MOST_CHARACTERS:
        return Fault(column, f"the number of {letter} has more than {MOST_CHARACTERS} characters", rest)
    return Fault(column, f"'{number}' after {letter} is not a number", rest)


def _stray_text(line: str, index: int) -> str:
    character = line[index]
    if character == "(":
        closed = ")" in line[index:]
        return "comments do not nest" if closed else "the comment is not closed"
    if character in _STRAY_TEXTS:
        return _STRAY_TEXTS[character]
    if character in "+-.0123456789":
        return "a number without a letter"
    shown = f"'{character}'" if character.isascii() and character.isprintable() else f"U+{ord(character):04X}"
    return f"the character {shown} cannot be read outside a comment"

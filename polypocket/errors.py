"""Every error that this project raises on purpose.

::

    PolypocketError
    ├── InputError        a file or an option cannot be used; exit code 2
    │   ├── FileError     it cannot be read, written or parsed
    │   └── MistakesError it says something that cannot be: all its mistakes, each with its place
    ├── DialectError      a dialect cannot say what the program needs; exit code 2
    └── ProofError        the dry run found an error in a program; exit code 1
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

__all__ = [
    "DialectError",
    "FileError",
    "InputError",
    "Mistake",
    "MistakesError",
    "PolypocketError",
    "ProofError",
    "called",
    "with_numbers",
]

#: A place in an array of tables, whose index counts from 0.
_INDEXED = re.compile(r"\b([a-z_]+)\[([0-9]+)\](?:\.[a-z_]+)*")


def called(place: str) -> str:
    """Return what a person calls a place such as ``sections[0].depth``: `` (section 1)``; nothing for other places.

    Sections go by their numbers everywhere else. Other tables may have numbers or names of their own, so that which of
    them in the file is meant is said: `` (2nd [[cutters]])``.
    """
    match = _INDEXED.fullmatch(place)
    if match is None:
        return ""
    number = int(match[2]) + 1
    if match[1] == "sections":
        return f" (section {number})"
    # English ordinals: 1st, 2nd, 3rd, 4th, but 11th, 12th, 13th.
    end = {1: "st", 2: "nd", 3: "rd"}.get(number % 10 if number % 100 not in (11, 12, 13) else 0, "th")
    return f" ({number}{end} [[{match[1]}]])"


def with_numbers(text: str) -> str:
    """Return a text with what a person calls it behind each place that is counted from 0."""
    return _INDEXED.sub(lambda match: f"{match[0]}{called(match[0])}", text)


class PolypocketError(Exception):
    """Root of all errors raised on purpose. Its text says what is wrong, where, and what to do."""


class InputError(PolypocketError):
    """A file or an option cannot be used."""


class FileError(InputError):
    """A file cannot be read, written or parsed."""


class Mistake(NamedTuple):
    """One thing wrong in a file; as text, with what a person calls a place that is counted from 0.

    Attributes:
        place: where, as a path of keys such as ``sections[1].depth``; empty for the file as a whole.
        message: what is wrong and what to do.
    """

    place: str
    message: str

    def __str__(self) -> str:
        return with_numbers(f"{self.place}: {self.message}" if self.place else self.message)


#: Mistakes told in an error's text: more, and something else is wrong than each of them. No source.
_MOST_TOLD = 50


class MistakesError(InputError):
    """All the mistakes of one file, reported together; the text tells the first fifty and counts the others.

    Attributes:
        source: the file's name as the person gave it.
        mistakes: in the order of the file.
    """

    def __init__(self, source: str, mistakes: Sequence[Mistake]) -> None:
        self.source = source
        self.mistakes = tuple(mistakes)
        told = [f"{source}: {mistake}" for mistake in self.mistakes[:_MOST_TOLD]]
        if len(self.mistakes) > _MOST_TOLD:
            told.append(f"{source}: and {len(self.mistakes) - _MOST_TOLD} more mistakes")
        super().__init__("\n".join(told))


class DialectError(PolypocketError):
    """A dialect cannot say what the program needs; nothing was written."""


class ProofError(PolypocketError):
    """The dry run found an error in a program that was about to be written; nothing was written."""

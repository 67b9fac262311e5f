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

from collections.abc import Sequence
from dataclasses import dataclass

__all__ = [
    "DialectError",
    "FileError",
    "InputError",
    "Mistake",
    "MistakesError",
    "PolypocketError",
    "ProofError",
]


class PolypocketError(Exception):
    """Root of all errors raised on purpose. Its text says what is wrong, where, and what to do."""


class InputError(PolypocketError):
    """A file or an option cannot be used."""


class FileError(InputError):
    """A file cannot be read, written or parsed."""


@dataclass(frozen=True, order=True)
class Mistake:
    """One thing wrong in a file.

    Attributes:
        place: where, as a path of keys such as ``sections[1].depth``; empty for the file as a whole.
        message: what is wrong and what to do.
    """

    place: str
    message: str

    def __str__(self) -> str:
        return f"{self.place}: {self.message}" if self.place else self.message


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

"""The base class of the posts.

A post states two things apart from each other: how its dialect is written (the flags of ``manner``) and how a control
reads it (``dialect``). The second is the reader's; nothing here looks at it, so that one mistake cannot cancel itself.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, ClassVar

from polypocket.errors import DialectError
from polypocket.post.lines import comments, folded
from polypocket.post.manner import LAST_NUMBER, Manner
from polypocket.post.writer import Writer

if TYPE_CHECKING:
    from polypocket.program import Program, Scale
    from polypocket.reader.dialect import Dialect, WordFormat

__all__ = ["Post"]


class Post(Manner):
    """One dialect. It is a subclass that changes what is different, and no more."""

    #: One line that says what the dialect is.
    title: ClassVar[str]
    #: By what a person recognises it in a program that runs on their control.
    traits: ClassVar[tuple[str, ...]]
    #: How a control reads it.
    dialect: Dialect
    #: Whether it is no control that reads it, but a person at the handwheels.
    by_hand: ClassVar[bool] = False

    def for_words(self, words: WordFormat | None) -> Post:
        """Return the post as a mill file's table ``[words]`` wants it; most dialects leave nothing to say there.

        Raises:
            DialectError: the dialect needs the table and there is none.
        """
        return self

    def for_scales(self, scales: Mapping[str, Scale]) -> Post:
        """Return the post for a person who reads these scales, by axis; to a control they are nothing."""
        return self

    def write(self, program: Program, header: Sequence[str], resolution: float = math.inf) -> str:
        """Return the text of a program with one setup.

        Args:
            program: the neutral program.
            header: lines that stand as comments at its head.
            resolution: how fine coordinates should be, mm; the dialect's own decimals where they are fine enough.

        Raises:
            DialectError: the dialect cannot say what the program needs.
        """
        (setup,) = program.setups
        blocks = [comment for line in header for comment in comments(line, self.room)]
        blocks += Writer(self, program.units, resolution).setup(setup)
        lines = [line for block in (*blocks, self.end_word) for line in folded(block, self.room, self.name)]
        opening = ["%", ":1"] if self.program_number else ["%"]
        return "\n".join([*opening, *self._numbered(lines), "%", ""])

    def _numbered(self, lines: Sequence[str]) -> Iterable[str]:
        if not self.numbered:
            return lines
        step = 10 if 10 * len(lines) <= LAST_NUMBER else 1
        if step * len(lines) > LAST_NUMBER:
            raise DialectError(
                f"{self.name}: the program has more blocks ({len(lines)}) than there are line numbers"
            )
        return (f"N{step * (i + 1)} {line}" for i, line in enumerate(lines))

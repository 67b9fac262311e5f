"""The base class of the posts: what a dialect can say, and how it says it.

A post states two things apart from each other: how its dialect is written (the attributes below) and how a control
reads it (``dialect``). The second is the reader's; nothing here looks at it, so that one mistake cannot cancel itself.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, ClassVar

from polypocket.errors import DialectError
from polypocket.post.numbers import NumberFormat, WrittenPoint

if TYPE_CHECKING:
    from polypocket.program import Program
    from polypocket.reader.dialect import Dialect, WordFormat

__all__ = ["Post"]

#: The highest line number that every reader takes: five digits, NISTIR 6556.
_LAST_NUMBER = 99999
#: Decimals of a coordinate: half a step is far below what a mill can hold. Common practice, no source.
_DECIMALS = {"mm": 3, "inch": 4}


class Post:
    """How one dialect is written. A dialect is a subclass that changes what is different, and no more."""

    name: ClassVar[str]
    #: One line that says what the dialect is.
    title: ClassVar[str]
    #: By what a person recognises it in a program that runs on their control.
    traits: ClassVar[tuple[str, ...]]
    #: How a control reads it.
    dialect: Dialect

    #: The words that set the units.
    unit_words: ClassVar[Mapping[str, str]] = {"mm": "G21", "inch": "G20"}
    #: Further modal words that a program relies on, set in its first block.
    safe_words: ClassVar[tuple[str, ...]] = ("G17", "G40", "G49", "G80", "G90", "G94")
    #: The word that ends a program.
    end_word: ClassVar[str] = "M30"
    #: Whether one more decimal may be written where an angle needs it.
    finer_decimals: ClassVar[bool] = False
    #: Whether every block carries a line number.
    numbered: ClassVar[bool] = False
    #: Whether a coordinate without a fraction still carries its decimal point.
    always_point: ClassVar[bool] = False
    #: Whether the program begins with its number.
    program_number: ClassVar[bool] = False
    #: Most characters in a line; longer blocks are written as several, longer comments folded.
    line_length: ClassVar[int] = 70
    #: Whether holes are written as cycles (G81, G82, G83) and not stroke by stroke.
    cycles: ClassVar[bool] = True
    #: Whether one arc may go all the way round.
    full_circles: ClassVar[bool] = True
    #: Whether an arc must stay inside one quadrant about its centre.
    quadrant_arcs: ClassVar[bool] = False
    #: Whether the distances I and J of an arc's centre carry a sign.
    signed_centre: bool = True
    #: Whether the control changes cutters (T and M6) where the mill has a changer.
    tool_change: ClassVar[bool] = True
    #: Whether the control can keep the cutters' lengths (G43 H).
    length_offsets: ClassVar[bool] = True
    #: Whether the control can lead the cutter beside the path by a register (G41, G42 D).
    size_offsets: ClassVar[bool] = True

    def for_words(self, words: WordFormat | None) -> Post:
        """Return the post as a mill file's table ``[words]`` wants it; most dialects leave nothing to say there.

        Raises:
            DialectError: the dialect needs the table and there is none.
        """
        return self

    def number_format(self, units: str, resolution: float = math.inf) -> NumberFormat:
        """Return how lengths are written in ``mm`` or ``inch``, so that a step is no longer than ``resolution``.

        ``resolution`` is in those units; a dialect that cannot be finer writes as finely as it can.
        """
        places = _DECIMALS[units]
        finer = self.finer_decimals and 10.0**-places > resolution
        return WrittenPoint(places + finer, self.always_point)

    def feed(self, rate: float, units: str) -> str:
        """Return a feed's number, ``rate`` in the program's units a minute: rounded down, so that none is too fast.

        Raises:
            DialectError: it is too slow to be written.
        """
        tenths = 10 if units == "mm" else 100
        whole = math.floor(rate * tenths + 1e-6)
        if not whole:
            raise DialectError(f"{self.name}: a feed of {rate:g} a minute is too slow to be written")
        text = f"{whole / tenths:.2f}".rstrip("0")
        return text if self.always_point else text.rstrip(".")

    def spindle(self, rpm: float) -> str:
        """Return a spindle speed's word, rounded down to whole turns a minute.

        Raises:
            DialectError: the dialect has no word for it.
        """
        return f"S{math.floor(rpm)}"

    def write(self, program: Program, header: Sequence[str], resolution: float = math.inf) -> str:
        """Return the text of a program with one setup.

        Args:
            program: the neutral program.
            header: lines that stand as comments at its head.
            resolution: how fine coordinates should be, mm; the dialect's own decimals where they are fine enough.

        Raises:
            DialectError: the dialect cannot say what the program needs.
        """
        from polypocket.post.lines import comments, folded
        from polypocket.post.writer import Writer

        (setup,) = program.setups
        blocks = [comment for line in header for comment in comments(line, self.room)]
        blocks += Writer(self, program.units, resolution).setup(setup)
        lines = [line for block in (*blocks, self.end_word) for line in folded(block, self.room, self.name)]
        opening = ["%", ":1"] if self.program_number else ["%"]
        return "\n".join([*opening, *self._numbered(lines), "%", ""])

    @property
    def room(self) -> int:
        """Characters that a block may have beside its line number."""
        return self.line_length - (len(f"N{_LAST_NUMBER} ") if self.numbered else 0)

    def _numbered(self, lines: Sequence[str]) -> Iterable[str]:
        if not self.numbered:
            return lines
        step = 10 if 10 * len(lines) <= _LAST_NUMBER else 1
        if step * len(lines) > _LAST_NUMBER:
            raise DialectError(
                f"{self.name}: the program has more blocks ({len(lines)}) than there are line numbers"
            )
        return (f"N{step * (i + 1)} {line}" for i, line in enumerate(lines))

"""How a dialect is written: what it can say, and in which words."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import ClassVar

from polypocket.errors import DialectError
from polypocket.post.numbers import NumberFormat, WrittenPoint

__all__ = ["LAST_NUMBER", "Manner"]

#: The highest line number that every reader takes: five digits, NISTIR 6556.
LAST_NUMBER = 99999
#: Decimals of a coordinate: half a step is far below what a mill can hold. Common practice, no source.
_DECIMALS = {"mm": 3, "inch": 4}


class Manner:
    """The flags of a dialect, and how it writes numbers, feeds and speeds."""

    name: ClassVar[str]

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

    @property
    def room(self) -> int:
        """Characters that a block may have beside its line number."""
        return self.line_length - (len(f"N{LAST_NUMBER} ") if self.numbered else 0)

"""How a control reads its programs: the traits that the reader needs, as frozen values."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Dialect"]


@dataclass(frozen=True, slots=True)
class Dialect:
    """How a control reads.

    Attributes:
        name: the dialect's name.
        inch_word: the G code that sets inches, as a number.
        millimetre_word: the G code that sets millimetres, as a number.
        line_numbers: whether every block must carry an N word.
        decimal_point: whether an axis or centre word (X Y Z I J K R) must carry a decimal point.
        line_length: most characters in a line.
        program_number: whether a block may carry the program's number (a colon and digits) after the
            opening ``%``.
        end_word: whether only M2 or M30 ends a program; otherwise a closing ``%`` does too.
        arc_radius_mm: most by which an arc's radii at start and end may differ, mm.
        arc_radius_inch: the same for programs in inches, inches.
    """

    name: str
    inch_word: int = 20
    millimetre_word: int = 21
    line_numbers: bool = False
    decimal_point: bool = False
    line_length: int = 256
    program_number: bool = False
    end_word: bool = False
    arc_radius_mm: float = 0.002
    arc_radius_inch: float = 0.0002

"""How a control reads its programs: the traits that the reader needs, as frozen values."""

from __future__ import annotations

from typing import Literal, NamedTuple

__all__ = ["Dialect", "WordFormat"]


class WordFormat(NamedTuple):
    """How words are coded where the text leaves it open, as a mill file's table ``[words]`` states it.

    Attributes:
        digits_mm, digits_inch: digits of a length before and after its implied point.
        zeros: which zeros are left out: ``leading``, ``trailing`` or ``none``.
        signed_centre: whether I and J carry a sign; if not, the quadrant tells it.
        digits_feed: digits of a feed a minute before and after its implied point.
        spindle_codes: each spindle code and its speed, turns a minute; none where S is the speed itself.
    """

    digits_mm: tuple[int, int]
    digits_inch: tuple[int, int]
    zeros: Literal["leading", "trailing", "none"]
    signed_centre: bool
    digits_feed: tuple[int, int]
    spindle_codes: tuple[tuple[int, float], ...] = ()


class Dialect(NamedTuple):
    """How a control reads.

    Attributes:
        name: the dialect's name.
        inch_word: the G code that sets inches, as a number.
        millimetre_word: the G code that sets millimetres, as a number.
        line_numbers: whether every block must carry an N word.
        decimal_point: whether a length (X Y Z I J K R, and Q of a cycle) must carry a decimal point.
        line_length: most characters in a line.
        program_number: whether a block may carry the program's number (a colon and digits) after the
            opening ``%``.
        register_of_cutter: whether G41 and G42 without D take the register that has the number of the cutter
            in the spindle.
        end_word: whether only M2 or M30 ends a program; otherwise a closing ``%`` does too.
        arc_radius_mm: most by which an arc's radii at start and end may differ, mm.
        arc_radius_inch: the same for programs in inches, inches.
        unknown: G and M words of the standard that this control does not know, such as ``G81``.
        quadrant_arcs: whether an arc must stay inside one quadrant about its centre.
        words: how words are coded; ``None`` where numbers carry their point.
        wants_words: whether programs cannot be read before a mill file states ``words``.
        reference_all_axes: whether G28 and G30 take every axis to the reference place, whichever of them the
            block names. Where that is not certain, a block names all three or none.
        cycles: whether G81, G82 and G83 take the words that NISTIR 6556 gives them; no other cycle is
            carried out.
        is_sheet: whether it is no program at all but a sheet for a person at the handwheels.
    """

    name: str
    inch_word: int = 20
    millimetre_word: int = 21
    line_numbers: bool = False
    decimal_point: bool = False
    line_length: int = 256
    program_number: bool = False
    register_of_cutter: bool = False
    end_word: bool = False
    arc_radius_mm: float = 0.002
    arc_radius_inch: float = 0.0002
    unknown: frozenset[str] = frozenset()
    quadrant_arcs: bool = False
    words: WordFormat | None = None
    wants_words: bool = False
    reference_all_axes: bool = False
    cycles: bool = True
    is_sheet: bool = False

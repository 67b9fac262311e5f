"""The lines of a sheet for a mill worked by hand, as strict as words of a program: what is not known is refused.

A line behind a bar is for the person alone (``sheet_bars``). All others have one of these forms, lengths in the sheet's
units, readings as lengths or as turns and divisions of a dial::

    UNITS mm                                X READOUT     X DIAL 2.5 A TURN, 100 DIVISIONS
    CUTTER 1 DIAMETER 12.000                OUTSIDE 105.000 FROM THE CENTRE
    RAISED Z 25.000                         DEPTH Z -9.000 FOR SECTION 2
    SWIVEL 30 DEGREES, ANTICLOCKWISE FROM ABOVE
    FLAT 3 OF SECTION 2 FACES +Y            TOUCH +Y EDGE, 71.250 FROM THE CENTRE: Y 0
    CLEAR X 1.105, THEN Y 1.155             START SPINDLE 4000, FEED 480.000 A MINUTE
    CUT X 1.105 TO X -137.516: table right, X falls
    BACK Y 1.155, THEN X 1.105
    PASS 7 rough Y -12.420                  CHECK AT Y -12.420: 0.300 OUTSIDE THE LINE
    STOP SPINDLE                            END

Behind some of them, or on the next line, stand boxes to tick: each form has its own (``_BOXES``), in their order,
ticked or not.
"""

from __future__ import annotations

import math
import re
from typing import NamedTuple

from polypocket.units import MM_PER_INCH

__all__ = ["HEAD", "Dial", "Line", "Scales", "boxes_fault", "lines_of"]

#: The first line of every sheet.
HEAD = "SHEET FOR A MILL WORKED BY HAND"

_LENGTH = r"(-?\d{1,6}(?:\.\d{1,6})?)"
_READING = r"([XYZ]) (-?\d{1,6}(?:\.\d{1,6})?(?: t \d{1,4}(?:\.\d)?)?)"
_WHOLE = r"([1-9]\d{0,6})"
_SIDE = r"([+-][XY])"

_FORMS = {
    kind: re.compile(form)
    for kind, form in {
        "units": r"UNITS (mm|inch)",
        "readout": r"([XYZ]) READOUT",
        "dial": rf"([XYZ]) DIAL {_LENGTH} A TURN, {_WHOLE} DIVISIONS",
        "cutter": rf"CUTTER {_WHOLE} DIAMETER {_LENGTH}",
        "outside": rf"OUTSIDE {_LENGTH} FROM THE CENTRE",
        "raised": rf"RAISED {_READING}",
        "depth": rf"DEPTH {_READING} FOR SECTION {_WHOLE}",
        "swivel": rf"SWIVEL {_LENGTH} DEGREES, ((?:ANTI)?CLOCKWISE FROM ABOVE|JAWS SQUARE TO THE TABLE)",
        "flat": rf"FLAT {_WHOLE} OF SECTION {_WHOLE} FACES {_SIDE}",
        "touch": rf"TOUCH {_SIDE} (EDGE|CORNER), {_LENGTH} FROM THE CENTRE: ([XY]) 0",
        "clear": rf"CLEAR {_READING}, THEN {_READING}",
        "start": rf"START SPINDLE {_WHOLE}, FEED {_LENGTH} A MINUTE",
        "cut": rf"CUT {_READING} TO {_READING}: (table [a-z ]+), ([XY]) (rises|falls)",
        "back": rf"BACK {_READING}, THEN {_READING}",
        "pass": rf"PASS {_WHOLE} +(rough|finish) +{_READING}",
        "check": rf"CHECK AT {_READING}: {_LENGTH} OUTSIDE THE LINE",
        "stop": r"STOP SPINDLE",
        "end": r"END(?:: raise the cutter above everything, then unclamp)?",
    }.items()
}
#: Lines that are none, more than the reader complains of. No source.
_MOST_UNKNOWN = 1000
#: A box and what is ticked there.
_BOX = re.compile(r"\[[ xX]\]([^\[]*)")
#: What a person ticks at each form of line: without it nobody is told to stop, to lock or to clear.
_SETTING = ("spindle stopped", "cutter outside", "unlock", "set", "lock")
_BOXES: dict[str, tuple[str, ...]] = {
    "cutter": ("in the spindle, tight",),
    "raised": ("above everything",),
    "depth": _SETTING,
    "swivel": _SETTING,
    "touch": ("spindle stopped", "zero"),
    "clear": ("clear of the work",),
    "start": ("",),
    "pass": ("set", "lock", "cut", "back"),
    "check": ("spindle stopped", "as told", "hands away, spindle started"),
    "stop": ("chips off with a brush",),
}


class Dial(NamedTuple):
    """A handwheel's dial.

    Attributes:
        turn: what one turn goes, mm.
        divisions: of the dial.
    """

    turn: float
    divisions: int


#: How each axis is read, as far as it is told: by a dial, or ``None`` for a readout.
Scales = dict[str, Dial | None]


class Line(NamedTuple):
    """A line that says something.

    Attributes:
        number: from 1.
        kind: which of the forms.
        texts: what stands in its places.
        boxes: what there is to tick.
    """

    number: int
    kind: str
    texts: tuple[str, ...]
    boxes: tuple[str, ...] = ()

    def length(self, place: int, units: str) -> float:
        """Return a length of the line, mm."""
        return float(self.texts[place]) * (MM_PER_INCH if units == "inch" else 1.0)

    def reading(self, place: int, units: str, scales: Scales) -> float | None:
        """Return where an axis stands, mm from its zero; ``None`` where it is told otherwise than the axis is read.

        Its name is at ``place``, what it reads behind it.
        """
        name, text = self.texts[place : place + 2]
        dial = scales.get(name)
        if name not in scales or (" t " in text) != (dial is not None):
            return None
        if dial is None:
            return self.length(place + 1, units)
        turns, divisions = text.split(" t ")
        if "." in turns or float(divisions) >= dial.divisions:
            return None
        amount = (abs(int(turns)) + float(divisions) / dial.divisions) * dial.turn
        return math.copysign(amount, -1.0 if turns.startswith("-") else 1.0)


def lines_of(text: str) -> tuple[list[Line], list[tuple[int, str]]]:
    """Return the lines that say something, and the number and text of those that are none."""
    found: list[Line] = []
    unknown: list[tuple[int, str]] = []
    for number, written in enumerate(text.split("\n"), start=1):
        line = written.strip(" \f\r")
        if not line or line.startswith("|") or (number == 1 and line == HEAD):
            continue
        said, boxes = _BOX.sub("", line).strip(), tuple(" ".join(box.split()) for box in _BOX.findall(line))
        if not said and found:  # boxes of the line before
            found[-1] = found[-1]._replace(boxes=(*found[-1].boxes, *boxes))
            continue
        kind, match = next(
            ((kind, match) for kind, form in _FORMS.items() if (match := form.fullmatch(said))), (None, None)
        )
        if kind is None or match is None:
            unknown.append((number, line))
            if len(unknown) > _MOST_UNKNOWN:  # hardly a sheet
                break
        else:
            found.append(Line(number, kind, match.groups(), boxes))
    return found, unknown


def boxes_fault(line: Line) -> str | None:
    """Return what is wrong with the boxes of a line."""
    wanted = _BOXES.get(line.kind, ())
    if line.boxes == wanted:
        return None
    told = " ".join(f"[ ] {box}".strip() for box in wanted) or "none"
    return f"the boxes to tick at {line.kind.upper()} are {told}, in this order and no others"

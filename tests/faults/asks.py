"""What comments ask of a person, in the forms that our posts write, each as one thing to be done at the next stop.

It shares no code with the reader. Lengths mm, angles radians, speeds in turns a minute.
"""

from __future__ import annotations

import math
import re
from typing import NamedTuple

from tests.faults.motions import Alarm, Beyond, Dial

__all__ = ["Ask", "ask_of", "disputed", "is_ask"]

_NUMBER = r"([+-]?(?:\d+\.?\d*|\.\d+))"
_IS_ASK = re.compile(r"(?:CUTTER|SET|FLAT|START SPINDLE|STOP SPINDLE|TOUCH OFF|[XYZ] \d+ TURNS?)(?!\w)")
_SET = re.compile(rf"SET (?:([XY]) {_NUMBER}(?: FROM {_NUMBER})?|(Z) {_NUMBER})")
_SWIVEL = re.compile(rf"SET SWIVEL {_NUMBER}")
_START = re.compile(rf"START SPINDLE {_NUMBER} (ANTI)?CLOCKWISE")
_DIAL = re.compile(r"([XYZ]) (\d{1,4}) TURNS (\d{1,5}(?:\.\d{1,3})?) DIVISIONS (PLUS|MINUS)")


class Ask(NamedTuple):
    """One thing that a person does at the next stop.

    ``what`` is 0, 1 or 2 for an axis that goes to each of ``values`` in turn, ``swivel``, ``spindle`` (a speed, less
    than 0 anticlockwise, 0 to stop it) or ``lose`` (whatever it is, the axes are elsewhere after it).
    """

    line: int
    what: int | str
    values: tuple[float, ...] = ()


def is_ask(said: str) -> bool:
    """Whether a comment, in capitals and single blanks, begins like something asked of a person."""
    return _IS_ASK.match(said) is not None


def ask_of(said: str, line: int, scale: float | None, before: Ask | None) -> Ask | Dial:
    """Understand a comment that asks for something else than a cutter; ``before`` is what was asked right before it.

    Raises:
        Alarm: nobody can tell what is meant.
        Beyond: what a person does is not worked out here.
    """
    if said.startswith("FLAT"):
        raise Beyond(said)
    if said == "STOP SPINDLE":
        return Ask(line, "spindle", (0.0,))
    if (found := _START.fullmatch(said)) is not None and float(found[1]) > 0.0:
        return Ask(line, "spindle", (-float(found[1]) if found[2] else float(found[1]),))
    if (found := _SWIVEL.fullmatch(said)) is not None:
        return Ask(line, "swivel", (math.radians(float(found[1])),))
    if (found := _DIAL.fullmatch(said)) is not None:
        axis = "XYZ".index(found[1])
        asked = before.values[-1] if before is not None and before.what == axis else None
        divisions = float(found[3])
        return Dial(line, axis, int(found[2]), divisions if found[4] == "PLUS" else -divisions, asked)
    if (found := _SET.fullmatch(said)) is None:
        raise Alarm("word", line, said)
    if scale is None:
        raise Alarm("units", line, "a place before the units")
    places = (found[3], found[2] or found[5])
    return Ask(
        line,
        "XYZ".index(found[1] or found[4]),
        tuple(float(place) * scale for place in places if place is not None),
    )


def disputed(asks: list[Ask]) -> list[int]:
    """Return the lines that want something else than another at the same stop; a spindle is stopped, then started."""
    last: dict[int | str, Ask] = {}
    lines: list[int] = []
    for ask in asks:
        before = last.get(ask.what)
        last[ask.what] = ask
        if before is None or ask.what == "lose" or before.values[-1] == ask.values[-1]:
            continue
        if ask.what != "spindle" or before.values[-1] != 0.0:
            lines.append(ask.line)
    return lines

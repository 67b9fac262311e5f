"""What comments ask of a person, and the number of the pass that they announce.

The forms, upper or lower case, with any number of blanks between the words::

    (SET Z -10.500)   (SET SWIVEL 30)   (CUTTER 2 DIAMETER 6.000)   (FLAT 3 TO FIXED JAW)
    (SET Y 42.310)    (SET Y 42.310 FROM 50.000)   likewise for X: first to 50, then to 42.31, coming from there
    (Y 8 TURNS 115.5 DIVISIONS PLUS)   the same on a dial that was set to zero at the work zero; likewise X and Z
    (TOUCH OFF Z0 WITH CUTTER 2)
    (START SPINDLE 4000 CLOCKWISE)   (START SPINDLE 4000 ANTICLOCKWISE)   (STOP SPINDLE)   (PASS 12 …)

Lengths are in the program's units, angles in degrees, speeds in revolutions a minute. A comment that begins
like one of them but is none is refused: a person may do what it says, and nobody would know what became of
the part.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from typing import NamedTuple

from polypocket.reader.columns import Draft
from polypocket.reader.compensation import by_hand_fault
from polypocket.reader.state import State
from polypocket.reader.track import Asked, Event, Kind
from polypocket.reader.words import Remark, read_number

__all__ = ["asks_a_person", "hear", "pass_announced"]

_FLAGS = re.IGNORECASE | re.ASCII
_NUMBER = r"([-+]?(?:\d+\.?\d*|\.\d+))"
_COUNT = r"([1-9]\d{0,4})"
#: What sets X, Y and Z.
_AXES = ("x", "y", "height")

_PASS = re.compile(r"PASS (\d{1,9})(?!\.?\d)", _FLAGS)
_BEGINS = re.compile(
    r"(?:[XYZ] \d+ TURNS?|SET|CUTTER|FLAT|START SPINDLE|STOP SPINDLE|TOUCH OFF)(?!\w)", _FLAGS
)
_HEIGHT = re.compile(rf"SET Z {_NUMBER}", _FLAGS)
_ACROSS = re.compile(rf"SET ([XY]) {_NUMBER}(?: FROM {_NUMBER})?", _FLAGS)
_DIAL = re.compile(r"([XYZ]) (\d{1,4}) TURNS (\d{1,5}(?:\.\d{1,3})?) DIVISIONS (PLUS|MINUS)", _FLAGS)
_SWIVEL = re.compile(rf"SET SWIVEL {_NUMBER}", _FLAGS)
_CUTTER = re.compile(rf"CUTTER {_COUNT} DIAMETER {_NUMBER}", _FLAGS)
_FLAT = re.compile(rf"FLAT {_COUNT} TO FIXED JAW", _FLAGS)
_SPINDLE = re.compile(rf"START SPINDLE {_NUMBER} (ANTI)?CLOCKWISE", _FLAGS)
_TOUCH = re.compile(rf"TOUCH OFF Z0 WITH CUTTER {_COUNT}", _FLAGS)
_STILL = re.compile("STOP SPINDLE", _FLAGS)


class _Request(NamedTuple):
    """What is asked; a NaN ``value`` is one that could not be understood, and then ``fault`` says why.

    ``first`` is where an axis is brought before it, so that it comes to ``value`` from there; NaN where it is not told.
    """

    kind: str
    number: int
    value: float
    fault: tuple[str, str] | None = None
    first: float = math.nan


def hear(remark: Remark, line: int, optional: bool, state: State, draft: Draft) -> None:
    """Keep a comment, and carry out what it asks of a person or take the number of the pass it announces."""
    draft.comment(line, remark.column, remark.text)
    if (announced := pass_announced(remark.text)) is not None:
        state.pass_number = announced
        return
    if not asks_a_person(remark.text):
        return
    text = _plainly(remark.text)
    request = _understand(text, state)
    if request is None:
        said = "begins like something asked of a person, but is none of: " + ", ".join(_EXAMPLES)
        draft.complain(line, remark.column, "unread", f"the comment '{text[:40]}' {said}")
        return
    if request.fault:
        draft.complain(line, remark.column, *request.fault)
    if fault := by_hand_fault(request.kind, state):
        draft.complain(line, remark.column, "compensation", fault)
    if not math.isnan(request.first):
        _obey(request._replace(value=request.first), state)
        draft.add(state, line, optional, Kind.EVENT, Event.ASK)
    event = _obey(request, state)
    row = draft.add(state, line, optional, Kind.EVENT, event)
    draft.ask(Asked(line, row, request.kind, request.number, request.value, remark.text))


def pass_announced(comment: str) -> int | None:
    """Return the number of the pass that a comment announces, ``None`` if it is no such comment."""
    announced = _PASS.match(_plainly(comment))
    return int(announced[1]) if announced else None


def asks_a_person(comment: str) -> bool:
    """Whether a comment that announces no pass begins like something asked of a person."""
    return _BEGINS.match(_plainly(comment)) is not None


def _plainly(comment: str) -> str:
    """Write a comment with single blanks."""
    return " ".join(comment.split())


_EXAMPLES = (
    "SET Z -10.5",
    "SET Y 42.31",
    "SET Y 42.31 FROM 50",
    "Y 8 TURNS 15 DIVISIONS PLUS",
    "SET SWIVEL 30",
    "CUTTER 2 DIAMETER 6.0",
    "FLAT 3 TO FIXED JAW",
    "START SPINDLE 4000 CLOCKWISE",
    "STOP SPINDLE",
)


def _height(match: re.Match[str], state: State) -> _Request | None:
    return _length("height", 0, match[1], state)


def _across(match: re.Match[str], state: State) -> _Request | None:
    axis = match[1].lower()
    request = _length(axis, 0, match[2], state)
    first = read_number(match[3]) if match[3] else math.nan
    if request is None or first is None:
        return None
    return request._replace(first=first * state.scale)


def _dial(match: re.Match[str], state: State) -> _Request | None:
    divisions = read_number(match[3])
    if divisions is None:
        return None
    value = -divisions if match[4].upper() == "MINUS" else divisions
    return _Request(f"dial {match[1].lower()}", int(match[2]), value)


def _swivel(match: re.Match[str], state: State) -> _Request | None:
    degrees = read_number(match[1])
    return None if degrees is None else _Request("swivel", 0, math.radians(degrees))


def _cutter(match: re.Match[str], state: State) -> _Request | None:
    request = _length("cutter", int(match[1]), match[2], state)
    return None if request is None or request.value <= 0.0 else request


def _flat(match: re.Match[str], state: State) -> _Request | None:
    return _Request("flat", int(match[1]), math.nan)


def _spindle(match: re.Match[str], state: State) -> _Request | None:
    rpm = read_number(match[1])
    return None if rpm is None or rpm <= 0.0 else _Request("spindle", 0, -rpm if match[2] else rpm)


def _touch(match: re.Match[str], state: State) -> _Request | None:
    return _Request("touch", int(match[1]), math.nan)


def _still(match: re.Match[str], state: State) -> _Request | None:
    return _Request("spindle", 0, 0.0)


_FORMS: tuple[tuple[re.Pattern[str], Callable[[re.Match[str], State], _Request | None]], ...] = (
    (_HEIGHT, _height),
    (_ACROSS, _across),
    (_DIAL, _dial),
    (_SWIVEL, _swivel),
    (_CUTTER, _cutter),
    (_FLAT, _flat),
    (_SPINDLE, _spindle),
    (_STILL, _still),
    (_TOUCH, _touch),
)


def _understand(text: str, state: State) -> _Request | None:
    for pattern, make in _FORMS:
        if match := pattern.fullmatch(text):
            return make(match, state)
    return None


def _length(kind: str, number: int, text: str, state: State) -> _Request | None:
    """Make a request with a length in the program's units, NaN while these are not known."""
    value = read_number(text)
    if value is None:
        return None
    if state.units is None:
        fault = ("units", f"a {kind} is asked for before the units are set")
        return _Request(kind, number, math.nan, fault)
    return _Request(kind, number, value * state.scale)


def _obey(request: _Request, state: State) -> Event:
    """Change the state as the person does; flats and the swivel are kept beside the rows only."""
    match request.kind:
        case "x" | "y" | "height" as axis:
            state.place(_AXES.index(axis), request.value)
        case "spindle":
            state.direction = (request.value > 0.0) - (request.value < 0.0)
            if state.direction:
                state.speed = abs(request.value)
        case "cutter":
            if not (state.by_changer and state.tool == request.number):
                state.by_changer = False
                _lose(state)
            state.tool = request.number
            return Event.CUTTER
        case "touch":
            _lose(state)
    return Event.ASK


def _lose(state: State) -> None:
    """Forget where the axes stand: whoever changes a cutter or touches off moves them."""
    for axis in range(3):
        state.lose(axis)

"""The motion of a block: straight lines and arcs in the plane XY.

Source: NISTIR 6556 3.5.1 to 3.5.3 and 3.5.12 (in part from memory).
"""

from __future__ import annotations

import math

from polypocket.reader.arcs import NOISE, Arc, arc_by_centre, arc_by_radius
from polypocket.reader.block import Block
from polypocket.reader.columns import Draft
from polypocket.reader.compensation import across_fault
from polypocket.reader.dialect import Dialect
from polypocket.reader.groups import CYCLES, Group, g_text
from polypocket.reader.state import AXES, State
from polypocket.reader.track import Frame, Kind
from polypocket.units import MM_PER_INCH

__all__ = ["move"]

_RAPID, _FEED, _CLOCKWISE, _ANTICLOCKWISE = 0, 10, 20, 30
_KINDS = {
    _RAPID: Kind.RAPID,
    _FEED: Kind.FEED,
    _CLOCKWISE: Kind.ARC_CLOCKWISE,
    _ANTICLOCKWISE: Kind.ARC_ANTICLOCKWISE,
}
_DWELL, _MACHINE = 40, 530

#: No move worth the name, mm. No source: a hundredth of the finest decimal that is written.
_NO_MOVE = 1e-5


def move(block: Block, state: State, draft: Draft, dialect: Dialect) -> None:
    """Make the block's motion, if it has one.

    What is refused leaves no row; the axes that it names then stand where its words say, if they can be
    read, so that the lines after it are not blamed for it.
    """
    if (code := block.codes.get(Group.MOTION)) is not None:
        state.motion = code.number
    special = block.codes.get(Group.NOT_MODAL)
    if special is not None and special.number not in (_DWELL, _MACHINE):
        for axis in range(3):  # it may have moved any axis, or the zero that it is measured from
            state.lose(axis)
        return
    frame = Frame.MACHINE if special is not None and special.number == _MACHINE else Frame.WORK
    named = [axis for axis in AXES if axis in block.values]
    if block.refused:
        _follow(block, state, frame)
    elif not named:
        _refuse_idle(block, state, draft)
    elif (refusal := _refusal(state, frame)) is not None:
        column = (
            special.column
            if special is not None and frame == Frame.MACHINE
            else block.values[named[0]].column
        )
        draft.complain(block.line, column, *refusal)
        _follow(block, state, frame)
    elif (state.compensation_side or state.leaving) and (
        fault := across_fault(block, state, frame, stays=_stays(block, state, frame))
    ) is not None:
        draft.complain(block.line, fault[0], "compensation", fault[1])
        _follow(block, state, frame)
    else:
        _tell_once(block, state, draft, block.values[named[0]].column)
        if state.motion in (_CLOCKWISE, _ANTICLOCKWISE):
            _arc(block, state, draft, dialect)
        else:
            _line(block, state, draft, frame)


def _refuse_idle(block: Block, state: State, draft: Draft) -> None:
    """Complain where a word asks for motion but no axis is named."""
    code, special = block.codes.get(Group.MOTION), block.codes.get(Group.NOT_MODAL)
    if code is not None and code.number in _KINDS:
        draft.complain(block.line, code.column, "unread", f"{g_text(code.number)} without X, Y or Z")
    elif special is not None and special.number == _MACHINE:
        draft.complain(block.line, special.column, "unread", "G53 without X, Y or Z")
    elif centre := [word for letter, word in block.values.items() if letter in "IJKR"]:
        draft.complain(block.line, centre[0].column, "unread", f"{centre[0].letter} without X or Y")


def _refusal(state: State, frame: Frame) -> tuple[str, str] | None:
    """Say why the motion mode in force cannot move the axes: code and text."""
    motion = state.motion
    if frame == Frame.MACHINE:
        if motion not in (_RAPID, _FEED):
            return "unread", "G53 wants G0 or G1"
        if state.compensation_side:
            return "compensation", "G53 while radius compensation is on"
        if state.distance == 910:
            # The standard takes the words as absolute; other controls ignore G53 or add them to the position.
            return "unread", "G53 while G91 is in force; set G90"
    if motion is None:
        return "unread", "axis words, but none of G0 to G3 is in force"
    if motion in CYCLES:
        return "unread", f"the cycle {g_text(motion)} is in force and is not carried out"
    if motion not in _KINDS:
        return "unread", f"axis words while {g_text(motion)} is in force"
    return None


def _tell_once(block: Block, state: State, draft: Draft, column: int) -> None:
    """Complain, once each, of settings that the motion needs and nobody made."""
    told, line = state.told, block.line
    if state.units is None and "units" not in told:
        told.add("units")
        draft.complain(line, column, "units", "motion before the units are set")
    if state.distance is None and "distance" not in told:
        told.add("distance")
        draft.complain(line, column, "unread", "motion before G90 or G91: absolute or incremental is not set")
    if state.motion != _RAPID and not state.feed > 0.0 and "no-feed" not in told:
        told.add("no-feed")
        draft.complain(
            line, column, "no-feed", f"{g_text(state.motion or 0)} without a feed; give F before it"
        )
    if state.motion in (_CLOCKWISE, _ANTICLOCKWISE) and state.plane is None and "plane" not in told:
        told.add("plane")
        draft.complain(line, column, "unread", "an arc before G17: the plane is not set")


def _target(block: Block, state: State, axis: int, frame: Frame) -> float:
    """Say where the block sends an axis, mm; NaN where that is not known."""
    letter = AXES[axis]
    if letter in block.unread or (word := block.values.get(letter)) is None:
        return math.nan
    length = word.value * state.scale
    return state.work[axis] + length if state.distance == 910 and frame == Frame.WORK else length


def _stays(block: Block, state: State, frame: Frame) -> bool:
    """Whether the block sends X and Y where they are, but for less than any mill can move."""
    here = state.work if frame == Frame.WORK else state.machine
    return all(
        abs(_target(block, state, axis, frame) - here[axis]) <= _NO_MOVE
        for axis in (0, 1)
        if AXES[axis] in block.values
    )


def _follow(block: Block, state: State, frame: Frame) -> None:
    """Let the position follow a block that was refused."""
    named = [axis for axis, letter in enumerate(AXES) if letter in block.values or letter in block.unread]
    for axis in named:
        state.place(axis, _target(block, state, axis, frame), frame)
    if named and state.motion in CYCLES:
        state.lose(2)  # to which height a cycle returns is not worked out here


def _known_targets(block: Block, state: State, draft: Draft, frame: Frame) -> dict[int, float] | None:
    """Give the target of every axis that the block names; complain and give ``None`` if one is not known."""
    targets: dict[int, float] = {}
    for axis, letter in enumerate(AXES):
        if (word := block.values.get(letter)) is None:
            continue
        targets[axis] = _target(block, state, axis, frame)
        if math.isnan(targets[axis]):
            text = f"an incremental move in {letter} from a position that is not known"
            draft.complain(block.line, word.column, "unread", text)
            return None
    return targets


def _line(block: Block, state: State, draft: Draft, frame: Frame) -> None:
    targets = _known_targets(block, state, draft, frame)
    if targets is None:
        _follow(block, state, frame)
        return
    for axis, target in targets.items():
        state.place(axis, target, frame)
    draft.add(state, block.line, block.optional, _KINDS[state.motion or 0], frame=frame)


def _arc(block: Block, state: State, draft: Draft, dialect: Dialect) -> None:
    column, text = _arc_words_fault(block, state)
    if text:
        draft.complain(block.line, column, "unread", text)
        _follow(block, state, Frame.WORK)
        return
    start = (state.work[0], state.work[1])
    targets = {
        a: _target(block, state, a, Frame.WORK) for a, letter in enumerate(AXES) if letter in block.values
    }
    end = (targets.get(0, start[0]), targets.get(1, start[1]))
    if math.dist(start, end) <= NOISE:
        end = start
    arc, column = _centre(block, state, start, end, dialect)
    if arc.fault:
        draft.complain(block.line, column, "arc-radius", arc.fault)
    state.place(0, end[0])
    state.place(1, end[1])
    if 2 in targets:
        state.place(2, targets[2])
    if arc.centre is not None:
        draft.add(state, block.line, block.optional, _KINDS[state.motion or 0], centre=arc.centre)


def _arc_words_fault(block: Block, state: State) -> tuple[int, str]:
    """Say what hinders an arc before its geometry is looked at: column and text, or no text."""
    values = block.values
    column = block.codes[Group.MOTION].column if Group.MOTION in block.codes else block.column
    if state.plane not in (None, 170):
        return column, f"arcs in the plane {g_text(state.plane or 0)} are not carried out"
    if "K" in values:
        return values["K"].column, "K has no use in an arc of the plane XY"
    if "X" not in values and "Y" not in values:
        return column, "an arc without X or Y; a full circle names its end too"
    if "R" in values and ("I" in values or "J" in values):
        return values["R"].column, "an arc with both R and a centre"
    if not ("R" in values or "I" in values or "J" in values):
        return column, "an arc without a centre: neither I, J nor R"
    for axis, letter in enumerate(AXES):
        if math.isnan(state.work[axis]) and (axis < 2 or letter in values):
            return column, f"an arc from a position in {letter} that is not known"
    return 0, ""


def _centre(
    block: Block, state: State, start: tuple[float, float], end: tuple[float, float], dialect: Dialect
) -> tuple[Arc, int]:
    """Find the arc's centre, and the column to blame if that fails."""
    values, scale = block.values, state.scale
    tolerance = dialect.arc_radius_inch * MM_PER_INCH if state.units == "inch" else dialect.arc_radius_mm
    if (radius := values.get("R")) is not None:
        clockwise = state.motion == _CLOCKWISE
        return arc_by_radius(start, end, radius.value * scale, clockwise, tolerance), radius.column
    offset = [values[letter].value * scale if letter in values else 0.0 for letter in "IJ"]
    column = min(values[letter].column for letter in "IJ" if letter in values)
    return arc_by_centre(start, end, (offset[0], offset[1]), tolerance), column

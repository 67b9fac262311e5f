"""The motion of a block: which of the ways to move it asks for, and the straight lines.

Source: NISTIR 6556 3.5.1, 3.5.2 and 3.5.12 (in part from memory).
"""

from __future__ import annotations

from polypocket.reader.arc_motion import arc
from polypocket.reader.block import Block, Code
from polypocket.reader.columns import Draft
from polypocket.reader.compensation import across_fault
from polypocket.reader.cycles import cycle
from polypocket.reader.dialect import Dialect
from polypocket.reader.groups import CARRIED_OUT_CYCLES, CYCLES, Group, g_text
from polypocket.reader.reference import go_to_reference
from polypocket.reader.shifts import shift_zeros
from polypocket.reader.state import AXES, State
from polypocket.reader.targets import INCREMENTAL, follow, known_targets, target, tell_once
from polypocket.reader.track import Frame, Kind

__all__ = ["move"]

_RAPID, _FEED, _CLOCKWISE, _ANTICLOCKWISE, _CANCEL = 0, 10, 20, 30, 800
_LINES = {_RAPID: Kind.RAPID, _FEED: Kind.FEED}
_ARCS = {_CLOCKWISE: Kind.ARC_CLOCKWISE, _ANTICLOCKWISE: Kind.ARC_ANTICLOCKWISE}
_MOTIONS = frozenset((*_LINES, *_ARCS, *CARRIED_OUT_CYCLES))
_REFUSED_CYCLES = CYCLES - CARRIED_OUT_CYCLES
_DWELL, _OFFSETS, _MACHINE = 40, 100, 530
_REFERENCES = (280, 300)

#: No move worth the name, mm. No source: a hundredth of the finest decimal that is written.
_NO_MOVE = 1e-5


def move(block: Block, state: State, draft: Draft, dialect: Dialect) -> None:
    """Make the block's motion, if it has one.

    What is refused leaves no row; the axes that it names then stand where its words say, if they can be
    read, so that the lines after it are not blamed for it.
    """
    if (code := block.codes.get(Group.MOTION)) is not None:
        state.motion = code.number
        if code.number not in CYCLES:
            state.cycle = None
    special = block.codes.get(Group.NOT_MODAL)
    if special is not None and special.number not in (_DWELL, _MACHINE):
        _take_axis_words(block, special, state, draft, dialect)
        return
    frame = Frame.MACHINE if special is not None and special.number == _MACHINE else Frame.WORK
    named = [axis for axis in AXES if axis in block.values]
    if block.refused:
        follow(block, state, frame)
    elif not named:
        _refuse_idle(block, state, draft)
    elif (refusal := _refusal(state, frame)) is not None:
        column = (
            special.column
            if special is not None and frame == Frame.MACHINE
            else block.values[named[0]].column
        )
        draft.complain(block.line, column, *refusal)
        follow(block, state, frame)
    elif (state.compensation_side or state.leaving) and (
        fault := across_fault(block, state, frame, stays=_stays(block, state, frame))
    ) is not None:
        draft.complain(block.line, fault[0], "compensation", fault[1])
        follow(block, state, frame)
    else:
        _carry_out(block, state, draft, dialect, frame, block.values[named[0]].column)


def _take_axis_words(block: Block, special: Code, state: State, draft: Draft, dialect: Dialect) -> None:
    """Do what G28, G30 and G92 with its kin ask for; they, not the motion mode, take the axis words."""
    motion = block.codes.get(Group.MOTION)
    if motion is not None and motion.number != _CANCEL and not block.refused:
        text = (
            f"{g_text(special.number)} and {g_text(motion.number)} on one line: both may take its axis words"
        )
        draft.complain(block.line, special.column, "unread", text)
        block.refused = True
    if block.refused or special.number == _OFFSETS:
        for axis in range(3):  # it may have moved any axis, or the zero that it is measured from
            state.lose(axis)
    elif special.number in _REFERENCES:
        go_to_reference(block, special, state, draft, dialect)
    else:
        shift_zeros(block, special, state, draft)


def _carry_out(block: Block, state: State, draft: Draft, dialect: Dialect, frame: Frame, column: int) -> None:
    """Carry out axis words by the motion mode in force; ``column`` is the first one's."""
    motion = state.motion
    if motion in _LINES:
        tell_once(block, state, draft, column, feed=motion == _FEED)
        _line(block, state, draft, frame)
    elif motion in _ARCS:
        tell_once(block, state, draft, column, feed=True, plane="an arc")
        arc(block, state, draft, dialect, _ARCS[motion])
    else:
        tell_once(block, state, draft, column, feed=True, plane="a cycle")
        cycle(block, state, draft, column)


def _refuse_idle(block: Block, state: State, draft: Draft) -> None:
    """Complain where a word asks for motion but no axis is named."""
    code, special = block.codes.get(Group.MOTION), block.codes.get(Group.NOT_MODAL)
    taken = "P" if special is not None and special.number == _DWELL else ""
    if code is not None and code.number in _MOTIONS:
        draft.complain(block.line, code.column, "unread", f"{g_text(code.number)} without X, Y or Z")
    elif special is not None and special.number == _MACHINE:
        draft.complain(block.line, special.column, "unread", "G53 without X, Y or Z")
    elif idle := [word for letter, word in block.values.items() if letter in "IJKLPQR" and letter != taken]:
        draft.complain(block.line, idle[0].column, "unread", f"{idle[0].letter} without X, Y or Z")


def _refusal(state: State, frame: Frame) -> tuple[str, str] | None:
    """Say why the motion mode in force cannot move the axes: code and text."""
    motion = state.motion
    if frame == Frame.MACHINE:
        if motion not in _LINES:
            return "unread", "G53 wants G0 or G1"
        if state.compensation_side:
            return "compensation", "G53 while radius compensation is on"
        if state.distance == INCREMENTAL:
            # The standard takes the words as absolute; other controls ignore G53 or add them to the position.
            return "unread", "G53 while G91 is in force; set G90"
    if motion is None:
        return "unread", "axis words, but none of G0 to G3 is in force"
    if motion in _REFUSED_CYCLES:
        return "unread", f"the cycle {g_text(motion)} is in force and is not carried out"
    if motion not in _MOTIONS:
        return "unread", f"axis words while {g_text(motion)} is in force"
    return None


def _stays(block: Block, state: State, frame: Frame) -> bool:
    """Whether the block sends X and Y where they are, but for less than any mill can move."""
    here = state.work if frame == Frame.WORK else state.machine
    return all(
        abs(target(block, state, axis, frame) - here[axis]) <= _NO_MOVE
        for axis in (0, 1)
        if AXES[axis] in block.values
    )


def _line(block: Block, state: State, draft: Draft, frame: Frame) -> None:
    targets = known_targets(block, state, draft, frame)
    if targets is None:
        follow(block, state, frame)
        return
    for axis, value in targets.items():
        state.place(axis, value, frame)
    draft.add(state, block.line, block.optional, _LINES[state.motion or 0], frame=frame)

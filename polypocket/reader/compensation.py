"""Cutter radius compensation as a program words it: G40, G41 and G42, and what may not stand beside them.

The track keeps the programmed coordinates; where the cutter's centre goes is worked out by the dry run.

Source: NISTIR 6556 3.5.10 and appendix B (from memory). Stricter than the standard where other controls do
something else: no rapid along the contour; the move after G40, which the standard measures from the cutter's
centre, names X and Y and is absolute; the first and the last move are lines; register 0 is none; and no
program ends with compensation on.
"""

from __future__ import annotations

from polypocket.reader.block import Block, Code
from polypocket.reader.columns import Draft
from polypocket.reader.dialect import Dialect
from polypocket.reader.groups import CYCLES, Group, g_text
from polypocket.reader.state import State
from polypocket.reader.track import Frame

__all__ = ["across_fault", "by_hand_fault", "has_moved", "refuse_beside_compensation", "turn_compensation"]

#: The largest number of a register. No source: controls hold a few hundred.
_MOST = 99_999

_OFF, _SIDES = 400, {410: 1, 420: 2}
_RAPID, _ARCS = 0, (20, 30)
_XY_PLANE, _INCREMENTAL = 170, 910
_DWELL, _MACHINE = 40, 530
_ENDS = (2, 30)
_ASKED = {
    "cutter": "another cutter",
    "flat": "another flat",
    "swivel": "another angle of the vise",
    "x": "another X by hand",
    "y": "another Y by hand",
}


def turn_compensation(block: Block, code: Code, state: State, draft: Draft, dialect: Dialect) -> None:
    """Carry out G40, G41 or G42.

    What is refused is on all the same, so that the lines after it are read as they were meant; its register
    is 0 where none is known.
    """
    if code.number == _OFF:
        state.leaving |= bool(state.compensation_side) and not state.entering
        state.compensation_side, state.radius_register, state.entering = 0, 0, False
        return
    if state.compensation_side:
        _refuse(block, draft, code.column, f"{g_text(code.number)} while radius compensation is on")
        return
    if state.plane != _XY_PLANE:
        text = f"{g_text(code.number)} in another plane than G17, or before it is set"
        _refuse(block, draft, code.column, text)
    if state.leaving:
        text = "compensation is turned on again before a line with X and Y has followed G40"
        _refuse(block, draft, code.column, text)
    state.compensation_side, state.entering, state.leaving = _SIDES[code.number], True, False
    state.radius_register = _register(block, code, state, draft, dialect)


def refuse_beside_compensation(block: Block, state: State, draft: Draft) -> None:
    """Refuse what changes the sense of a contour while it is followed or has not been left."""
    if not (state.compensation_side or state.leaving):
        return
    when = "while radius compensation is on" if state.compensation_side else "before the line that ends it"
    for group, code in block.codes.items():
        number = code.number
        match group:
            case Group.PLANE:
                what = "another plane" if number != _XY_PLANE else ""
            case Group.UNITS:
                what = "a word for the units"
            case Group.OFFSET:
                what = "a work offset"
            case Group.NOT_MODAL:  # G53 is judged where it moves
                what = g_text(number) if number not in (_DWELL, _MACHINE) else ""
            case Group.MOTION:
                what = "a cycle" if number in CYCLES else ""
            case Group.TOOL:
                what = "another cutter"
            case Group.STOP:
                off = not state.compensation_side or Group.COMPENSATION in block.codes
                what = "the program's end" if number in _ENDS and not off else ""
            case _:
                what = ""
        if what:
            _refuse(block, draft, code.column, f"{what} {when}")


def across_fault(block: Block, state: State, frame: Frame, *, stays: bool) -> tuple[int, str] | None:
    """Say why a block may not move X or Y as it does: column and text, or ``None``.

    Args:
        block: the block.
        state: before it.
        frame: of its coordinates.
        stays: whether it sends X and Y where they are on the programmed path.
    """
    named = [block.values[axis] for axis in "XY" if axis in block.values]
    if not named:
        return None
    motion = state.motion
    if stays and (state.entering or state.leaving):
        which = "first move with radius compensation on" if state.entering else "first move after G40"
        return named[0].column, f"the {which} goes nowhere in X and Y"
    if motion in CYCLES:
        return named[0].column, "a cycle while radius compensation is on or before the line that ends it"
    if state.entering and motion in _ARCS:
        return named[0].column, "the first move with radius compensation on is an arc; take a line"
    if state.leaving:
        if frame == Frame.MACHINE:
            return named[0].column, "the first move of X and Y after G40 is in machine coordinates"
        if motion in _ARCS:
            return named[0].column, "the first move after G40 is an arc; take a line"
        if len(named) == 1:
            other = "Y" if named[0].letter == "X" else "X"
            return (
                named[0].column,
                f"the first move after G40 names no {other}, which may stay off the path by a radius",
            )
        if state.distance == _INCREMENTAL:
            return named[0].column, "an incremental move after G40, from the cutter's centre or from the path"
    elif motion == _RAPID and not state.entering:
        return named[0].column, "a rapid across while radius compensation is on: its corners are not certain"
    return None


def has_moved(block: Block, state: State) -> None:
    """Remember that a contour has been entered or left, once a block has moved X or Y."""
    if state.entering or state.leaving:
        if "X" in block.values or "Y" in block.values:
            state.entering = state.leaving = False


def by_hand_fault(kind: str, state: State) -> str:
    """Say why a person may not do what a comment asks while compensation is on, or nothing."""
    if not (state.compensation_side or state.leaving) or kind not in _ASKED:
        return ""
    when = "while radius compensation is on" if state.compensation_side else "before the line that ends it"
    return f"{_ASKED[kind]} {when}"


def _register(block: Block, code: Code, state: State, draft: Draft, dialect: Dialect) -> int:
    """Give the register that D names, or the dialect's choice where there is no D; 0 where it is refused."""
    word = block.values.get("D")
    if word is not None:
        if word.value.is_integer() and 1.0 <= word.value <= _MOST:
            return int(word.value)
        _refuse(block, draft, word.column, f"D{word.text} is no register's number (1 to {_MOST})")
    elif not dialect.register_of_cutter:
        _refuse(block, draft, code.column, f"{g_text(code.number)} without D: which register is not known")
    elif not state.tool:
        text = f"{g_text(code.number)} without D, and the cutter in the spindle is not known"
        _refuse(block, draft, code.column, text)
    else:
        return state.tool
    return 0


def _refuse(block: Block, draft: Draft, column: int, text: str) -> None:
    block.refused = True
    draft.complain(block.line, column, "compensation", text)

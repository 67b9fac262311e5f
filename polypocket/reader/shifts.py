"""G92 and its kin: the zeros of all work offsets are shifted, and nothing moves.

Source: NISTIR 6556 3.5.18 (in part from memory).
"""

from __future__ import annotations

import math

from polypocket.reader.block import Block, Code
from polypocket.reader.columns import Draft
from polypocket.reader.groups import g_text
from polypocket.reader.state import AXES, State
from polypocket.reader.targets import named_axes, tell_once

__all__ = ["shift_zeros"]

_SET, _CLEAR, _SUSPEND, _RESTORE = 920, 921, 922, 923
_NO_SHIFT = (0.0, 0.0, 0.0)


def shift_zeros(block: Block, code: Code, state: State, draft: Draft) -> None:
    """Shift the zeros as G92 asks, take the shift away (G92.1, G92.2) or take it up again (G92.3).

    What is refused leaves the shift as it was, and the positions unknown.
    """
    if fault := _fault(block, code, state):
        draft.complain(block.line, *fault)
        for axis in range(3):
            state.lose(axis)
    elif code.number == _SET:
        tell_once(block, state, draft, code.column, distance=False)  # its words are coordinates in G91 too
        _set(block, state)
    elif code.number == _RESTORE:
        state.use_shift(state.kept_shift)
    else:
        state.use_shift(_NO_SHIFT)
        if code.number == _CLEAR:
            state.kept_shift = _NO_SHIFT


def _set(block: Block, state: State) -> None:
    """Shift the zeros so that the axes stand at the coordinates that the words tell."""
    named = {axis: block.values[AXES[axis]].value * state.scale for axis in named_axes(block)}
    x, y, z = (
        state.work[axis] + before - named[axis] if axis in named else before
        for axis, before in enumerate(state.shift)
    )
    state.use_shift((x, y, z))
    for axis, value in named.items():
        state.work[axis] = value  # but for a rounding it is that already
    state.kept_shift = state.shift


def _fault(block: Block, code: Code, state: State) -> tuple[int, str, str] | None:
    """Say why the zeros cannot be shifted: column, code and text."""
    word, named = g_text(code.number), named_axes(block)
    if state.compensation_side:
        return code.column, "compensation", f"{word} while radius compensation is on"
    if code.number != _SET:
        if named:
            text = f"{word} takes no axis words; move on a line of its own"
            return block.values[AXES[named[0]]].column, "unread", text
        if code.number == _RESTORE and math.isnan(state.kept_shift[0]):
            return code.column, "unread", "G92.3 before any G92: what it takes up is not known"
        return None
    if not named:
        return code.column, "unread", "G92 without X, Y or Z"
    for axis in named:
        if math.isnan(state.work[axis]):
            text = f"G92 where the position in {AXES[axis]} is not known; move to a coordinate first"
            return block.values[AXES[axis]].column, "unread", text
    return None

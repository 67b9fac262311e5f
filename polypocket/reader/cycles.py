"""The drilling cycles G81, G82 and G83, carried out as the moves that they stand for.

Source: NISTIR 6556 3.5.16 (in part from memory). "Height" is the coordinate along the axis that stands
upright on the plane in force, Z in G17, and its word the one called Z below.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from polypocket.reader.arcs import NOISE
from polypocket.reader.block import Block
from polypocket.reader.columns import Draft
from polypocket.reader.groups import Group, g_text
from polypocket.reader.state import AXES, Cycle, State
from polypocket.reader.targets import INCREMENTAL, follow, target
from polypocket.reader.track import Kind
from polypocket.units import MM_PER_INCH

__all__ = ["cycle"]

_WITH_DWELL, _WITH_PECKS = 820, 830
_RETURN_TO_START = 980
_INVERSE_TIME = 93

#: How far above the last peck the rapid back down ends: 0.010 in (NISTIR 6556 3.5.16.4, from memory).
_ABOVE_LAST_PECK = 0.010 * MM_PER_INCH

#: Most pecks, or holes, that one block may ask for. No source: more is a slip, and would fill the memory.
_MOST_PECKS = 1_000


class _Fault(NamedTuple):
    column: int
    code: str
    text: str


def cycle(block: Block, state: State, draft: Draft, column: int) -> None:
    """Carry out the cycle in force once, or L times; ``column`` is that of the block's first axis word."""
    told = _words(block, state)
    fault = (
        _mode_fault(state, column)
        or _words_fault(block, state, told, column)
        or _place_fault(block, state, told, column)
    )
    if fault is not None:
        draft.complain(block.line, *fault)
        follow(block, state)
        return
    if state.return_mode is None and "return" not in state.told:
        state.told.add("return")
        text = "a cycle before G98 or G99: the height to which it returns is not set"
        draft.complain(block.line, column, "unread", text)
    state.cycle = told
    _repeat(block, state, draft, told)


def _words(block: Block, state: State) -> Cycle:
    """Take the block's words, and those of the last cycle that hold still: R, and of the same cycle all."""
    last = state.cycle
    if last is not None and (last.distance, last.plane) != (state.distance, state.plane):
        last = None  # the same numbers would now be other places
    same = last if last is not None and last.motion == state.motion else None

    def length(letter: str, before: float | None) -> float:
        if (word := block.values.get(letter)) is not None:
            return word.value * (1.0 if letter == "P" else state.scale)
        return math.nan if before is None else before

    return Cycle(
        motion=state.motion or 0,
        distance=state.distance,
        plane=state.plane,
        clear=length("R", last and last.clear),
        bottom=length(AXES[state.axes_of_plane[2]], same and same.bottom),
        peck=length("Q", same and same.peck),
        dwell=length("P", same and same.dwell),
    )


def _mode_fault(state: State, column: int) -> _Fault | None:
    """Say which mode in force does not go together with a cycle."""
    name = g_text(state.motion or 0)
    if state.feed_mode == _INVERSE_TIME:
        return _Fault(column, "unread", f"the cycle {name} in inverse-time feed; set G94")
    if state.compensation_side:
        return _Fault(column, "compensation", f"the cycle {name} while radius compensation is on")
    return None


def _words_fault(block: Block, state: State, told: Cycle, column: int) -> _Fault | None:
    """Say which word is missing, or has a value that it cannot have."""
    name = g_text(told.motion)
    upright = AXES[state.axes_of_plane[2]]
    wanted = {"R": told.clear, upright: told.bottom}
    wanted |= {"P": told.dwell} if told.motion == _WITH_DWELL else {}
    wanted |= {"Q": told.peck} if told.motion == _WITH_PECKS else {}
    named = block.codes[Group.MOTION].column if Group.MOTION in block.codes else column
    for letter, value in wanted.items():
        if math.isnan(value):
            return _Fault(named, "unread", f"{name} without {letter}")
    if told.dwell < 0.0:
        return _at("P", block, column, f"{name} with a negative time of waiting")
    if told.motion == _WITH_PECKS and not told.peck > 0.0:
        return _at("Q", block, column, f"{name} with a peck that goes no deeper: Q must be greater than 0")
    times = _times(block)
    if not (times >= 1.0 and times.is_integer()):
        return _at("L", block, column, f"{name} is repeated L times: L must be a whole number, 1 or more")
    return None


def _place_fault(block: Block, state: State, told: Cycle, column: int) -> _Fault | None:
    """Say what is wrong with where the cycle begins and how far it goes."""
    name = g_text(told.motion)
    *across, upright = state.axes_of_plane
    if math.isnan(state.work[upright]):
        return _Fault(column, "unread", f"{name} from a position in {AXES[upright]} that is not known")
    clear, bottom = _heights(state, told)
    if bottom > clear + NOISE:
        text = f"{name} with R below {AXES[upright]}: the hole would end above its beginning"
        return _at("R", block, column, text)
    pecks = (clear - bottom) / told.peck if told.motion == _WITH_PECKS else 1.0
    if max(pecks, 1.0) * _times(block) > _MOST_PECKS:
        return _Fault(column, "unread", f"{name} asks for more than {_MOST_PECKS} holes or pecks")
    for axis in across:
        if AXES[axis] in block.values and math.isnan(target(block, state, axis)):
            text = f"an incremental move in {AXES[axis]} from a position that is not known"
            return _at(AXES[axis], block, column, text)
    return None


def _at(letter: str, block: Block, column: int, text: str) -> _Fault:
    """Blame the word of a letter, or ``column`` where the line has none."""
    word = block.values.get(letter)
    return _Fault(column if word is None else word.column, "unread", text)


def _times(block: Block) -> float:
    return block.values["L"].value if "L" in block.values else 1.0


def _heights(state: State, told: Cycle) -> tuple[float, float]:
    """Give the heights of R and of the hole's bottom, mm: in G91 from where it stands, and from R."""
    if told.distance != INCREMENTAL:
        return told.clear, told.bottom
    clear = state.work[state.axes_of_plane[2]] + told.clear
    return clear, clear + told.bottom


def _repeat(block: Block, state: State, draft: Draft, told: Cycle) -> None:
    upright = state.axes_of_plane[2]
    clear, bottom = _heights(state, told)
    # A control that returns to the height before the first cycle of several goes no lower than this.
    start = state.work[upright]
    back = max(start, clear) if state.return_mode == _RETURN_TO_START else clear

    def go(kind: Kind, places: dict[int, float]) -> None:
        """Go there, unless it stands there."""
        if all(abs(state.work[axis] - value) <= NOISE for axis, value in places.items()):
            return
        for axis, value in places.items():
            state.place(axis, value)
        draft.add(state, block.line, block.optional, kind)

    if start < clear:
        go(Kind.RAPID, {upright: clear})
    for _ in range(int(_times(block))):
        across = [axis for axis in state.axes_of_plane[:2] if AXES[axis] in block.values]
        go(Kind.RAPID, {axis: target(block, state, axis) for axis in across})
        go(Kind.RAPID, {upright: clear})
        if told.motion == _WITH_PECKS:
            for depth in _pecks(clear, bottom, told.peck):
                go(Kind.FEED, {upright: depth})
                go(Kind.RAPID, {upright: clear})
                go(Kind.RAPID, {upright: min(depth + _ABOVE_LAST_PECK, clear)})
        go(Kind.FEED, {upright: bottom})
        if told.motion == _WITH_DWELL:
            draft.add(state, block.line, block.optional, Kind.DWELL, dwell=told.dwell)
        go(Kind.RAPID, {upright: back})


def _pecks(clear: float, bottom: float, peck: float) -> list[float]:
    """Give the heights of the pecks above the bottom, mm, the highest first."""
    count = math.ceil((clear - bottom - NOISE) / peck) - 1
    return [clear - peck * number for number in range(1, count + 1)]

"""Where the axis words of a block send the axes, and what must be said before any motion.

Source: NISTIR 6556 3.5.1 and 3.5.17 (in part from memory).
"""

from __future__ import annotations

import math

from polypocket.reader.block import Block
from polypocket.reader.columns import Draft
from polypocket.reader.groups import CYCLES, g_text
from polypocket.reader.state import AXES, State
from polypocket.reader.track import Frame

__all__ = ["INCREMENTAL", "follow", "known_targets", "named_axes", "target", "tell_once"]

#: G91, in tenths.
INCREMENTAL = 910


def named_axes(block: Block) -> list[int]:
    """Give the axes that the block names, 0 for X."""
    return [axis for axis, letter in enumerate(AXES) if letter in block.values]


def target(block: Block, state: State, axis: int, frame: Frame = Frame.WORK) -> float:
    """Say where the block sends an axis, mm; NaN where that is not known."""
    letter = AXES[axis]
    if letter in block.unread or (word := block.values.get(letter)) is None:
        return math.nan
    length = word.value * state.scale
    return state.work[axis] + length if state.distance == INCREMENTAL and frame == Frame.WORK else length


def known_targets(
    block: Block, state: State, draft: Draft, frame: Frame = Frame.WORK
) -> dict[int, float] | None:
    """Give the target of every axis that the block names; complain and give ``None`` if one is not known."""
    targets: dict[int, float] = {}
    for axis, letter in enumerate(AXES):
        if (word := block.values.get(letter)) is None:
            continue
        targets[axis] = target(block, state, axis, frame)
        if math.isnan(targets[axis]):
            text = f"an incremental move in {letter} from a position that is not known"
            draft.complain(block.line, word.column, "unread", text)
            return None
    return targets


def follow(block: Block, state: State, frame: Frame = Frame.WORK) -> None:
    """Let the position follow a block that was refused."""
    named = [axis for axis, letter in enumerate(AXES) if letter in block.values or letter in block.unread]
    for axis in named:
        state.place(axis, target(block, state, axis, frame), frame)
    if named and state.motion in CYCLES:
        state.cycle = None
        state.lose(state.axes_of_plane[2])  # to which height it would have returned is not worked out
        if "L" in block.values and state.distance == INCREMENTAL:
            for axis in named:
                state.lose(axis)


def tell_once(
    block: Block,
    state: State,
    draft: Draft,
    column: int,
    *,
    distance: bool = True,
    feed: bool = False,
    plane: str = "",
) -> None:
    """Complain, once each, of settings that a motion needs and nobody made; ``column`` is to blame.

    ``distance`` and ``feed`` tell whether it needs G90 or G91, and a feed; ``plane`` names it if it needs one.
    """
    told = state.told

    def tell(key: str, code: str, text: str) -> None:
        if key not in told:
            told.add(key)
            draft.complain(block.line, column, code, text)

    if state.units is None:
        tell("units", "units", "motion before the units are set")
    if distance and state.distance is None:
        tell("distance", "unread", "motion before G90 or G91: absolute or incremental is not set")
    if feed and not state.feed > 0.0:
        where = "before it" if state.feed_mode == 94 else "on its line, as G93 wants it"
        tell("no-feed", "no-feed", f"{g_text(state.motion or 0)} without a feed; give F {where}")
    if plane and state.plane is None:
        tell("plane", "unread", f"{plane} before G17: the plane is not set")

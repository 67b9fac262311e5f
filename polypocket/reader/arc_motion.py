"""Arcs and helices in the plane in force, from the words of a block.

Source: NISTIR 6556 3.5.3 (in part from memory).
"""

from __future__ import annotations

import math

from polypocket.reader.arcs import NOISE, Arc, Point, arc_by_centre, arc_by_radius
from polypocket.reader.block import Block
from polypocket.reader.columns import Draft
from polypocket.reader.dialect import Dialect
from polypocket.reader.groups import Group
from polypocket.reader.planes import Plane
from polypocket.reader.quadrant import arc_by_distances, leaves_quadrant
from polypocket.reader.state import AXES, State
from polypocket.reader.targets import follow, named_axes, target
from polypocket.reader.track import Kind
from polypocket.units import MM_PER_INCH

__all__ = ["arc"]

#: The centre's words, from the start, in the order of the axes.
_CENTRES = "IJK"


def arc(block: Block, state: State, draft: Draft, dialect: Dialect, kind: Kind) -> None:
    """Make an arc, with a motion along the third axis a helix, of the block's words."""
    plane = first, second, third = state.axes_of_plane
    column, text = _words_fault(block, state, plane)
    if text:
        draft.complain(block.line, column, "unread", text)
        follow(block, state)
        return
    targets = {axis: target(block, state, axis) for axis in named_axes(block)}
    start = (state.work[first], state.work[second])
    end = (targets.get(first, start[0]), targets.get(second, start[1]))
    if math.dist(start, end) <= NOISE:
        end = start
    found, column = _centre(block, state, start, end, dialect, kind)
    if found.fault:
        draft.complain(block.line, column, "arc-radius", found.fault)
    state.place(first, end[0])
    state.place(second, end[1])
    if third in targets:
        state.place(third, targets[third])
    if found.centre is not None:
        centre = [math.nan, math.nan, math.nan]
        centre[first], centre[second] = found.centre
        draft.add(state, block.line, block.optional, kind, centre=(centre[0], centre[1], centre[2]))


def _words_fault(block: Block, state: State, plane: Plane) -> tuple[int, str]:
    """Say what hinders an arc before its geometry is looked at: column and text, or no text."""
    values = block.values
    first, second, third = plane
    one, other = sorted((first, second))
    column = block.codes[Group.MOTION].column if Group.MOTION in block.codes else block.column
    if (letter := _CENTRES[third]) in values:
        text = f"{letter} has no use in an arc of the plane {AXES[one]}{AXES[other]}"
        return values[letter].column, text
    if AXES[one] not in values and AXES[other] not in values:
        text = f"an arc without {AXES[one]} or {AXES[other]}; a full circle names its end too"
        return column, text
    by_centre = _CENTRES[one] in values or _CENTRES[other] in values
    if "R" in values and by_centre:
        return values["R"].column, "an arc with both R and a centre"
    if "R" not in values and not by_centre:
        return column, f"an arc without a centre: neither {_CENTRES[one]}, {_CENTRES[other]} nor R"
    for axis, letter in enumerate(AXES):
        if math.isnan(state.work[axis]) and (axis != third or letter in values):
            return column, f"an arc from a position in {letter} that is not known"
    return 0, ""


def _centre(
    block: Block, state: State, start: Point, end: Point, dialect: Dialect, kind: Kind
) -> tuple[Arc, int]:
    """Find the arc's centre in its plane, and the column to blame if that fails."""
    values, scale = block.values, state.scale
    tolerance = dialect.arc_radius_inch * MM_PER_INCH if state.units == "inch" else dialect.arc_radius_mm
    if (radius := values.get("R")) is not None:
        clockwise = kind == Kind.ARC_CLOCKWISE
        return arc_by_radius(start, end, radius.value * scale, clockwise, tolerance), radius.column
    letters = [_CENTRES[axis] for axis in state.axes_of_plane[:2]]
    offset = [values[letter].value * scale if letter in values else 0.0 for letter in letters]
    column = min(values[letter].column for letter in letters if letter in values)
    distances, clockwise = (offset[0], offset[1]), kind == Kind.ARC_CLOCKWISE
    if dialect.words is not None and not dialect.words.signed_centre:
        return arc_by_distances(start, end, distances, clockwise, tolerance), column
    found = arc_by_centre(start, end, distances, tolerance)
    if dialect.quadrant_arcs and found.centre is not None and not found.fault:
        if leaves_quadrant(start, end, found.centre, clockwise, tolerance):
            return Arc(
                None, "the arc leaves its quadrant, and this control goes through one at a time"
            ), column
    return found, column

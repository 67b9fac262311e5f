"""One flat cut by hand, parallel to an axis of the table: where to touch off, and the reading of each pass.

The flat faces along an axis, on which the depth of each pass is set and locked; the other axis cuts. Both readouts are
zero where the cutter touches the work: one at the edge outside the flat, one at the edge where the cuts begin. All
readings are whole steps of the readout or dial, counted from the last one outwards::

        edge touched, reads 0 ─────────────────────────────
                               first pass    a0
                               …             one stepover apart
                               rough         last − allowance
        the flat ────────────────────────────  last
"""

from __future__ import annotations

import math
from typing import Literal, NamedTuple

from polypocket.model.job import NOTHING_LEFT
from polypocket.plan.clearances import OVERRUN
from polypocket.plan.cuts import cut_along
from polypocket.shape.outline import Outline
from polypocket.shape.stroke import Line, clear_of

__all__ = ["ByHand", "FlatByHand", "flat_by_hand", "passes_to"]

Pair = tuple[float, float]
#: Unit vectors of the four ways along the axes: exactly, so that a locked axis stands still.
_WAYS: tuple[Pair, ...] = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))
#: Shares of a step that are rounding.
_ROUNDING = 1e-6


#: Corners of an edge that are level within this are on one line, mm: far below what can be read.
_LEVEL = 1e-4
#: An edge shorter than this is touched as a corner is, mm. Common practice, no source.
_LONG_ENOUGH = 2.0


class ByHand(NamedTuple):
    """How a person cuts.

    Attributes:
        radius: of the cutter, mm.
        stepover, allowance: mm.
        beside: what the cutter keeps from the material beside it on its ways back, mm.
        steps: the smallest that are set on X and on Y, mm.
        backlash: of X and of Y, mm.
    """

    radius: float
    stepover: float
    allowance: float
    beside: float
    steps: Pair
    backlash: Pair


class FlatByHand(NamedTuple):
    """How one flat is cut at one height. Positions are of the tip's centre on the table, mm from the work zero.

    Attributes:
        faces: quarter turns anticlockwise from +X.
        touch: X and Y where each axis reads zero.
        edges: distances of the edges touched from the work zero, along X and along Y.
        corners: whether there is a corner and no flat edge, along X and along Y.
        last: how far the flat is inside the edge outside of it.
        passes: role of each pass, and how far it goes in from that edge, the outermost first.
        begins, ends: from where to where each pass goes, from where the cutter touches the edge at its beginning.
        clear: how far outside the edge the cutter is brought back.
        after: what stands when it is done.
    """

    faces: int
    touch: Pair
    edges: Pair
    corners: tuple[bool, bool]
    last: float
    passes: tuple[tuple[Literal["rough", "finish"], float], ...]
    begins: float
    ends: float
    clear: float
    after: Outline

    def place(self, depth: float, along: float) -> Pair:
        """Return where the tip's centre is ``depth`` mm in from one zero and ``along`` mm on from the other."""
        out, on = _WAYS[self.faces], _WAYS[(self.faces + 1) % 4]
        x, y = self.touch
        return x - out[0] * depth + on[0] * along, y - out[1] * depth + on[1] * along


def flat_by_hand(
    standing: Outline, faces: int, distance: float, method: ByHand, *, is_floor: bool
) -> FlatByHand | None:
    """Return how a flat is cut back to ``distance`` mm from the work zero; ``None`` where nothing is to be cut.

    Args:
        standing: what stands at this height, turned as it is on the table.
        faces: where the flat faces, quarter turns anticlockwise from +X.
        distance: of the flat from the work zero, mm.
        method: how.
        is_floor: whether it is finished at this height; where not, it is roughed a step further than the allowance, so
            that the next height down, whose readings are rounded anew, takes nothing off up here.
    """
    out, on = _WAYS[faces], _WAYS[(faces + 1) % 4]
    sets = faces % 2  # the axis on which the depth of each pass is set: a flat that faces X is set on X
    step, step_along = method.steps[sets], method.steps[1 - sets]
    direction = faces * math.pi / 2.0
    edge = max(x * out[0] + y * out[1] for x, y in standing.vertices)
    begin = min(x * on[0] + y * on[1] for x, y in standing.vertices)
    last = edge - distance
    if last <= NOTHING_LEFT:
        return None
    passes = passes_to(last, step, method.stepover, method.allowance, is_floor=is_floor)
    if not passes:
        return None
    ends, after = 0.0, standing
    for index, (_, depth) in enumerate(passes, start=1):
        line = Line(direction, edge - depth)
        if not line.beyond(after).is_empty:
            ends = max(ends, clear_of(after, line, method.radius))
            after = cut_along(0, index, line, after, method.radius).after
    zero = begin - method.radius
    depth_zero = edge + method.radius
    touch = depth_zero * out[0] + zero * on[0], depth_zero * out[1] + zero * on[1]
    corners = _is_corner(standing, out), _is_corner(standing, (-on[0], -on[1]))
    edges = (edge, abs(begin)) if sets == 0 else (abs(begin), edge)
    return FlatByHand(
        faces=faces,
        touch=touch,
        edges=edges,
        corners=corners if sets == 0 else (corners[1], corners[0]),
        last=last,
        passes=passes,
        begins=-_up(method.beside + 2.0 * method.backlash[1 - sets], step_along),
        ends=_up(ends + OVERRUN + method.beside - zero, step_along),
        clear=_up(method.beside + 2.0 * method.backlash[sets], step),
        after=after,
    )


def _is_corner(standing: Outline, way: Pair) -> bool:
    """Whether what stands ends in a corner towards ``way``, and in no edge long enough to be touched anywhere."""
    heights = [(x * way[0] + y * way[1], x * way[1] - y * way[0]) for x, y in standing.vertices]
    furthest = max(height for height, _ in heights)
    along = [place for height, place in heights if height > furthest - _LEVEL]
    return max(along) - min(along) < _LONG_ENOUGH


def passes_to(
    last: float, step: float, stepover: float, allowance: float, *, is_floor: bool
) -> tuple[tuple[Literal["rough", "finish"], float], ...]:
    """Return role and depth of each pass in whole steps: the finishing one last, roughing one stepover apart before.

    Args:
        last: depth of the flat, mm, from where the depths are counted.
        step: the smallest that a person sets, mm.
        stepover: most that a roughing pass takes, mm.
        allowance: left for the finishing pass, mm.
        is_floor: whether the flat is finished at this height.
    """
    whole = round(last / step)
    left, width = _down(allowance, step), max(1, _down(stepover, step))
    depths: list[tuple[Literal["rough", "finish"], float]] = []
    deepest = whole - (left if is_floor else max(0, left - 1))
    if deepest > 0:
        count = math.ceil(deepest / width)
        depths += [("rough", (deepest - k * width) * step) for k in reversed(range(count))]
    if is_floor and left > 0 and whole > 0:
        depths.append(("finish", whole * step))
    return tuple(depths)


def _down(length: float, step: float) -> int:
    """Return how many whole steps there are in a length."""
    return math.floor(length / step + _ROUNDING)


def _up(length: float, step: float) -> float:
    """Return a length made up to whole steps."""
    return math.ceil(length / step - _ROUNDING) * step

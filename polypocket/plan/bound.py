"""The seconds that no order of strips can do without: what a plan that was not compared with all others is held to."""

from __future__ import annotations

import math
from collections.abc import Mapping

from polypocket.plan.method import Method
from polypocket.plan.strips import next_line
from polypocket.shape.outline import Outline
from polypocket.shape.stroke import Line

__all__ = ["least_seconds_of_strips"]


def least_seconds_of_strips(
    standing: Outline, flats: Mapping[int, Line], method: Method, *, joins: bool
) -> float:
    """Return a lower bound of the seconds that all strips and the ways between them take, in any order.

    What of the material beyond a flat's line would be left if all other flats were cut first has to be cut by strokes
    of its own, one for each line at a stepover from the next. On each the cutter touches every point of the line that
    is in that material, so that it goes at the working feed at least as far as that is long. Nor does a stroke take
    off more, on each millimetre of its path, than a strip is wide: rolling about a corner over thickness t, at most the
    cutter's radius r and stepover / cos 60°, it takes off t² / 2r. Where strokes are not joined round corners each
    begins with a lead of ``beside`` mm at the working feed, and is left as far at the highest feed.

    Args:
        standing: what stands.
        flats: each flat's number and the line to which its material is to be taken.
        method: how to cut, and on what.
        joins: whether strokes may go round corners.
    """
    length, strokes, final = 0.0, 0, standing
    for flat, target in flats.items():
        final = final.clip(target.direction, target.distance)
        own = standing
        for other, line in flats.items():
            if other != flat:
                own = own.clip(line.direction, line.distance)
        if own.is_empty:
            continue
        line_now = next_line(own.support(target.direction), target, method.stepover)
        distance = line_now.distance if line_now is not None else -math.inf
        while distance >= target.distance - 1e-9:
            length += _chord(own, target.direction, distance)
            strokes += 1
            distance -= method.stepover
    seconds = max(length, (standing.area - final.area) / method.stepover) / method.feed * 60.0
    if not joins:
        seconds += strokes * method.beside / method.feed * 60.0
        seconds += max(0, strokes - 1) * method.beside / method.feed_max * 60.0
    return seconds


def _chord(outline: Outline, direction: float, distance: float) -> float:
    """Return how long a line across an outline is, mm."""
    c, s = math.cos(direction), math.sin(direction)
    places: list[float] = []
    for (x1, y1), (x2, y2) in outline.edges():
        h1, h2 = x1 * c + y1 * s - distance, x2 * c + y2 * s - distance
        if (h1 <= 0.0) != (h2 <= 0.0):
            share = h1 / (h1 - h2)
            x, y = x1 + share * (x2 - x1), y1 + share * (y2 - y1)
            places.append(y * c - x * s)
    return max(places) - min(places) if places else 0.0

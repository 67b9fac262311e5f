"""Taking up the backlash before a cut that leaves a finished flat."""

from __future__ import annotations

import math

from polypocket.plan.cuts import Cut

__all__ = ["take_up_from"]

Pair = tuple[float, float]

#: An axis that moves less than this over a cut stands still, mm: two of the coarsest steps that are written, 0.0001 in,
#: and a little, so that one that moves further still does so when its ends have been rounded.
_STANDS_STILL = 0.0056


def take_up_from(cut: Cut, approach: Pair, backlash: Pair) -> Pair:
    """Return the point from which to arrive at a cut's ``approach`` so that both screws are taken up at contact.

    An axis that moves during the cut arrives moving the same way; one that stands still arrives from the outside
    inwards, each time alike. Twice the backlash is taken, so that a screw a little worse than it was measured is
    still taken up.
    """
    end = cut.path[0].to
    facing = cut.lines[0].direction
    outwards = math.cos(facing), math.sin(facing)
    ways = []
    for axis in (0, 1):
        travel = end[axis] - approach[axis]
        way = travel if abs(travel) > _STANDS_STILL else -outwards[axis]
        ways.append(math.copysign(2.0 * backlash[axis], way))
    return approach[0] - ways[0], approach[1] - ways[1]

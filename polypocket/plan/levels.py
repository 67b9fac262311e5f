"""Heights at which a section is cut."""

from __future__ import annotations

import math
from itertools import pairwise

__all__ = ["levels"]

#: A bite may be deeper than asked for by this, mm, since a person can set no finer: half the step of a usual readout.
#: Common practice, no source.
_COARSE = 0.0025
#: Smaller heights are rounding, mm.
_ROUNDING = 1e-9


def levels(top: float, bottom: float, stepdown: float | None, step: float | None = None) -> tuple[float, ...]:
    """Return the depths of equal levels between ``top`` and ``bottom``, mm, none deeper than ``stepdown``.

    Without a stepdown there is one level, the whole height. Where a person sets each height, all but the last are
    whole steps of ``step`` mm, nearest to where they would be.
    """
    height = bottom - top
    count = 1 if stepdown is None else math.ceil(height / stepdown - 1e-9)
    equal = _equal(top, bottom, count)
    if step is None or stepdown is None:
        return equal
    for more in range(count, count + math.ceil(height / step) + 1):
        whole = {round(depth / step) * step for depth in _equal(top, bottom, more)[:-1]}
        found = (*sorted(depth for depth in whole if top + _ROUNDING < depth < bottom - _ROUNDING), bottom)
        if max(lower - upper for upper, lower in pairwise((top, *found))) <= stepdown + _COARSE:
            return found
    return equal  # the stepdown is finer than anything that can be set


def _equal(top: float, bottom: float, count: int) -> tuple[float, ...]:
    return tuple(top + (bottom - top) * (i + 1) / count for i in range(count))

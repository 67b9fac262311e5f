"""Heights at which a section is cut."""

from __future__ import annotations

import math

__all__ = ["levels"]


def levels(top: float, bottom: float, stepdown: float | None) -> tuple[float, ...]:
    """Return the depths of equal levels between ``top`` and ``bottom``, mm, none deeper than ``stepdown``.

    Without a stepdown there is one level, the whole height.
    """
    height = bottom - top
    count = 1 if stepdown is None else math.ceil(height / stepdown - 1e-9)
    return tuple(top + height * (i + 1) / count for i in range(count))

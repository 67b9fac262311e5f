"""The planes of arcs and cycles: which axes lie in them, and which stands upright on them.

Source: NISTIR 6556 3.5.2 and 3.5.3 (in part from memory): seen from the positive end of the third axis, G2
turns clockwise.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypeAlias

__all__ = ["PLANES", "Plane"]

#: The first, second and third axis, 0 for X: from the first to the second it turns anticlockwise.
Plane: TypeAlias = tuple[int, int, int]

#: By the number of the G word. In G18 the first axis is Z: turning from Z to X is anticlockwise seen from +Y.
PLANES: Mapping[int, Plane] = {17: (0, 1, 2), 18: (2, 0, 1), 19: (1, 2, 0)}

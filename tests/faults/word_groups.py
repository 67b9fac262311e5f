"""Which codes exclude each other in a block, and which are not worked out (NISTIR 6556, ISO 6983-1, from memory)."""

from __future__ import annotations

__all__ = ["BEYOND_G", "GROUPS", "M_GROUPS"]

GROUPS = {
    **dict.fromkeys((0, 1, 2, 3, 80), "motion"),
    **dict.fromkeys((17, 18, 19), "plane"),
    **dict.fromkeys((90, 91), "distance"),
    **dict.fromkeys((54, 55, 56, 57, 58, 59, 59.1, 59.2, 59.3), "offset"),
    **dict.fromkeys((61, 61.1, 64), "path"),
    **dict.fromkeys((40, 41, 42), "compensation"),
    **dict.fromkeys((98, 99), "return"),
    4: "dwell",
    49: "length",
    94: "feed mode",
}
M_GROUPS = {
    **dict.fromkeys((0, 1, 2, 30), "stop"),
    **dict.fromkeys((3, 4, 5), "spindle"),
    **dict.fromkeys((7, 8, 9), "coolant"),
    **dict.fromkeys((48, 49), "overrides"),
    6: "change",
}
#: Words that controls carry out and this interpreter does not: cycles, machine coordinates, shifts and the like.
BEYOND_G = {5, 7, 8, 10, 28, 30, 43, 53, 73, 76, *range(81, 90), 92, 92.1, 92.2, 92.3, 93, 95, 96, 97}

"""The G and M words that are known, in their modal groups, and which of them are not carried out.

Source: NISTIR 6556, table 4 (modal groups) and section 3.5 (in part from memory). G words are kept as
tenths, so that G59.1 is 591 and comparisons are exact.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from functools import cache

from polypocket.reader.dialect import Dialect

__all__ = [
    "CARRIED_OUT_CYCLES",
    "CYCLES",
    "NOT_CARRIED_OUT_G",
    "NOT_CARRIED_OUT_M",
    "Group",
    "g_groups",
    "g_text",
    "m_groups",
]


class Group(StrEnum):
    """A modal group; its value names it in messages."""

    MOTION = "motion"
    PLANE = "plane"
    DISTANCE = "distance"
    FEED_MODE = "feed mode"
    UNITS = "units"
    COMPENSATION = "radius compensation"
    LENGTH = "length compensation"
    RETURN = "return"
    OFFSET = "work offset"
    PATH = "path"
    NOT_MODAL = "not modal"
    STOP = "stop"
    TOOL = "tool change"
    SPINDLE = "spindle"
    MIST = "mist coolant"
    FLOOD = "flood coolant"
    OVERRIDES = "overrides"


_G_WORDS: Mapping[Group, tuple[int, ...]] = {
    Group.MOTION: (0, 10, 20, 30, 730, 760, *range(800, 900, 10)),
    Group.PLANE: (170, 180, 190),
    Group.DISTANCE: (900, 910),
    Group.FEED_MODE: (930, 940),
    Group.COMPENSATION: (400, 410, 420),
    Group.LENGTH: (430, 490),
    Group.RETURN: (980, 990),
    Group.OFFSET: (540, 550, 560, 570, 580, 590, 591, 592, 593),
    Group.PATH: (610, 611, 640),
    Group.NOT_MODAL: (40, 100, 280, 300, 530, 920, 921, 922, 923),
}

# M7 with M8 is allowed and M9 with neither: M9 belongs to the groups of both.
_M_WORDS: Mapping[int, tuple[Group, ...]] = {
    **dict.fromkeys((0, 1, 2, 30, 60), (Group.STOP,)),
    6: (Group.TOOL,),
    **dict.fromkeys((3, 4, 5), (Group.SPINDLE,)),
    7: (Group.MIST,),
    8: (Group.FLOOD,),
    9: (Group.MIST, Group.FLOOD),
    **dict.fromkeys((48, 49), (Group.OVERRIDES,)),
}

#: G73 and G76 are not in the standard, but stay in force like the others where a control has them.
CYCLES = frozenset((730, 760, *range(810, 900, 10)))

#: Drilling, drilling with a dwell, drilling in pecks.
CARRIED_OUT_CYCLES = frozenset((810, 820, 830))

#: G words that are known, or meant often enough to be named, but are refused.
NOT_CARRIED_OUT_G: Mapping[int, str] = {
    100: "offsets set by the program (G10) are not carried out",
    650: "subprograms and macros are not carried out",
    660: "subprograms and macros are not carried out",
    **{
        cycle: f"the cycle G{cycle // 10} is not carried out" for cycle in sorted(CYCLES - CARRIED_OUT_CYCLES)
    },
}

#: The same for M words.
NOT_CARRIED_OUT_M: Mapping[int, str] = {
    60: "the pallet change (M60) is not carried out",
    98: "subprograms are not carried out",
    99: "subprograms are not carried out",
}


def g_groups(dialect: Dialect) -> Mapping[int, Group]:
    """Give the group of every G word that the dialect's control knows, by tenths."""
    return _g_groups(dialect.inch_word, dialect.millimetre_word)


@cache  # not by the dialect, whose many traits would be looked at for every line
def _g_groups(*unit_words: int) -> Mapping[int, Group]:
    groups = {tenths: group for group, words in _G_WORDS.items() for tenths in words}
    return groups | dict.fromkeys((word * 10 for word in unit_words), Group.UNITS)


def m_groups(number: int) -> tuple[Group, ...]:
    """Give the groups of an M word, none if it is not known."""
    return _M_WORDS.get(number, ())


def g_text(tenths: int) -> str:
    """Write a G word as people do: ``G1``, ``G59.1``."""
    whole, tenth = divmod(tenths, 10)
    return f"G{whole}.{tenth}" if tenth else f"G{whole}"

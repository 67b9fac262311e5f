"""Mistakes as people make them, put into the files of a good job."""

from __future__ import annotations

import copy
import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from random import Random
from typing import Any

from tests.generation.cases import Case
from tests.generation.toml_text import Tables

__all__ = ["MISTAKES", "Broken", "broken"]


@dataclass(frozen=True)
class Broken:
    """A job that cannot be made.

    Attributes:
        case: its files.
        in_mill: whether the mill's file is the wrong one; else the job's.
        places: where the mistakes are to be told.
    """

    case: Case
    in_mill: bool
    places: tuple[str, ...]


#: Puts a mistake into a file and returns its place.
Mistake = Callable[[Random, Tables], str]

_NO_LENGTHS = ("12", "1,5 mm", "12 feet", "", True, [1.0], math.nan, math.inf, -3.0, 0.0, "1/0 in", 1e9)
_NO_COUNTS = (2.5, "3", True, 0, -1, 10**30, [4])
_NO_DIRECTIONS = ("north", "+z", True, "400°", math.nan, [0.0])


def broken(case: Case, random: Random) -> Broken:
    """Put one to three mistakes into one of the two files of a good job, each in a table of its own."""
    in_mill = random.random() < 0.3
    tables = copy.deepcopy(case.mill if in_mill else case.job)
    chosen = random.sample(sorted(MISTAKES[in_mill]), random.choice((1, 1, 2, 3)))
    places = tuple(random.choice(MISTAKES[in_mill][table])(random, tables) for table in chosen)
    changed = replace(case, mill=tables) if in_mill else replace(case, job=tables)
    return Broken(changed, in_mill, places)


def _value(table: str, key: str, *values: object) -> Mistake:
    """Make a mistake that gives a key one of some values that it cannot have."""

    def put(random: Random, tables: Tables) -> str:
        place, here = _table(tables, table)
        here[key] = random.choice(values)
        return f"{place}{key}"

    return put


def _missing(table: str, *keys: str) -> Mistake:
    """Make a mistake that leaves out a key that is always wanted."""

    def leave_out(random: Random, tables: Tables) -> str:
        key = random.choice(keys)
        place, here = _table(tables, table)
        del here[key]
        return f"{place}{key}"

    return leave_out


def _misspelt(table: str) -> Mistake:
    """Make a mistake that adds a key that nobody knows, near to one that exists."""

    def add(random: Random, tables: Tables) -> str:
        place, here = _table(tables, table)
        known = random.choice(sorted(here))
        key = random.choice((known + "s", known[:-1] + "_", known.upper(), f"my {known}"))
        if key in here:  # work_offset and work_offsets
            key = f"my {known}"
        here[key] = 1.0
        shown = key if " " not in key else f'"{key}"'
        return f"{place}{shown}"

    return add


def _table(tables: Tables, path: str) -> tuple[str, dict[str, Any]]:
    """Return what places in a table begin with, and the table; of several cutters the first."""
    if path == "cutter" and isinstance(tables.get("cutters"), list):
        return "cutters[0].", tables["cutters"][0]
    for key in path.split(".") if path else ():
        tables = tables[key]
    return f"{path}." if path else "", tables


def _section(change: Callable[[Random, Tables], str]) -> Mistake:
    """Make a mistake in one of the sections."""

    def put(random: Random, tables: Tables) -> str:
        index = random.randrange(len(tables["sections"]))
        return f"sections[{index}]{change(random, tables['sections'][index])}"

    return put


def _no_count(random: Random, section: Tables) -> str:
    section["sides"] = random.choice((*_NO_COUNTS, 2, 361))
    return ".sides"


def _no_depth(random: Random, section: Tables) -> str:
    section["depth"] = random.choice((*_NO_LENGTHS, "5000 mm"))
    return ".depth"


def _no_direction(random: Random, section: Tables) -> str:
    section["first_flat"] = random.choice(_NO_DIRECTIONS)
    return ".first_flat"


def _no_size(random: Random, section: Tables) -> str:
    for key in ("across_flats", "centre_to_flat", "flat_to_corner"):
        section.pop(key, None)
    return ".across_flats"


def _two_sizes(random: Random, section: Tables) -> str:
    section.pop("flat_to_corner", None)
    section |= {"across_flats": "20 mm", "centre_to_flat": "10 mm"}
    return ".across_flats"


def _too_large(random: Random, section: Tables) -> str:
    for key in ("across_flats", "centre_to_flat", "flat_to_corner"):
        section.pop(key, None)
    section["across_flats"] = random.choice(("100 mm", "10 in"))
    return ""


def _as_deep_as_another(random: Random, tables: Tables) -> str:
    """Add a section as deep as another; which of the two is told does not matter."""
    tables["sections"].append(copy.deepcopy(tables["sections"][0]))
    return "sections["


def _no_sections(random: Random, tables: Tables) -> str:
    tables["sections"] = random.choice(([], {"sides": 6}, "six"))
    return "sections"


def _sizes_of_another_shape(random: Random, tables: Tables) -> str:
    tables["stock"]["shape"] = "round" if tables["stock"]["shape"] != "round" else "square"
    return "stock."


def _not_yet(random: Random, tables: Tables) -> str:
    key, value = random.choice(
        (("bore", {"diameter": 10.0}), ("holes", [{"diameter": 5.0}]), ("pockets", [{"sides": 4}]))
    )
    tables[key] = value
    return str(key)


def _swivelled(random: Random, tables: Tables) -> str:
    tables["clamping"]["swivel_settings"] = random.choice(
        ([0.0, 200.0], [], {"from": -60, "to": 60}, {"from": 60, "to": -60, "graduation": 1})
    )
    return "clamping.swivel_settings"


#: By whether they are in the mill's file and by the table they are in; two in one table might hide one another.
MISTAKES: dict[bool, dict[str, tuple[Mistake, ...]]] = {
    False: {
        "top": (
            _missing("", "kind", "name", "units"),
            _misspelt(""),
            _value("", "units", "metric", "cm", 25.4, True),
            _value("", "kind", "bar", "blok", 1),
            _value("", "name", "", 7, "two\nlines", "x" * 200),
            _not_yet,
        ),
        "stock": (
            _missing("stock", "shape", "thickness", "material"),
            _misspelt("stock"),
            _value("stock", "shape", "hexagon", "cube", 4),
            _value("stock", "thickness", *_NO_LENGTHS),
            _value("stock", "oversize", *(value for value in _NO_LENGTHS if value != 0.0 or value is True)),
            _value("stock", "material", "unobtainium", "aluminum-6061", 7),
            _sizes_of_another_shape,
        ),
        "sections": (
            _section(_no_count),
            _section(_no_depth),
            _section(_no_direction),
            _section(_no_size),
            _section(_two_sizes),
            _section(_too_large),
            _as_deep_as_another,
            _no_sections,
        ),
        "cutter": (
            _missing("cutter", "number", "diameter", "flutes", "flute_length", "stick_out", "material"),
            _misspelt("cutter"),
            _value("cutter", "number", *_NO_COUNTS),
            _value("cutter", "diameter", *_NO_LENGTHS),
            _value("cutter", "flute_length", *_NO_LENGTHS, "0.1 mm"),
            _value("cutter", "stick_out", *_NO_LENGTHS, "0.1 mm"),
            _value("cutter", "material", "cobalt", ""),
            _value("cutter", "centre_cutting", 1, "yes"),
        ),
        "cut": (
            _missing("cut", "direction", "stepover", "spindle_rpm", "feed"),
            _misspelt("cut"),
            _value("cut", "direction", "up", "down", True),
            _value("cut", "stepover", *_NO_LENGTHS, "9 mm"),
            _value("cut", "stepdown", *_NO_LENGTHS, "90 mm"),
            _value("cut", "finish_allowance", "1", "20 mm", True),
            _value("cut", "spindle_rpm", "1000", 0, -1, 5001, 1e7),
            _value("cut", "feed", "480", "480 mm", 0.0, -1.0, "90 in/s", "900 in/min"),
        ),
        "clamping": (
            _missing("clamping", "grip"),
            _misspelt("clamping"),
            _value("clamping", "grip", "vice", "chuck", 1),
            _value("clamping", "held", *_NO_LENGTHS, "900 mm"),
            _value("clamping", "jaws_along", "X", "z", 0),
            _value("clamping", "clamp_height", "1", -1.0, True),
            _swivelled,
        ),
        "tolerance": (
            _missing("tolerance", "angle"),
            _misspelt("tolerance"),
            _value("tolerance", "angle", 6.0, "6 minutes", 0.0, "0° 70'", math.nan),
            _value("tolerance", "size", *_NO_LENGTHS),
        ),
    },
    True: {
        "top": (
            _missing("", "name", "units", "post", "homed", "feed_max", "work_offset"),
            _misspelt(""),
            _value("", "units", "metric", 1),
            _value("", "homed", 0, "yes"),
            _value("", "rapid_path", "dogleg", True),
            _value("", "feed_max", 0.0, "1000", -3.0, math.inf),
            _value("", "length_offset", "yes", 0),
        ),
        "axes": (
            _missing("axes", "x", "y", "z"),
            _missing("axes.y", "travel", "rapid", "driven"),
            _misspelt("axes.x"),
            _value("axes.z", "driven", "no", 1),
            _value("axes.x", "travel", [10.0, 0.0], [0.0], "300 mm", [0.0, 1.0, 2.0]),
            _value("axes.y", "backlash", -0.01, "0.002", True),
            _value("axes.x", "acceleration", 0.0, "250 mm/s", -1.0),
        ),
        "spindle": (
            _missing("spindle", "controlled"),
            _misspelt("spindle"),
            _value("spindle", "controlled", 0, "no"),
            _value("spindle", "power", "2 horses", 0, -1.0),
        ),
        "work_offsets": (
            _value("work_offsets", "G60", [0.0, 0.0, 0.0]),
            _value("work_offsets", "G58", [0.0, 0.0], "here", [0.0, 0.0, "zero"]),
        ),
    },
}

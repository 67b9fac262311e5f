"""Several cutters for a job that was drawn with one."""

from __future__ import annotations

import copy
import math
from random import Random

from tests.generation.lengths import Lengths
from tests.generation.toml_text import Tables

__all__ = ["use_several"]

#: Diameters against the first cutter's, so that its stepover suits them all.
_WIDER = (1.0, 1.25, 1.5, 2.0)


def use_several(random: Random, tables: Tables, mill: Tables, lengths: Lengths) -> None:
    """Put [[cutters]] in place of [cutter], and a number into each section; each cutter has a section at least.

    The mill gets room for them all over the work, and now and then a control that keeps their lengths.
    """
    first = tables.pop("cutter")
    sections = tables["sections"]
    count = min(len(sections), random.choice((2, 2, 3))) if len(sections) > 1 else 1
    numbers = random.sample(range(1, 21), count)
    cutters = [first | {"number": numbers[0]}]
    for number in numbers[1:]:
        other = copy.deepcopy(first) | {"number": number, "flutes": random.randint(2, 6)}
        other["diameter"] = _times(first["diameter"], random.choice(_WIDER))
        other["stick_out"] = _times(first["stick_out"], random.choice((1.0, 1.1, 1.5)))
        changes: Tables = {}
        if random.random() < 0.5:
            changes["feed"] = lengths.rate(random.uniform(60.0, 300.0))
        if random.random() < 0.5:
            changes["stepover"] = _times(tables["cut"]["stepover"], 0.9)
            changes["finish_allowance"] = 0.0
        if random.random() < 0.3:
            changes["direction"] = random.choice(("conventional", "climb"))
        if changes:
            other["cut"] = changes
        cutters.append(other)
    tables["cutters"] = cutters
    longest = max(_millimetres(cutter["stick_out"], tables["units"]) for cutter in cutters)
    low, high = mill["axes"]["z"]["travel"]
    high = (
        _millimetres(high, mill["units"]) + longest - _millimetres(first["stick_out"], tables["units"]) + 0.01
    )
    mill["axes"]["z"]["travel"] = [low, f"{high:.3f} mm"]
    if random.random() < 0.4:
        mill["length_offset"] = True
    own = [*numbers, *random.choices(numbers, k=len(sections) - count)]
    for section, number in zip(sections, random.sample(own, len(own)), strict=True):
        if count > 1 or random.random() < 0.5:
            section["cutter"] = number


def _millimetres(length: float | str, units: str) -> float:
    """Return what a length in a file means."""
    number, unit = length.split(" ", 1) if isinstance(length, str) else (length, units)
    return float(number) * {"mm": 1.0, "inch": 25.4, "in": 25.4, "thou": 0.0254}[unit]


def _times(length: float | str, factor: float) -> float | str:
    """Return a length as it is written in a file, so many times as long, rounded down to four decimals."""
    if isinstance(length, str):
        number, unit = length.split(" ", 1)
        return f"{_times(float(number), factor):.4f} {unit}"
    return math.floor(length * factor * 1e4 + 1e-6) / 1e4

"""Mills at random, with room for the block that they are drawn for."""

from __future__ import annotations

from random import Random

from tests.generation.blocks import Block
from tests.generation.lengths import Lengths
from tests.generation.toml_text import Tables

__all__ = ["mill"]

#: Screws without play, ground ballscrews, worn ballscrews and old screws, mm; each axis has its own.
_BACKLASHES = (0.0, 0.005, 0.05, 0.1)
_OFFSETS = ("G54", "G55", "G59", "G59.1")

#: What a program needs beside the stock on every side: cutters up to 16 mm, leads, the corners of the way round.
_BESIDE = 80.0


def mill(random: Random, block: Block, post: str) -> Tables:
    """Draw a mill. Its vise, speeds and feeds suit most blocks, but not all."""
    lengths = Lengths(random.choice(("mm", "inch")), random)
    offset = random.choice(_OFFSETS)
    zero = [lengths.rounded(random.uniform(-300.0, 300.0)) for _ in "XYZ"]
    # Above the stock as much as crossing over the work takes, or as much as the planner could wish for.
    above = block.clamps + random.choice((2.01, 6.0, 40.0, 120.0))
    beside = block.reach + _BESIDE
    ends = {"x": (beside, beside), "y": (beside, beside), "z": (block.deepest + 1.0, above)}
    axes: Tables = {}
    for number, (name, (low, high)) in enumerate(ends.items()):
        axes[name] = {
            "travel": [
                lengths.written(lengths.rounded(zero[number] - low)),
                lengths.written(lengths.rounded(zero[number] + high)),
            ],
            "rapid": lengths.rate(random.uniform(800.0, 8000.0)),
            "driven": True,
        }
        if random.random() < 0.7:
            axes[name]["acceleration"] = lengths.exact(random.uniform(50.0, 800.0))
        if random.random() < 0.9:
            axes[name]["backlash"] = lengths.exact(random.choice(_BACKLASHES))
    tables: Tables = {
        "name": random.choice(("knee mill", "mill (3 axes), 2nd shop", "Fräse")),
        "units": lengths.units,
        "post": post,
        "homed": True,
        "feed_max": lengths.rate(random.uniform(700.0, 3000.0)),
        "work_offset": offset,
        "axes": axes,
        "spindle": random.choice(({"rpm": [200.0, 5000.0]}, {"speeds": [250.0, 500.0, 1000.0, 2000.0]}))
        | {"controlled": True},
        "work_offsets": {offset: [lengths.written(value) for value in zero]},
    }
    if random.random() < 0.8:
        tables["rapid_path"] = random.choice(("independent", "straight"))
    if random.random() < 0.5:
        tables["tool_change"] = {"automatic": random.choice((True, False))}
    if random.random() < 0.5:
        tables["coolant"] = {"controlled": random.choice((True, False))}
    if random.random() < 0.95:
        tables["vise"] = {
            "opening": lengths.written(lengths.rounded(random.choice((75.0, 125.0, 160.0)))),
            "jaw_width": lengths.written(lengths.rounded(random.uniform(60.0, 160.0))),
            "jaw_height": lengths.written(lengths.rounded(random.uniform(20.0, 50.0))),
            "body": [lengths.written(lengths.rounded(size)) for size in (300.0, 200.0, 100.0)],
        }
    return tables

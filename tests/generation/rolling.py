"""Blocks on which the cutter rolls round many corners: one section of many sides in a square or rectangle.

Its corners stand far out and past several of the section's own, which is where rolling is hardest to get right.
"""

from __future__ import annotations

import math
from random import Random

from tests.generation.toml_text import Tables, toml_text

__all__ = ["rolling_block"]


def rolling_block(seed: int) -> str:
    """Return the text of a job's file; it can be made on any mill that is large enough."""
    random = Random(seed)
    width, sides = random.uniform(25.0, 45.0), random.randint(7, 16)
    length = width * random.choice((1.0, random.uniform(1.0, 1.4)))
    radius = random.choice((2.5, 3.0, 4.0, 5.0, 6.0, 8.0))
    oversize = random.uniform(0.0, 1.5)
    across_flats = width * math.cos(math.pi / sides) * random.uniform(0.4, 1.0)
    first_flat = random.uniform(0.0, 90.0)
    stepover = radius * random.choice((1.0, random.uniform(0.3, 1.0)))
    allowance = min(0.9 * stepover, random.uniform(0.1, 1.5)) if random.random() < 0.5 else 0.0
    tables: Tables = {
        "kind": "block",
        "name": "many corners",
        "units": "mm",
        "stock": {
            "shape": "rectangle",
            "width": width,
            "length": length,
            "thickness": 30.0,
            "oversize": oversize,
            "material": "brass",
        },
        "sections": [{"sides": sides, "across_flats": across_flats, "depth": 5.0, "first_flat": first_flat}],
        "cutter": {
            "number": 1,
            "diameter": 2.0 * radius,
            "flutes": 2,
            "flute_length": 10.0,
            "stick_out": 20.0,
            "material": "hss",
            "centre_cutting": True,
        },
        "cut": {
            "direction": "climb" if seed % 4 == 3 else "conventional",
            "stepover": stepover,
            "finish_allowance": allowance,
            "spindle_rpm": 500,
            "feed": 300.0,
        },
        "clamping": {"grip": "plate"},
        "tolerance": {"angle": 0.5},
    }
    return toml_text(tables)

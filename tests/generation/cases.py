"""A job and a mill for it, drawn together from one seed."""

from __future__ import annotations

import math
from dataclasses import dataclass
from random import Random

from tests.generation.blocks import Block, block
from tests.generation.cutters import use_several
from tests.generation.lengths import Lengths
from tests.generation.mills import mill
from tests.generation.toml_text import Tables, toml_text

__all__ = ["Case", "case"]

_POSTS = ("rs274ngc", "iso6983")
#: Share of the jobs that are cut with several cutters.
_SEVERAL_CUTTERS = 0.15


@dataclass(frozen=True)
class Case:
    """The two files of a job, as tables."""

    seed: int
    job: Tables
    mill: Tables

    @property
    def job_text(self) -> str:
        """Text of the job's file."""
        return toml_text(self.job)

    @property
    def mill_text(self) -> str:
        """Text of the mill's file."""
        return toml_text(self.mill)

    def __str__(self) -> str:
        return f"# seed {self.seed}, job\n{self.job_text}\n# seed {self.seed}, mill\n{self.mill_text}"


def case(seed: int) -> Case:
    """Return the job and mill of a seed: the same ones on every machine."""
    random = Random(seed)
    drawn = block(random)
    post = random.choice(_POSTS)
    mill_tables = mill(random, drawn, post)
    lengths = Lengths(drawn.units, random)
    cut = drawn.tables["cut"]
    cut["spindle_rpm"] = random.choice(
        (500.0, 1000, 2000.0, 2000.0, 4000.0 if random.random() < 0.2 else 1000.0)
    )
    cut["feed"] = lengths.rate(random.uniform(60.0, 720.0))
    drawn.tables["tolerance"] = _tolerance(random, lengths, drawn, finer=post == "rs274ngc")
    if (several := Random(f"cutters of {seed}")).random() < _SEVERAL_CUTTERS:
        use_several(several, drawn.tables, mill_tables, lengths)
    return Case(seed, drawn.tables, mill_tables)


def _tolerance(random: Random, lengths: Lengths, drawn: Block, *, finer: bool) -> Tables:
    """Draw tolerances that can be kept with the decimals that the dialect has.

    The ends of a flat are rounded by half a step on both axes at the most, which turns it by up to √2 · step / side,
    and the angle to its neighbour by twice that.
    """
    rounding = 2.0 * math.sqrt(2.0) * lengths.step / drawn.shortest_side * (0.1 if finer else 1.0)
    degrees = max(random.choice((0.02, 0.1, 0.1, 0.5)), 1.2 * math.degrees(rounding))
    minutes = random.random() < 0.3 and degrees >= 0.1
    table: Tables = {"angle": f"0° {math.ceil(degrees * 60.0)}'" if minutes else round(degrees + 5e-6, 5)}
    return table | ({"size": lengths.written(lengths.rounded(0.1))} if random.random() < 0.5 else {})

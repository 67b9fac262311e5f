"""A job with a cutter of 10 mm, a mill with room for it, a box that stands in its way, and single motions.

The zero may be from 0 to 300, -300 to 0 and -150 to -10: for the upper half of that from -80. The box stands from 100
to 120 and from -160 to -140.
"""

from __future__ import annotations

import math
from pathlib import Path

from polypocket.model.files import load_job, load_mill
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill, ToolChange
from polypocket.model.surroundings import KeepOut
from polypocket.plan.extent import Extent, Extreme, Step
from polypocket.plan.region import Region, region_of
from polypocket.program import Feed, Move, Point

ROOT = Path(__file__).parents[2]
NAN = math.nan
Triple = tuple[float, float, float]

ABOVE_ALL = -20.0


def step(start: Triple, to: Triple, move: Move | None = None, cutter: int = 1) -> Step:
    return Step(start, to, move or Feed(Point(*to), 100.0), 1, "section 1", 1, "cut", cutter)


def extreme(at: float, x: float) -> Extreme:
    return Extreme(at, step((x, 0.0, 0.0), (x, 0.0, 0.0)))


ROOM = Extent(
    (extreme(0.0, 1.0), extreme(0.0, 2.0), extreme(-10.0, 3.0)),
    (extreme(0.0, 4.0), extreme(0.0, 5.0), extreme(10.0, 6.0)),
)


def gate_key() -> BlockJob:
    return load_job(ROOT / "fixtures" / "jobs" / "gate_key.toml")


def with_holder(job: BlockJob) -> BlockJob:
    (cutter,) = job.cutters
    return job.model_copy(update={"cutters": (cutter.model_copy(update={"holder_diameter": 40.0}),)})


def box(top: float = ABOVE_ALL, *, on_vise: bool = False, **sides: tuple[float, float]) -> KeepOut:
    where = {"x": (100.0, 120.0), "y": (-160.0, -140.0)} | sides
    return KeepOut(name="stop", x=where["x"], y=where["y"], z=(-160.0, top), on_vise=on_vise)


def mill_with(*things: KeepOut, rapid_path: str = "straight") -> Mill:
    mill = load_mill(ROOT / "fixtures" / "mills" / "short_table.toml")
    ends = {"x": (0.0, 300.0), "y": (-300.0, 0.0), "z": (-160.0, 0.0)}
    axes = {
        name: getattr(mill.axes, name).model_copy(update={"low": low, "high": high})
        for name, (low, high) in ends.items()
    }
    return mill.model_copy(
        update={
            "axes": mill.axes.model_copy(update=axes),
            "tool_change": ToolChange(),
            "column": None,
            "rapid_path": rapid_path,
            "keep_out": things,
        }
    )


def region(job: BlockJob, mill: Mill, *steps: Step, swivel: float = 0.0) -> Region:
    return region_of(ROOM, steps, job, mill, swivel)

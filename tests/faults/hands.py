"""Short jobs for mills on which a person does some of it, and mills for them: drawn, cut down to few passes.

The three kinds: ``height`` has Z set by hand and every other spindle started by hand; ``axis`` drives one of X and Y,
and Z or not; ``clampings`` drives what it moves, but not far enough for all of the block at once.
"""

from __future__ import annotations

import math
from random import Random

from shapely import Point, Polygon

from polypocket.model.files import job_of_text, mill_of_text
from polypocket.model.job import BlockJob, flats_left
from polypocket.model.mill import Axis, Mill
from tests.generation.by_hand import by_hand, for_a_sheet
from tests.generation.one_axis import with_settings

__all__ = ["HANDS", "SPEED", "drawn_for", "short"]

HANDS = ("height", "axis", "clampings")
#: Flats of a section at the most.
_MOST_SIDES = 6
#: A section that has more is a square instead, which is so wide against the stock at its narrowest.
_SQUARE = 0.7
#: Depths are whole steps of this, mm and in: so a person can set them.
_STEP = {"mm": 0.5, "inch": 0.02 * 25.4}
#: Turns a minute: all mills that are drawn have it.
SPEED = 1000.0


def drawn_for(hands: str, seed: int) -> tuple[BlockJob, Mill] | None:
    """Return the job and mill of a seed; nobody has looked yet whether the one can be made on the other.

    ``None`` where a plate holds the work that is to be turned, and where nothing is left to be cut.

    Raises:
        MistakesError: the files that were drawn are wrong.
    """
    random = Random(f"{hands} {seed}")
    drawn = by_hand(seed) if hands == "height" else for_a_sheet(seed)
    job = short(random, job_of_text(drawn.job_text, "job.toml"))
    mill = mill_of_text(drawn.mill_text, "mill.toml")
    if all(len(flats_left(job, section)) == section.sides for section in job.sections):
        return None
    if hands == "height":
        straight = job.clamping.model_copy(update={"swivel_settings": (0.0,)})
        return job.model_copy(update={"clamping": straight}), mill
    if job.clamping.grip == "plate":
        return None
    mill = mill.model_copy(update={"tool_change": mill.tool_change.model_copy(update={"automatic": False})})
    if hands == "axis":
        axis = random.choice("xy")
        return with_settings(job, axis), _driving(random, mill, axis)
    clamping = job.clamping.model_copy(update={"swivel_settings": (0.0, math.pi / 2.0)})
    return job.model_copy(update={"clamping": clamping}), _short_table(random, mill, job)


def short(random: Random, job: BlockJob) -> BlockJob:
    """Return a job with one section of few flats, at one depth or two, cut at ``SPEED``."""
    section = random.choice(job.sections)
    if section.sides > _MOST_SIDES:
        inside = Polygon(job.stock.outline().vertices).exterior.distance(Point(0.0, 0.0))
        width = round(2.0 * _SQUARE * inside / _STEP[job.units]) * _STEP[job.units]
        square = {"sides": 4, "across_flats": width, "from_stock": False}
        section = section.model_copy(update=square)
    step = _STEP[job.units]
    levels = random.choice((1, 1, 2))
    depth = max(levels, math.floor(section.depth / step / levels) * levels) * step
    stepdown = depth / levels if levels > 1 else None
    cutter = job.cutter(section.cutter)
    widest = cutter.path_radius
    cutter = cutter.cutting(stepdown=stepdown, stepover=widest, spindle_rpm=SPEED)
    return job.model_copy(
        update={"sections": (section.model_copy(update={"depth": depth}),), "cutters": (cutter,)}
    )


def _driving(random: Random, mill: Mill, axis: str) -> Mill:
    """Return a mill that drives one of X and Y, the spindle or not, and Z or not."""
    other = "y" if axis == "x" else "x"
    dial = {"dial_turn": 5.0, "dial_divisions": 200} if random.random() < 0.5 else {}
    axes = mill.axes.model_copy(
        update={
            other: _changed(getattr(mill.axes, other), driven=False, **dial),
            "z": _changed(mill.axes.z, driven=random.random() < 0.5),
        }
    )
    spindle = mill.spindle.model_copy(update={"controlled": random.random() < 0.5})
    return mill.model_copy(update={"axes": axes, "spindle": spindle})


def _short_table(random: Random, mill: Mill, job: BlockJob) -> Mill:
    """Return a mill whose Y does not go all round the work, the place of which is free."""
    reach = max(abs(y) for _, y in job.stock.largest_outline().vertices)
    y = _changed(mill.axes.y, low=0.0, high=2.0 * reach * random.uniform(0.9, 1.2))
    axes = mill.axes.model_copy(update={"y": y, "z": _changed(mill.axes.z, driven=random.random() < 0.5)})
    return mill.model_copy(update={"axes": axes, "work_offsets": {}})


def _changed(axis: Axis, **changes: object) -> Axis:
    return axis.model_copy(update=changes)

"""How long the planned programs take on a mill, beside two things to compare with.

``rings`` is a planner of contour-parallel rings (see ``rings.py``) on the same mill, with the same levels, leads and
model of time. ``ideal`` cuts full strips without a break: the volume that comes off ÷ (stepover · level height · feed)
+ the perimeter that is finished ÷ feed; nothing can be as quick. Stock is as large as it may be. One run prints all::

    python benchmarks/machine_time.py
"""

from __future__ import annotations

from itertools import groupby
from statistics import median

import shapely
from jobs import JOBS
from rings import rings_seconds

from polypocket.cutting.time import Kinematics
from polypocket.model.files import load_mill
from polypocket.model.fits import mistakes_on_mill
from polypocket.model.job import BlockJob, flats_left
from polypocket.plan import plan_block
from polypocket.plan.method import Method
from polypocket.plan.timing import items_seconds
from polypocket.program.items import Item, Pass
from polypocket.shape.swept import outline_area

MILLS = ("knee-mill-3-axis", "knee-mill-ballscrews")


def main() -> None:
    print(
        f"{'job':30} {'mill':22} {'passes':>6} {'ours s':>8} {'rings s':>8} {'ideal s':>8} {'/rings':>7} {'/ideal':>7}"
    )
    to_rings, to_ideal = [], []
    for entry in JOBS:
        job = entry.load()
        for name in MILLS:
            mill = load_mill(name)
            if wrong := mistakes_on_mill(job, mill):
                raise SystemExit(f"{entry.name} on {name}: {wrong}")
            items = plan_block(job, mill).setups[0].items
            ours = items_seconds(items, (0.0, 0.0, Method.of(job, mill).safe), Kinematics.of(mill))
            rings, ideal = rings_seconds(job, mill), ideal_seconds(job, items)
            to_rings.append(ours / rings)
            to_ideal.append(ours / ideal)
            passes = sum(isinstance(item, Pass) for item in items)
            print(
                f"{entry.name:30} {name:22} {passes:6} {ours:8.0f} {rings:8.0f} {ideal:8.0f}"
                f" {ours / rings:7.3f} {ours / ideal:7.3f}",
                flush=True,
            )
    print(f"ours / rings: median {median(to_rings):.3f}, worst {max(to_rings):.3f}")
    print(f"ours / ideal: median {median(to_ideal):.3f}, worst {max(to_ideal):.3f}")


def ideal_seconds(job: BlockJob, items: tuple[Item, ...]) -> float:
    """Return the seconds of full strips without a break, at the heights of the levels as they are cut."""
    rough = [item for item in items if isinstance(item, Pass) and item.role == "rough"]
    stock = shapely.Polygon(job.stock.largest_outline().vertices)
    sections = {f"section {i}": section for i, section in enumerate(job.sections, 1)}
    done: dict[str, float] = {}
    seconds = removed = 0.0
    for feature, passes in groupby(rough, key=lambda item: item.feature):
        section = sections[feature]
        stands = shapely.intersection_all(
            [stock, *(_left(job, name) for name in done if done[name] > section.depth)]
        )
        area = shapely.difference(stands, _left(job, feature)).area
        top = max((depth for depth in done.values() if depth < section.depth), default=0.0)
        levels = len({item.level for item in passes})
        seconds += area * levels / (job.cutters[0].cut.stepover * job.cutters[0].cut.feed / 60.0)
        removed += area * (section.depth - top)
        done[feature] = section.depth
    if abs(removed - _volume(job, stock)) > 1e-6 * removed:
        raise AssertionError(
            f"{job.name}: the passes take {removed} mm³ off, the part lacks {_volume(job, stock)}"
        )
    if job.cutters[0].cut.finish_allowance > 0.0:
        perimeter = sum(
            section.polygon().side * (section.sides - len(flats_left(job, section)))
            for section in job.sections
        )
        seconds += perimeter / (job.cutters[0].cut.feed / 60.0)
    return seconds


def _left(job: BlockJob, feature: str) -> shapely.Polygon:
    """Return what a section's cuts leave of the stock."""
    section = job.sections[int(feature.removeprefix("section ")) - 1]
    outline, polygon = job.stock.largest_outline(), section.polygon()
    for flat in set(range(1, section.sides + 1)) - flats_left(job, section):
        outline = outline.clip(polygon.direction(flat), polygon.inradius)
    return outline_area(outline)


def _volume(job: BlockJob, stock: shapely.Polygon) -> float:
    """Return the volume between the stock and the part, mm³."""
    volume = top = 0.0
    features = sorted(range(len(job.sections)), key=lambda i: job.sections[i].depth)
    for k, i in enumerate(features):
        left = shapely.intersection_all([_left(job, f"section {j + 1}") for j in features[k:]])
        volume += (stock.area - left.area) * (job.sections[i].depth - top)
        top = job.sections[i].depth
    return volume


if __name__ == "__main__":
    main()

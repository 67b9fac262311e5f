"""Whether the cutter or its holder meets what holds the work."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import shapely
from shapely.geometry.base import BaseGeometry

from polypocket.dryrun.context import Context
from polypocket.dryrun.findings import Fault
from polypocket.dryrun.motions import Motion
from polypocket.dryrun.overlay import common
from polypocket.dryrun.sweeps import Sweeper, share_below
from polypocket.dryrun.tiles import Bounds, apart
from polypocket.dryrun.tolerances import CONTACT, HEIGHT
from polypocket.lazily import kept_property
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.model.standing import vise_body
from polypocket.shape.swept import outline_area
from polypocket.units import shown

__all__ = ["Obstacle", "fixture_faults", "obstacles_of"]

#: Further than any table reaches, mm: how far jaws go outwards, and how wide they are where the mill has no
#: vise.
_FAR = 1e4


@dataclass(frozen=True)
class Obstacle:
    """A prism that nothing may enter, from ``high`` (mm from the stock's top) downwards.

    ``code`` is the finding's where it is not that of what holds the work.
    """

    name: str
    high: float
    area: BaseGeometry
    code: str | None = None

    @kept_property
    def bounds(self) -> Bounds:
        """Of the area, mm."""
        bounds: Bounds = self.area.bounds
        return bounds


def obstacles_of(job: BlockJob, mill: Mill, turn: float = 0.0) -> tuple[Obstacle, ...]:
    """Return what holds the work, the highest first: jaws and vise or clamps, and what it lies on.

    Jaws stand against the stock's nominal faces, the nearest that they can be; without a vise in the mill
    file nobody knows how wide they are, and they are taken to be wider than any. The vise's body is as high as
    their bed. Keep-outs on the vise belong to it. Clamps on a plate may be anywhere on the smallest section's top. All
    of it stands turned by ``turn`` radians.
    """
    nominal = outline_area(job.stock.outline())
    on_plate = job.clamping.grip == "plate"  # which nobody knows to end anywhere
    bed_area = (
        shapely.box(-_FAR, -_FAR, _FAR, _FAR) if on_plate else outline_area(job.stock.largest_outline())
    )
    bed = Obstacle("what the block lies on", -job.stock.thickness, bed_area)
    if job.clamping.grip == "vise":
        width = mill.vise.jaw_width if mill.vise else _FAR
        top = -(job.stock.thickness - job.clamping.held)
        jaws = (
            Obstacle("a vise jaw", top, area)
            for area in _jaws(nominal.bounds, width, job.clamping.jaws_along)
        )
        found = [bed, *jaws]
        body = vise_body(job, mill)
        if mill.vise is not None and body is not None:
            # Below the stock there is what it lies on, however high it is packed up.
            beside = outline_area(body).difference(bed.area)
            found.append(Obstacle("the vise's body", top - mill.vise.jaw_height, beside))
    elif job.clamping.clamp_height > 0.0:
        smallest = min(job.sections, key=lambda section: section.depth)
        found = [bed, Obstacle("a clamp", job.clamping.clamp_height, outline_area(smallest.outline()))]
    else:
        found = [bed]
    for each in mill.keep_out:
        if each.on_vise:
            area = shapely.box(each.x[0], each.y[0], each.x[1], each.y[1])
            found.append(Obstacle(f"the keep-out {shown(each.name)}", each.z[1], area, "keep-out"))
    if turn:
        from shapely.affinity import rotate  # late: most work stands straight

        found = [replace(each, area=rotate(each.area, turn, (0, 0), use_radians=True)) for each in found]
    for obstacle in found:
        shapely.prepare(obstacle.area)
    return tuple(sorted(found, key=lambda obstacle: -obstacle.high))


def fixture_faults(
    context: Context, obstacles: tuple[Obstacle, ...], motion: Motion, cutter: Sweeper, holder: Sweeper | None
) -> Iterator[Fault]:
    """Yield a fault for each obstacle that a motion enters with the cutter or the holder, if it has one.

    Args:
        context: program, mill and job.
        obstacles: the highest first.
        motion: with both ends known.
        cutter: what the cutter sweeps, its shank too, which is as thick above the flutes (common practice, no
            source).
        holder: likewise, where it comes low enough to matter.
    """
    yield from _entered(context, obstacles, motion, cutter, "the cutter", 0.0)
    if holder is not None:
        yield from _entered(
            context, obstacles, motion, holder, "the holder", context.job.cutter(motion.tool).stick_out
        )


def _entered(
    context: Context, obstacles: tuple[Obstacle, ...], motion: Motion, swept: Sweeper, body: str, base: float
) -> Iterator[Fault]:
    for obstacle in obstacles:
        share = share_below(motion, obstacle.high - base - HEIGHT)
        if share is None:
            break  # the others are no higher
        if apart(obstacle.bounds, swept.bounds):
            continue
        if swept.gap(obstacle.area) > -CONTACT / 2.0 or not obstacle.area.intersects(swept(share)):
            continue
        if common(obstacle.area, swept(share)).buffer(-CONTACT / 2.0).is_empty:
            continue
        yield context.fault(
            obstacle.code or ("holder-contact" if base else "fixture-contact"),
            motion.line,
            f"{body} goes into {obstacle.name}, whose top is at Z {context.text(obstacle.high)}, "
            f"with the tip at Z {context.text(motion.lowest)}",
            "let the cutter stand out further, or stay above it"
            if base
            else "hold less of the block, turn the jaws the other way, or stay above them",
            key=f"{body} {obstacle.name}",
            amount=obstacle.high - base - motion.lowest,
        )


def _jaws(
    bounds: tuple[float, float, float, float], width: float, along: str
) -> tuple[BaseGeometry, BaseGeometry]:
    low_x, low_y, high_x, high_y = bounds
    half = width / 2.0
    if along == "x":
        return shapely.box(-half, high_y, half, _FAR), shapely.box(-half, -_FAR, half, low_y)
    return shapely.box(high_x, -half, _FAR, half), shapely.box(-_FAR, -half, low_x, half)

"""The place of the work on the table: for each setting of the swivel base the region, and in it the best place."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.plan.block import program_of, stages_of
from polypocket.plan.extent import Extent, extent_of, steps_of
from polypocket.plan.region import Misfit, Region, bounds_of, misfits_of, region_of
from polypocket.plan.stage import Stage
from polypocket.plan.strokes import Stroke
from polypocket.units import MM_PER_INCH

__all__ = ["Place", "best_place", "middle_of", "place_at", "places_of"]

Triple = tuple[float, float, float]

#: How exactly the best place in a region is found, mm. No source: nobody sets a vise down to this.
_FINELY = 0.05
#: Margins that differ by less than this count as alike, mm. Common practice, no source.
_ALIKE = 0.5
#: Steps to which a place is rounded, so that it can be read off a dial: mm, and inches. No source.
_DIAL_MM, _DIAL_INCH = 0.1, 0.005


class Place(NamedTuple):
    """What one setting of the swivel base has to offer.

    Attributes:
        swivel: radians anticlockwise seen from above.
        stages: the plan at this setting, section by section.
        room: that it needs.
        region: where the zero may be; meaningless on a mill that is not homed.
        box: as the travel alone would have it.
        misfits: why there is no place.
        zero: the best place of the work zero, machine coordinates; ``None`` where there is none, or none is known.
        margin: by how much X or Y might still be off, mm; of the travel that is left where the mill is not homed;
            negative by how much is lacking where nothing fits.
    """

    swivel: float
    stages: tuple[Stage, ...]
    room: Extent
    region: Region
    box: Region
    misfits: tuple[Misfit, ...]
    zero: Triple | None
    margin: float

    @property
    def strokes(self) -> tuple[Stroke, ...]:
        """The plan stroke by stroke."""
        return tuple(stroke for stage in self.stages for stroke in stage.strokes)

    @property
    def fits(self) -> bool:
        """Whether there is a place."""
        return not self.misfits


def places_of(job: BlockJob, mill: Mill) -> Iterator[Place]:
    """Yield the place of each setting that a job allows; a zero that the mill file sets is not looked at."""
    free = mill.model_copy(update={"work_offsets": _others(mill)})
    for swivel in job.clamping.swivel_settings:
        yield place_at(job, free, swivel)


def place_at(job: BlockJob, mill: Mill, swivel: float, strokes: tuple[Stroke, ...] | None = None) -> Place:
    """Return what one setting has to offer; where the mill file sets a zero, the plan is the one for its height.

    ``strokes`` are those to find a place for, all with one cutter, if not all that the job has.
    """
    if strokes is None:
        stages = tuple(stages_of(job, mill, swivel))
        strokes = tuple(stroke for stage in stages for stroke in stage.strokes)
    else:
        stages = (Stage(job.cutters[0].number, strokes, 0.0),)
    program = program_of(job, mill, strokes, range(1, len(strokes) + 1), swivel)
    room = extent_of(program, {cutter.number: job.longer_by(cutter) for cutter in job.cutters})
    steps = list(steps_of(program)) if mill.keep_out else []
    region = region_of(room, steps, job, mill, swivel)
    box = bounds_of(room, job, mill, swivel)
    misfits = misfits_of(room, steps, region, job, mill, swivel)
    if not mill.homed:
        misfits = tuple(each for each in misfits if each.what in ("travel", "column", "on vise"))
    if misfits:
        return Place(swivel, stages, room, region, box, misfits, None, -max(each.over for each in misfits))
    if not mill.homed:
        spare = (axis.high - axis.low - room.need(i) for i, axis in enumerate((mill.axes.x, mill.axes.y)))
        return Place(swivel, stages, room, region, box, (), None, min(spare) / 2.0)
    zero, margin = _best(region, mill)
    return Place(swivel, stages, room, region, box, (), zero, margin)


def best_place(places: Iterator[Place] | tuple[Place, ...]) -> Place:
    """Return the place with the most margin; of those that are alike the one turned least, rather anticlockwise.

    Each turn of the vise is one more that can be misread, and a hair's breadth of margin is not worth it. Where the
    program fits goes before where it does not, however little is lacking there: beside a keep-out that is told as 0.
    """
    every = tuple(places)
    choice = tuple(place for place in every if place.fits) or every
    most = max(place.margin for place in choice)
    alike = (place for place in choice if most - place.margin < _ALIKE)
    return max(alike, key=lambda place: (-abs(place.swivel), place.swivel))


def middle_of(region: Region) -> Triple:
    """Return the middle of a region's box, which also shares out evenly what is lacking."""
    x, y, z = ((low + high) / 2.0 for low, high in zip(region.low, region.high, strict=True))
    return x, y, z


def _others(mill: Mill) -> dict[str, Triple]:
    return {word: zero for word, zero in mill.work_offsets.items() if word != mill.work_offset}


def _best(region: Region, mill: Mill) -> tuple[Triple, float]:
    """Return the zero furthest from everything in X and Y, and how far that is.

    In a box that is its middle. Elsewhere it is the middle of the largest circle that fits, or of several such
    places the one nearest to the middle of the box.
    """
    x, y, z = middle_of(region)
    if region.area is not None:
        import shapely

        z = region.low[2]
        inner = region.area
        if inner.area > 0.0:  # or else a line or a point: an axis has just the room that it needs
            circle = shapely.maximum_inscribed_circle(inner, tolerance=_FINELY)
            if circle.length > _FINELY:
                inner = inner.buffer(_FINELY - circle.length)
        x, y = shapely.shortest_line(inner, shapely.Point(x, y)).coords[0]
    rounded = tuple(_on_a_dial(value, mill) for value in (x, y))
    for at in (rounded, (x, y)):
        zero = (at[0], at[1], z)
        if region.holds(zero):
            return zero, _margin(region, zero)
    return (x, y, z), 0.0


def _on_a_dial(value: float, mill: Mill) -> float:
    step = _DIAL_MM if mill.units == "mm" else _DIAL_INCH * MM_PER_INCH
    return round(round(value / step) * step, 6)


def _margin(region: Region, zero: Triple) -> float:
    """Return how far a zero is from the edge of its region in X and Y, mm."""
    ends = zip(zero[:2], region.low[:2], region.high[:2], strict=True)
    margin = min(min(at - low, high - at) for at, low, high in ends)
    if region.area is None:
        return margin
    import shapely

    return min(margin, float(region.area.boundary.distance(shapely.Point(zero[:2]))))

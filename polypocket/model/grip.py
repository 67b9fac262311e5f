"""How well the vise holds the stock: what it needs of the jaws, and where a person should think twice."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, NamedTuple

from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.model.standing import faces_jaws, parallels
from polypocket.units import Units, format_length

__all__ = ["Grip", "grip_of", "swivel_base_needed"]

#: What stands above the jaws may be at most so many times what is held. Common practice, no source.
_HIGHEST: Final = 3.0
#: What sticks out at each end of the jaws may be at most this share of the stock's length. Common practice, no source.
_FURTHEST: Final = 0.25
#: Parallels lower than this are hard to come by, mm. Common practice, no source.
_LOWEST_PARALLELS: Final = 3.0
#: Smaller lengths are rounding, mm.
_ROUNDING: Final = 1e-6


class Grip(NamedTuple):
    """A stock in a vise; lengths mm.

    Attributes:
        across: the stock's size between the jaws at the most, and ``opening``: how far they open.
        faces: whether a face of the stock lies on each jaw; round stock has none.
        held: of the thickness in the jaws, whose depth is ``jaw_height``.
        parallels: how high the stock is packed up.
        above: how much stands above the jaws.
        length: of the stock along the jaws.
        overhang: how far it sticks out at each end of the jaws; negative where the jaws are longer.
        floor: of the deepest cut, above the jaws.
        under: what is left below the deepest cut: nothing goes through to parallels and bed while it is more than 0.
        cautions: what a person should think about.
    """

    across: float
    opening: float
    faces: bool
    held: float
    jaw_height: float
    parallels: float
    above: float
    length: float
    overhang: float
    floor: float
    under: float
    cautions: tuple[str, ...]


def grip_of(job: BlockJob, mill: Mill) -> Grip | None:
    """Return how the vise holds a job's stock; ``None`` where there is no vise. The two fit each other."""
    if mill.vise is None or job.clamping.grip != "vise":
        return None
    along_x = job.clamping.jaws_along == "x"
    low_x, low_y, high_x, high_y = job.stock.outline().extents()
    size_x, size_y = high_x - low_x, high_y - low_y
    if job.stock.diameter is not None:
        size_x = size_y = job.stock.diameter
    deepest = max(section.depth for section in job.sections)
    above = job.stock.thickness - job.clamping.held
    length = (size_x if along_x else size_y) + job.stock.oversize
    grip = Grip(
        across=(size_y if along_x else size_x) + job.stock.oversize,
        opening=mill.vise.opening,
        faces=faces_jaws(job),
        held=job.clamping.held,
        jaw_height=mill.vise.jaw_height,
        parallels=parallels(job, mill),
        above=above,
        length=length,
        overhang=(length - mill.vise.jaw_width) / 2.0,
        floor=above - deepest,
        under=job.stock.thickness - deepest,
        cautions=(),
    )
    return grip._replace(cautions=tuple(_cautions(grip, job)))


def swivel_base_needed(mill: Mill, fits_at_0: bool, units: Units) -> str | None:
    """Return what to say of a swivel base that nothing is gained by; ``None`` where there is none, or it is needed.

    Lengths are told in ``units``.
    Where X and Y are both driven, a flat in any direction is cut without turning the work.
    """
    vise = mill.vise
    driven = mill.axes.x.driven and mill.axes.y.driven and mill.axes.z.driven
    if vise is None or not vise.swivel_base or not driven or not fits_at_0:
        return None
    lower = f" {format_length(vise.swivel_height, units)}" if vise.swivel_height else ""
    return (
        "Without the swivel base: all axes are driven and every flat is reached with the vise at 0°, so bolt the vise "
        f"straight to the table if you can: it stands{lower} lower and stiffer (then measure its body anew)"
    )


def _cautions(grip: Grip, job: BlockJob) -> Iterator[str]:
    def length(mm: float) -> str:
        return format_length(mm, job.units)

    if not grip.faces:
        yield (
            "the stock has no two faces for the jaws and touches each along a line only: hold it in jaws bored to its "
            "size or in V-blocks, and cut lightly"
        )
    if grip.above > _HIGHEST * grip.held + _ROUNDING:
        times = grip.above / grip.held
        yield f"{length(grip.above)} stand above the jaws, {times:.1f} times what is held: hold more, or cut lightly"
    if grip.overhang > _FURTHEST * grip.length + _ROUNDING:
        yield f"{length(grip.overhang)} stick out at each end of the jaws: support the ends, or turn the stock"
    if _ROUNDING < grip.parallels < _LOWEST_PARALLELS:
        yield f"parallels of {length(grip.parallels)} are hard to come by: hold less or more of the stock"
    if grip.under <= _ROUNDING:
        yield "a cut goes through the stock: keep parallels out from under it, and the bed free"

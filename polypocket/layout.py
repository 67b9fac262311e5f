"""What a person scribes on the stock: a block's layout in the lengths that shop tools are set to."""

from __future__ import annotations

import math
from dataclasses import dataclass

from polypocket.model.job import BlockJob, Section
from polypocket.shape.outline import Outline

__all__ = ["Corner", "Mark", "SectionLayout", "layout_of"]

#: A face square to an axis: the stock can stand on it under a height gauge. Radians; files give degrees to less.
_SQUARE_TO_AXIS = 1e-6
#: Marks nearer than this to the end of a face fall on the stock's own corner, mm.
_ON_CORNER = 1e-6


@dataclass(frozen=True, slots=True)
class Corner:
    """A corner of a section; lengths mm.

    Attributes:
        after_flat: it lies between this flat and the next one anticlockwise.
        x, y: from the block's centre.
        above_x_face: the height gauge's reading when the stock stands on its −X face; ``None`` where it cannot.
        above_y_face: the same on its −Y face.
    """

    after_flat: int
    x: float
    y: float
    above_x_face: float | None
    above_y_face: float | None


@dataclass(frozen=True, slots=True)
class Mark:
    """Where a flat's line meets a face of square or rectangular stock.

    Attributes:
        flat: its number.
        face: of the stock, such as ``+X``.
        corner: the nearer end of that face, named by the face beyond it, such as ``-Y``.
        distance: from that end, mm.
    """

    flat: int
    face: str
    corner: str
    distance: float


@dataclass(frozen=True, slots=True)
class SectionLayout:
    """A section as it is laid out; lengths mm.

    Attributes:
        section: its number in the job, from 1.
        sides: how many flats.
        across_flats: twice the distance from the centre to a flat; on even counts the micrometer's reading.
        across_corners: twice the distance from the centre to a corner.
        flat_to_corner: on odd counts the micrometer's reading; ``None`` on even ones.
        side: length of a flat, and the setting of dividers that step round the circle through the corners.
        depth: of its floor below the stock's top.
        corners: anticlockwise, the first after flat 1.
        marks: where flats' lines meet the faces of square or rectangular stock.
    """

    section: int
    sides: int
    across_flats: float
    across_corners: float
    flat_to_corner: float | None
    side: float
    depth: float
    corners: tuple[Corner, ...]
    marks: tuple[Mark, ...]


def layout_of(job: BlockJob) -> tuple[SectionLayout, ...]:
    """Return the layout of each section, in the order of the job, on stock of its nominal size."""
    return tuple(_section(job, number, section) for number, section in enumerate(job.sections, start=1))


def _section(job: BlockJob, number: int, section: Section) -> SectionLayout:
    polygon = section.polygon()
    stock = job.stock.outline()
    # The outline of round stock is a polygon round the circle; a height gauge stands beside the circle itself.
    low_x, low_y = (-job.stock.diameter / 2.0,) * 2 if job.stock.diameter else stock.extents()[:2]
    stands_on_x, stands_on_y = _stands(job, math.pi), _stands(job, -math.pi / 2.0)
    return SectionLayout(
        section=number,
        sides=polygon.sides,
        across_flats=polygon.across_flats,
        across_corners=polygon.across_corners,
        flat_to_corner=polygon.flat_to_corner if polygon.sides % 2 else None,
        side=polygon.side,
        depth=section.depth,
        corners=tuple(
            Corner(flat, x, y, x - low_x if stands_on_x else None, y - low_y if stands_on_y else None)
            for flat, (x, y) in enumerate(polygon.vertices(), start=1)
        ),
        marks=_marks(job, section, stock),
    )


def _stands(job: BlockJob, direction: float) -> bool:
    """Whether the stock can stand with this direction downwards: on a face, or on its round."""
    if job.stock.shape == "round":
        return True
    return any(
        abs(math.remainder(face - direction, math.tau)) < _SQUARE_TO_AXIS for face, _ in job.stock.faces()
    )


def _marks(job: BlockJob, section: Section, stock: Outline) -> tuple[Mark, ...]:
    if job.stock.shape not in ("square", "rectangle"):
        return ()
    polygon = section.polygon()
    _, _, half_x, half_y = stock.extents()
    marks = []
    for flat in range(1, polygon.sides + 1):
        c, s = math.cos(polygon.direction(flat)), math.sin(polygon.direction(flat))
        for axis, (normal, along, half, reach) in enumerate(((c, s, half_x, half_y), (s, c, half_y, half_x))):
            if abs(along) < _SQUARE_TO_AXIS:
                continue  # the flat is parallel to these faces
            for sign in (1.0, -1.0):
                where = (polygon.inradius - sign * half * normal) / along
                if abs(where) < reach - _ON_CORNER:
                    corner = _named(1 - axis, where)
                    marks.append(Mark(flat, _named(axis, sign), corner, reach - abs(where)))
    return tuple(marks)


def _named(axis: int, sign: float) -> str:
    return f"{'+' if sign >= 0.0 else '-'}{'XY'[axis]}"

"""How the work is held, as who stands before the mill sees it: from above, and across the jaws."""

from __future__ import annotations

import math
from collections.abc import Iterator

from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.model.standing import vise_body
from polypocket.shape.outline import Outline
from polypocket.sheet.dimension import arrowhead, linear
from polypocket.sheet.hatching import hatched
from polypocket.sheet.ink import Circle, Drawing, Item, LineKind, Path, Place, Point, Text
from polypocket.sheet.outlines import reach, stock_item
from polypocket.sheet.sizes import size_text

__all__ = ["clamping_drawings", "parallels_height"]

#: Room of each view, mm on paper.
_WIDTH, _HEIGHT = 64.0, 50.0
#: How thick jaws and parallels are drawn, mm; the mill file does not tell. Common practice, no source.
_JAW, _PARALLEL = 25.0, 8.0
#: The axes go past all that is seen from above by so much, mm on paper.
_PAST = 5.0


def parallels_height(job: BlockJob, mill: Mill) -> float | None:
    """Return how high parallels hold the stock above the bed of the vise, mm; ``None`` where nobody knows."""
    if job.clamping.grip != "vise" or mill.vise is None:
        return None
    return mill.vise.jaw_height - job.clamping.held


def clamping_drawings(job: BlockJob, mill: Mill, swivel: float = 0.0) -> tuple[Drawing, Drawing]:
    """Return two views: from above, the operator below, and across the jaws or along Y. Neither is to scale.

    ``swivel`` is the setting of the vise's swivel base, which turns all but the axes (radians anticlockwise).
    """
    across = _across(job, mill, turned=bool(swivel))
    return (
        Drawing(f"{job.name}: clamping from above, you stand below", tuple(_from_above(job, mill, swivel))),
        Drawing(f"{job.name}: clamping from the side", tuple(across)),
    )


def _from_above(job: BlockJob, mill: Mill, swivel: float) -> Iterator[Item]:
    jaws = [jaw.turned(swivel) for jaw in _jaws(job, mill)]
    body = vise_body(job, mill)
    body = body.turned(swivel) if body else None
    stock = job.stock.outline().turned(swivel)
    extents = [each.extents() for each in (*jaws, stock, *([body] if body else []))]
    width = 2.0 * max(max(-box[0], box[2]) for box in extents)
    height = 2.0 * max(max(-box[1], box[3]) for box in extents)
    place = Place(min(_WIDTH / width, _HEIGHT / height))
    if body is not None:
        yield Path(LineKind.FINE, place.all(body.vertices), closed=True, mark="vise body")
    for jaw in jaws:
        ring = place.all(jaw.vertices)
        yield from hatched([ring], 1.6)
        yield Path(LineKind.VISIBLE, ring, closed=True, mark="jaw")
    if job.stock.diameter is not None:
        yield stock_item(job.stock, place, LineKind.VISIBLE)
    else:
        yield Path(LineKind.VISIBLE, place.all(stock.vertices), closed=True, mark="stock")
    for section in job.sections:
        corners = section.polygon().turned(swivel).vertices()
        yield Path(LineKind.BEFORE, place.all(corners), closed=True)
    yield from _zero((0.0, 0.0))
    # The axes go past everything, so that their names stand on white and not on jaws and stock.
    yield from _axis((0.0, 0.0), 0.0, place.scale * width / 2.0 + _PAST, "X+")
    yield from _axis((0.0, 0.0), 90.0, place.scale * height / 2.0 + _PAST, "Y+")
    low = -place.scale * height / 2.0
    yield from _operator((0.0, low - 4.0))


def _across(job: BlockJob, mill: Mill, *, turned: bool) -> Iterator[Item]:
    """Yield the view along the jaws, seen from +X where they run along X, else from where the operator stands.

    What is at the left is then the operator's side, or -X.
    """
    along_x = job.clamping.jaws_along == "x" and job.clamping.grip == "vise"
    half = reach(job.stock)[1 if along_x else 0]
    thickness, held = job.stock.thickness, job.clamping.held
    vise = mill.vise if job.clamping.grip == "vise" else None
    jaw_height = vise.jaw_height if vise else max(held, 0.3 * thickness)
    bed = -thickness - (jaw_height - held if job.clamping.grip == "vise" else 0.0)
    width = 2.0 * (half + (_JAW if job.clamping.grip == "vise" else 0.3 * half))
    place = Place(min(_WIDTH / width, _HEIGHT / -bed))
    yield from _profile(job, place, along_x=along_x)
    right = place((half, 0.0))[0]
    top, bottom = place((0.0, 0.0))[1], place((0.0, -thickness))[1]
    units = job.units
    if job.clamping.grip == "vise":
        jaw_top = -(thickness - held)
        for sign in (-1.0, 1.0):
            x0, x1 = sorted((sign * half, sign * (half + _JAW)))
            ring = place.all(((x0, bed), (x1, bed), (x1, jaw_top), (x0, jaw_top)))
            yield from hatched([ring], 1.6)
            yield Path(LineKind.VISIBLE, ring, closed=True, mark="jaw")
        out = place((half + _JAW, 0.0))[0]
        jaw = place((half + _JAW, jaw_top))
        yield from linear((right, top), jaw, 90.0, -(out + 6.0), size_text(-jaw_top, units), "above the jaws")
        left = place((-half, 0.0))[0]
        outer = place((-half - _JAW, jaw_top))
        yield from linear((left, bottom), outer, 90.0, 6.0 - outer[0], size_text(held, units), "held")
        height = parallels_height(job, mill)
        if height is not None and height > 0.0:
            for sign in (-1.0, 1.0):
                x0, x1 = sorted((sign * (half - 1.0), sign * (half - 1.0 - min(_PARALLEL, half / 2.0))))
                yield Path(
                    LineKind.VISIBLE,
                    place.all(((x0, bed), (x1, bed), (x1, -thickness), (x0, -thickness))),
                    closed=True,
                    mark="parallel",
                )
            base = place((-half - _JAW, bed))
            yield from linear(
                base, (left, bottom), 90.0, 12.0 - outer[0], size_text(height, units), "parallels"
            )
        wide = half + _JAW
    else:
        wide = 1.3 * half
        if job.clamping.clamp_height > 0.0:
            high = place((half, job.clamping.clamp_height))
            yield Path(LineKind.BEFORE, ((-high[0], high[1]), high), mark="clamps at most")
            yield from linear(
                (right, top),
                high,
                90.0,
                -(right + 8.0),
                size_text(job.clamping.clamp_height, units),
                "clamps",
            )
    floor = place((wide, bed))
    yield Path(LineKind.VISIBLE, ((-floor[0], floor[1]), floor))
    ground = ((-floor[0], floor[1]), floor, (floor[0], floor[1] - 2.2), (-floor[0], floor[1] - 2.2))
    yield from hatched([ground], 1.6, -45.0)
    yield from _zero((0.0, top))
    yield from _axis((0.0, top), 90.0, 9.0, "Z+")
    if not turned:
        yield from _axis((0.0, top), 0.0, 9.0, "Y+" if along_x else "X+", above=True)


def _profile(job: BlockJob, place: Place, *, along_x: bool) -> Iterator[Item]:
    """Yield the stock with what is to become of it inside."""
    half = reach(job.stock)[1 if along_x else 0]
    low = -job.stock.thickness
    ring = ((-half, low), (half, low), (half, 0.0), (-half, 0.0))
    yield Path(LineKind.VISIBLE, place.all(ring), closed=True, mark="stock")
    for section in job.sections:
        outline = section.outline()
        left, _, right, _ = outline.extents()
        if along_x:
            _, left, _, right = outline.extents()
        corners = ((left, 0.0), (left, -section.depth), (right, -section.depth), (right, 0.0))
        yield Path(LineKind.BEFORE, place.all(corners))


def _jaws(job: BlockJob, mill: Mill) -> tuple[Outline, ...]:
    """Return the plan of the two jaws, the swivel base at 0; none on a plate. Unknown ones are as wide as the stock."""
    if job.clamping.grip != "vise":
        return ()
    half_x, half_y = reach(job.stock)
    if job.clamping.jaws_along == "x":
        half = mill.vise.jaw_width / 2.0 if mill.vise else half_x
        return _box(-half, half_y, half, half_y + _JAW), _box(-half, -half_y - _JAW, half, -half_y)
    half = mill.vise.jaw_width / 2.0 if mill.vise else half_y
    return _box(half_x, -half, half_x + _JAW, half), _box(-half_x - _JAW, -half, -half_x, half)


def _box(left: float, low: float, right: float, high: float) -> Outline:
    return Outline(((left, low), (right, low), (right, high), (left, high)))


def _zero(at: Point) -> Iterator[Item]:
    """Yield the sign of the work zero: a circle in quarters."""
    x, y = at
    radius = 2.0
    for begin in (0, 2):
        arc = [math.radians(90.0 * begin + 9.0 * step) for step in range(11)]
        points = ((x, y), *((x + radius * math.cos(a), y + radius * math.sin(a)) for a in arc))
        yield Path(LineKind.SOLID, points, closed=True)
    yield Circle(LineKind.NARROW, at, radius, "work zero")


def _axis(at: Point, angle: float, length: float, name: str, *, above: bool = False) -> Iterator[Item]:
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    tip = at[0] + length * c, at[1] + length * s
    yield Path(LineKind.NARROW, ((at[0] + 2.0 * c, at[1] + 2.0 * s), tip))
    yield arrowhead(tip, angle)
    # Ahead of an axis that ends on white, and above one that runs along the stock's top.
    beside = (tip[0] - 1.5, tip[1] + 1.2) if above else (tip[0] + 1.0, tip[1] - 1.25)
    if angle == 90.0:
        beside = tip[0] + 1.2, tip[1] - 2.0
    yield Text(beside, name, 2.5, "start", bold=True)


def _operator(at: Point) -> Iterator[Item]:
    """Yield where the person stands: a mark, and words."""
    x, y = at
    yield Path(LineKind.NARROW, ((x - 3.0, y - 3.5), (x, y), (x + 3.0, y - 3.5)), mark="operator")
    yield Text((x, y - 7.0), "you stand here", 2.5)

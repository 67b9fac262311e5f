"""Cuts: strokes of the cutter in the plane of a level.

A cut is conventional and goes anticlockwise round the part; ``mirrored`` turns it into a climb cut, since a mirror
exchanges left and right.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from polypocket.plan.clearances import LEAST_GAP, OVERRUN, SIDE
from polypocket.shape.outline import Outline
from polypocket.shape.stroke import Line, clear_of, first_contact, first_contacts

__all__ = ["Cut", "Stretch", "beginning", "cut_along", "mirror_outline", "mirrored"]

Pair = tuple[float, float]


class Stretch(NamedTuple):
    """One piece of a cut's path: straight to ``to``, or an arc about ``centre`` in the cut's sense of rotation."""

    to: Pair
    centre: Pair | None = None


@dataclass(frozen=True, slots=True)
class Cut:
    """One stroke at one height. Positions are of the cutter's centre, X and Y in mm.

    Attributes:
        flats: numbers of the flats that it runs along, in order.
        index: which strip of its (first) flat, from 1 outermost.
        lines: the line that each flat's material is cut back to.
        contact: where it first meets material.
        path: from contact to where the last material is behind the cutter.
        leave: clear of the material again.
        anticlockwise: sense in which it goes round the part.
        before: what stood at this height before it.
        after: what stands after it.
    """

    flats: tuple[int, ...]
    index: int
    lines: tuple[Line, ...]
    contact: Pair
    path: tuple[Stretch, ...]
    leave: Pair
    anticlockwise: bool
    before: Outline
    after: Outline


def cut_along(
    flat: int, index: int, line: Line, outline: Outline, radius: float, beside: float = SIDE
) -> Cut:
    """Return the cut that takes all of ``outline`` beyond ``line`` off, as short as there is material for it.

    At its end the cutter goes ``beside`` mm on and as much away from the line.
    """
    contact = first_contact(outline, line, radius)
    end = max(contact, clear_of(outline, line, radius)) + OVERRUN
    return Cut(
        flats=(flat,),
        index=index,
        lines=(line,),
        contact=line.point(contact, radius),
        path=(Stretch(line.point(end, radius)),),
        leave=line.point(end + beside, radius + beside),
        anticlockwise=True,
        before=outline,
        after=outline.clip(line.direction, line.distance),
    )


def beginning(cut: Cut, radius: float, beside: float = SIDE) -> tuple[Pair, Pair]:
    """Return two points on the first line's path: where a cut may be approached, and where the feed begins.

    At the first the cutter is clear of all material by ``beside`` mm, at the second by ``LEAST_GAP``, and ``beside``
    away from first contact along the path.
    """
    if not cut.anticlockwise:
        approach, start = beginning(mirrored(cut), radius, beside)
        return _flip(approach), _flip(start)
    line = cut.lines[0]
    near, clear = first_contacts(cut.before, line, radius, (LEAST_GAP, beside))
    u = min(line.along(cut.contact) - beside, near)
    further = min(u, clear)
    return line.point(further, radius), line.point(u, radius)


def mirror_outline(outline: Outline) -> Outline:
    """Mirror an outline about the X axis; it runs anticlockwise again."""
    return Outline(tuple((x, -y) for x, y in reversed(outline.vertices)))


def mirrored(cut: Cut) -> Cut:
    """Mirror a cut about the X axis: it then goes round the other way, with the material on the other side.

    Flats bear the negatives of their numbers in the mirror, so that there too they count up anticlockwise.
    """
    return Cut(
        flats=tuple(-flat for flat in cut.flats),
        index=cut.index,
        lines=tuple(Line(-line.direction, line.distance) for line in cut.lines),
        contact=_flip(cut.contact),
        path=tuple(Stretch(_flip(s.to), _flip(s.centre) if s.centre else None) for s in cut.path),
        leave=_flip(cut.leave),
        anticlockwise=not cut.anticlockwise,
        before=mirror_outline(cut.before),
        after=mirror_outline(cut.after),
    )


def _flip(point: Pair) -> Pair:
    return point[0], -point[1]

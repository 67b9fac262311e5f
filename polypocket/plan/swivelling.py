"""Which settings of the swivel base bring which flats parallel to an axis of the table: the fewest that do for all."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple, TypeVar

from polypocket.errors import InputError
from polypocket.model.settings import degrees_text
from polypocket.shape.polygon import RegularPolygon

__all__ = ["AtSetting", "facing_of", "fewest_settings", "in_a_row", "settings_for"]

#: A flat's number, or a section's and a flat's.
T = TypeVar("T", bound=int | tuple[int, int])

_QUARTER = math.pi / 2.0
#: Angles nearer than this are one, radians.
_SAME = 1e-9


class AtSetting(NamedTuple):
    """A setting and what is cut at it.

    Attributes:
        angle: of the swivel base, radians anticlockwise seen from above.
        faces: for each flat, where it faces on the table: quarter turns anticlockwise from +X.
    """

    angle: float
    faces: Mapping[int, int]

    def along(self, axis: str) -> int:
        """Return how many of its flats run along an axis, ``x`` or ``y``: those along X face towards Y."""
        return sum((quarter % 2 == 1) == (axis == "x") for quarter in self.faces.values())


def settings_for(
    polygon: RegularPolygon, flats: Sequence[int], allowed: Sequence[float], error: float, powered: str
) -> tuple[AtSetting, ...]:
    """Return the fewest settings at which all flats can be cut along an axis.

    Of as many settings those are taken that are most exact, of these the ones at which most flats run along axes with a
    power feed, and of these the ones nearest to 0.

    Args:
        polygon: the section.
        flats: numbers of the flats to be cut.
        allowed: settings that the swivel base may have, radians.
        error: by which a flat may be out of parallel, radians.
        powered: the axes with a power feed, such as ``x``.

    Raises:
        InputError: no setting does for one of the flats.
    """
    choices = [AtSetting(angle, facing_of(polygon, flats, angle, error)) for angle in allowed]
    for flat in flats:
        if not any(flat in choice.faces for choice in choices):
            wanted = sorted(
                (
                    math.remainder(quarter * _QUARTER - polygon.direction(flat), math.tau)
                    for quarter in range(4)
                ),
                key=lambda angle: (abs(angle), -angle),
            )
            raise InputError(
                f"clamping.swivel_settings: none brings flat {flat} of {polygon.sides} parallel to an axis of the "
                "table; "
                f"allow {' or '.join(f'{degrees_text(angle)}°' for angle in wanted)}"
            )

    def worth(choice: AtSetting) -> tuple[float, int, float, float]:
        out = max(_out(polygon, flat, choice) for flat in choice.faces)
        power = sum(choice.along(axis) for axis in powered)
        return round(out, 6), -power, abs(choice.angle), choice.angle

    best: dict[frozenset[int], AtSetting] = {}
    for choice in sorted((each for each in choices if each.faces), key=worth):
        best.setdefault(frozenset(choice.faces), choice)
    chosen = fewest_settings(frozenset(flats), list(best))
    taken: set[int] = set()
    result = []
    for cover in chosen:
        faces = {flat: quarter for flat, quarter in best[cover].faces.items() if flat not in taken}
        taken |= faces.keys()
        result.append(AtSetting(best[cover].angle, faces))
    return tuple(result)


def _out(polygon: RegularPolygon, flat: int, at: AtSetting) -> float:
    """Return by how much a flat is out of parallel at a setting, radians."""
    return abs(math.remainder(polygon.direction(flat) + at.angle, _QUARTER))


def facing_of(polygon: RegularPolygon, flats: Iterable[int], angle: float, error: float) -> dict[int, int]:
    """Return the flats that a setting brings parallel to an axis, and where each faces: quarter turns from +X."""
    faces = {}
    for flat in flats:
        facing = polygon.direction(flat) + angle
        quarter = round(facing / _QUARTER)
        if abs(facing - quarter * _QUARTER) <= error + _SAME:
            faces[flat] = quarter % 4
    return faces


def fewest_settings(wanted: frozenset[T], covers: Sequence[frozenset[T]]) -> tuple[frozenset[T], ...]:
    """Return the fewest covers that have all that is wanted between them, the earlier ones in the list preferred.

    Exact: what is wanted and in the fewest covers comes first, and each of these is tried; one more cover is allowed
    only where so few will not do.

    Raises:
        ValueError: all of them together do not.
    """
    if not wanted <= frozenset[T]().union(*covers):
        raise ValueError("what is wanted is in no cover")

    for allowed in range(len(covers) + 1):
        found = _within(wanted, covers, allowed)
        if found is not None:
            return tuple(found)
    raise AssertionError("all covers together were tried")


def _within(left: frozenset[T], covers: Sequence[frozenset[T]], allowed: int) -> list[frozenset[T]] | None:
    """Return at most so many covers that have all that is left between them, ``None`` where there are none."""
    if not left:
        return []
    if not allowed:
        return None
    rarest = min(left, key=lambda each: (sum(each in cover for cover in covers), each))
    for cover in covers:
        if rarest in cover:
            others = _within(left - cover, covers, allowed - 1)
            if others is not None:
                return [cover, *others]
    return None


def in_a_row(visits: Sequence[Sequence[AtSetting]]) -> list[list[AtSetting]]:
    """Return visits with their settings in the order in which the swivel base is turned the fewest times.

    What one visit ends with the next may begin with; inside a visit, which has one setting at least, any order will do.
    """
    # For each setting with which a visit can end: how often the base has stayed, and the orders of the visits.
    ends: dict[float | None, tuple[int, list[list[AtSetting]]]] = {None: (0, [])}
    for visit in visits:
        following: dict[float | None, tuple[int, list[list[AtSetting]]]] = {}
        for before, (stays, orders) in ends.items():
            for first in visit:
                for last in visit:
                    if (first is last) != (len(visit) == 1):
                        continue
                    middle = [each for each in visit if each is not first and each is not last]
                    order = [first, *middle, *([last] if last is not first else [])]
                    count = stays + (before is not None and abs(first.angle - before) < _SAME)
                    if last.angle not in following or count > following[last.angle][0]:
                        following[last.angle] = count, [*orders, order]
        ends = following
    return max(ends.values(), key=lambda end: end[0])[1]

"""What is known of a section as cut; apart from how it is measured, which takes the geometry."""

from __future__ import annotations

from typing import NamedTuple

__all__ = ["AsCut"]


class AsCut(NamedTuple):
    """One section as the program cuts it from stock of nominal size.

    Attributes:
        feature: such as ``section 1``.
        sides: how many flats it should have.
        across_flats: for each flat from 1, twice the distance from the centre to it, mm; ``None`` where
            none is found.
        normals: where each faces, radians anticlockwise from +X, not reduced: flat by flat near the nominal
            direction; ``None`` where none is found.
        not_cut: numbers of the flats that are left as the stock had them.
        worst_angle_error: largest error of the angle between neighbouring normals, radians; ``None`` where
            unknown.
    """

    feature: str
    sides: int
    across_flats: tuple[float | None, ...]
    normals: tuple[float | None, ...]
    not_cut: tuple[int, ...]
    worst_angle_error: float | None

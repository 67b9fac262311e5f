"""Regular polygons and the lengths that determine one another in them."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from polypocket.shape.outline import Outline

__all__ = ["RegularPolygon"]


@dataclass(frozen=True, slots=True)
class RegularPolygon:
    """A regular polygon centred on the origin.

    Relations between its lengths: Machinery's Handbook, 31st ed., p. 82.

    Attributes:
        sides: at least 3.
        inradius: from the centre to a flat, mm; half of ``across_flats``.
        first_flat: direction in which flat 1 faces, radians anticlockwise from +X; the others follow anticlockwise.

    Raises:
        ValueError: fewer than three sides, or an inradius that is not positive.
    """

    sides: int
    inradius: float
    first_flat: float = 0.0

    def __post_init__(self) -> None:
        if self.sides < 3:
            raise ValueError(f"a polygon has at least 3 sides, not {self.sides}")
        if not self.inradius > 0.0:
            raise ValueError(f"the distance from centre to flat is positive, not {self.inradius}")

    @classmethod
    def from_across_flats(cls, sides: int, across_flats: float, first_flat: float = 0.0) -> RegularPolygon:
        """Make one from twice the distance from centre to flat, mm (for odd counts no two flats are opposite)."""
        return cls(sides, across_flats / 2.0, first_flat)

    @classmethod
    def from_flat_to_corner(
        cls, sides: int, flat_to_corner: float, first_flat: float = 0.0
    ) -> RegularPolygon:
        """Make one from the distance between a flat and the corner opposite, mm: what a micrometer reads on odd counts.

        Raises:
            ValueError: an even count, where a flat is opposite a flat.
        """
        if sides % 2 == 0:
            raise ValueError(
                f"flat to corner is measured on odd counts; {sides} sides have flats opposite flats"
            )
        return cls(sides, flat_to_corner / (1.0 + 1.0 / math.cos(math.pi / sides)), first_flat)

    @property
    def step(self) -> float:
        """Angle between neighbouring flats' normals, radians."""
        return 2.0 * math.pi / self.sides

    @property
    def across_flats(self) -> float:
        """Twice the inradius, mm."""
        return 2.0 * self.inradius

    @property
    def circumradius(self) -> float:
        """From the centre to a corner, mm."""
        return self.inradius / math.cos(math.pi / self.sides)

    @property
    def across_corners(self) -> float:
        """Twice the circumradius, mm."""
        return 2.0 * self.circumradius

    @property
    def flat_to_corner(self) -> float:
        """Inradius and circumradius together, mm: the micrometer's reading on odd counts."""
        return self.inradius + self.circumradius

    @property
    def side(self) -> float:
        """Length of a flat, mm; also the setting of dividers that step round the circle through the corners."""
        return 2.0 * self.inradius * math.tan(math.pi / self.sides)

    @property
    def area(self) -> float:
        """Area, mm²."""
        return self.sides * self.inradius * self.side / 2.0

    def direction(self, flat: int) -> float:
        """Direction in which flat number ``flat`` (from 1) faces, radians anticlockwise from +X, not reduced."""
        return self.first_flat + (flat - 1) * self.step

    def turned(self, angle: float) -> RegularPolygon:
        """Turn it about its centre by ``angle`` radians, positive anticlockwise; its flats keep their numbers."""
        return replace(self, first_flat=self.first_flat + angle)

    def vertices(self) -> tuple[tuple[float, float], ...]:
        """Corners anticlockwise, mm, the first being the one after flat 1 (between flats 1 and 2)."""
        radius = self.circumradius
        angles = (self.direction(flat) + self.step / 2.0 for flat in range(1, self.sides + 1))
        return tuple((radius * math.cos(angle), radius * math.sin(angle)) for angle in angles)

    def outline(self) -> Outline:
        """Return the polygon as a convex outline."""
        return Outline(self.vertices())

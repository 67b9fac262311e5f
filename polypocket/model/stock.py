"""The stock: what the block is cut from."""

from __future__ import annotations

import math
from typing import Final, Literal

from pydantic import Field, ValidationInfo, field_validator

from polypocket.model.base import SharedTable
from polypocket.model.nearest import nearest
from polypocket.model.values import Direction, LengthNotNegative, PositiveLength, Sides, Text
from polypocket.shape.outline import Outline, circle_outline, rectangle_outline
from polypocket.shape.polygon import RegularPolygon
from polypocket.units import shown

__all__ = ["Stock", "StockShape"]

StockShape = Literal["square", "rectangle", "round", "polygon"]

#: Which sizes give each shape.
_SIZES: Final[dict[str, tuple[str, ...]]] = {
    "square": ("width",),
    "rectangle": ("width", "length"),
    "round": ("diameter",),
    "polygon": ("sides", "across_flats"),
}


class Stock(SharedTable):
    """What the block is cut from: a prism along Z, centred on the work zero, its top at Z0.

    The sizes are nominal, mm; sawn stock may exceed them by ``oversize``. A size that the shape lacks is
    ``None``. ``first_flat`` turns polygons only, radians anticlockwise from +X.
    """

    shape: StockShape = Field(description='"square", "rectangle", "round" or "polygon"')
    width: PositiveLength | None = Field(
        None, description="size along X, of a square or rectangle", validate_default=True
    )
    length: PositiveLength | None = Field(
        None, description="size along Y, of a rectangle", validate_default=True
    )
    diameter: PositiveLength | None = Field(
        None, description="diameter of round stock", validate_default=True
    )
    sides: Sides | None = Field(None, description="number of sides of polygon stock", validate_default=True)
    across_flats: PositiveLength | None = Field(
        None,
        description="twice the distance from the centre to a flat, of polygon stock",
        validate_default=True,
    )
    first_flat: Direction = Field(
        0.0,
        description='which way a flat of polygon stock faces: degrees anticlockwise from +X, or "+x", "-y" …',
    )
    thickness: PositiveLength = Field(description="size along Z, from the top to what it lies on")
    oversize: LengthNotNegative = Field(
        0.0, description="the most by which the stock may exceed its sizes; approaches start outside it"
    )
    material: Text = Field(description="a key of materials.toml")

    @field_validator("width", "length", "diameter", "sides", "across_flats")
    @classmethod
    def _belongs_to_shape(cls, value: float | None, info: ValidationInfo) -> float | None:
        """Refuse a shape without a size that it needs, or with one that it lacks."""
        shape = info.data.get("shape")
        if shape is None or info.field_name is None:  # the shape itself is wrong, which is told already
            return value
        wanted = info.field_name in _SIZES[shape]
        if wanted and value is None:
            described = cls.model_fields[info.field_name].description
            raise ValueError(f"required where shape is {shown(shape)}; {described}")
        if value is not None and not wanted:
            raise ValueError(f"{shape} stock has none; it is given by {' and '.join(_SIZES[shape])}")
        return value

    @field_validator("first_flat")
    @classmethod
    def _turns_polygons_only(cls, value: float, info: ValidationInfo) -> float:
        """Refuse to turn a shape that cannot be turned, rather than leave it unturned."""
        if value and info.data.get("shape") not in (None, "polygon"):
            raise ValueError(
                f"only polygon stock can be turned; turn the sections instead of {info.data['shape']} stock"
            )
        return value

    @field_validator("material")
    @classmethod
    def _known_material(cls, value: str, info: ValidationInfo) -> str:
        """Refuse a material that is not among those handed in by who reads the file."""
        known = (info.context or {}).get("materials")
        if known is not None and value not in known:
            raise ValueError(f"{shown(value)} is not in materials.toml{nearest(value, known)}")
        return value

    def faces(self) -> tuple[tuple[float, float], ...]:
        """Return the flat faces round the stock: direction and distance from the centre, mm.

        Directions are radians anticlockwise from +X; round stock has no faces.
        """
        if self.shape == "polygon":
            polygon = self._polygon()
            return tuple((polygon.direction(flat), polygon.inradius) for flat in range(1, polygon.sides + 1))
        if self.shape == "round":
            return ()
        width, length = self._width_and_length()
        return tuple((quarter * math.pi / 2.0, (width, length)[quarter % 2] / 2.0) for quarter in range(4))

    def across_faces(self) -> float | None:
        """Return twice the distance from the centre to the nearest face, mm; ``None`` for round stock."""
        return min((2.0 * distance for _, distance in self.faces()), default=None)

    def outline(self) -> Outline:
        """Return the stock as small as it may be: its nominal sizes."""
        match self.shape:
            case "round":
                return circle_outline(self._known(self.diameter) / 2.0)
            case "polygon":
                return self._polygon().outline()
            case _:
                return rectangle_outline(*self._width_and_length())

    def largest_outline(self) -> Outline:
        """Return the stock as large as it may be.

        Every face is moved outwards by the whole of ``oversize``: the zero may have been found from one face.
        """
        if self.shape == "round":
            return circle_outline(self._known(self.diameter) / 2.0 + self.oversize)
        return self.outline().grown(self.oversize)

    def _polygon(self) -> RegularPolygon:
        across_flats = self._known(self.across_flats)
        return RegularPolygon.from_across_flats(int(self._known(self.sides)), across_flats, self.first_flat)

    def _width_and_length(self) -> tuple[float, float]:
        width = self._known(self.width)
        return width, width if self.shape == "square" else self._known(self.length)

    @staticmethod
    def _known(size: float | None) -> float:
        """Return a size that validation has made sure of."""
        assert size is not None  # _belongs_to_shape
        return size

"""A section: a regular polygon that reaches from the top face down to its depth."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, PlainValidator, ValidationInfo, WithJsonSchema, field_validator

from polypocket.model.base import Table
from polypocket.model.stock import Stock
from polypocket.model.values import Count, Direction, Flag, PositiveLength, Sides, positive_length
from polypocket.shape.outline import Outline
from polypocket.shape.polygon import RegularPolygon

__all__ = ["Section", "WrittenSection"]

_DESCRIPTION_OF_DEPTH = "how far below the top face it reaches"
_DESCRIPTION_OF_FIRST_FLAT = 'which way one flat faces: degrees anticlockwise from +X, or "+x", "-y" …'


class Section(Table):
    """A regular polygon centred on the work zero, from the top face down to ``depth``.

    Lengths mm, ``first_flat`` radians anticlockwise from +X; ``cutter`` is the number of the one that cuts it. Where
    ``from_stock``, the size is that of the stock's nearest faces, and the flats that lie on faces of the stock stay as
    they are.
    """

    sides: Sides
    across_flats: PositiveLength
    from_stock: Flag = False
    depth: PositiveLength
    first_flat: Direction = 0.0
    cutter: Count = 1

    def polygon(self) -> RegularPolygon:
        """Return its plane figure."""
        return RegularPolygon.from_across_flats(self.sides, self.across_flats, self.first_flat)

    def outline(self) -> Outline:
        """Return its plane figure as a convex outline."""
        return self.polygon().outline()


def _length_or_stock(value: object, info: ValidationInfo) -> float | Literal["stock"]:
    return "stock" if value == "stock" else positive_length(value, info)


LengthOrStock = Annotated[
    float | Literal["stock"],
    PlainValidator(_length_or_stock),
    WithJsonSchema({"anyOf": [{"type": "number", "exclusiveMinimum": 0}, {"type": "string"}]}),
]


class WrittenSection(Table):
    """A section as it stands in a file: its size in one of four ways."""

    sides: Sides = Field(description="number of flats, from 3")
    centre_to_flat: PositiveLength | None = Field(None, description="distance from the centre to a flat")
    flat_to_corner: PositiveLength | None = Field(
        None, description="distance from a flat to the corner opposite, on odd counts"
    )
    across_flats: LengthOrStock | None = Field(
        None,
        description='twice the distance from the centre to a flat; or "stock": that of the stock\'s faces',
        validate_default=True,
    )
    depth: PositiveLength = Field(description=_DESCRIPTION_OF_DEPTH)
    first_flat: Direction = Field(0.0, description=_DESCRIPTION_OF_FIRST_FLAT)
    cutter: Count | None = Field(
        None, description="number of the cutter that cuts it; needed where there are several"
    )

    @field_validator("flat_to_corner")
    @classmethod
    def _odd_counts_only(cls, value: float | None, info: ValidationInfo) -> float | None:
        """Refuse a distance that an even count does not have."""
        sides = info.data.get("sides")
        if value is not None and sides is not None and sides % 2 == 0:
            raise ValueError(f"{sides} sides have a flat opposite each flat; give across_flats instead")
        return value

    @field_validator("across_flats")
    @classmethod
    def _one_size(cls, value: float | str | None, info: ValidationInfo) -> float | str | None:
        """Refuse a section without a size or with several."""
        others = ("centre_to_flat", "flat_to_corner")
        if any(key not in info.data for key in others):  # one of them is wrong, which is told already
            return value
        given = [key for key in others if info.data[key] is not None] + ["across_flats"] * (value is not None)
        if not given:
            raise ValueError("required; or else centre_to_flat, or flat_to_corner on odd counts")
        if len(given) > 1:
            raise ValueError(f"give one size only, not {' and '.join(given)}")
        return value

    def resolved(self, stock: Stock, cutter: int) -> Section:
        """Return what the section means on this stock, cut with the cutter of this number.

        Raises:
            ValueError: its size is to be the stock's, which has no flats.
        """
        from_stock = self.across_flats == "stock"
        if from_stock:
            across_flats = stock.across_faces()
            if across_flats is None:
                raise ValueError("round stock has no flats to take over; give the size as a length")
        elif self.centre_to_flat is not None:
            across_flats = 2.0 * self.centre_to_flat
        elif self.flat_to_corner is not None:
            across_flats = RegularPolygon.from_flat_to_corner(self.sides, self.flat_to_corner).across_flats
        else:
            assert isinstance(self.across_flats, float)  # _one_size
            across_flats = self.across_flats
        return Section(
            sides=self.sides,
            across_flats=across_flats,
            from_stock=from_stock,
            depth=self.depth,
            first_flat=self.first_flat,
            cutter=cutter,
        )

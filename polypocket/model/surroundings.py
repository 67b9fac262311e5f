"""What stands around the work on a mill: keep-outs, the table's surface, the column. What the file means, in mm.

Positions are machine coordinates: where the mill stands when the cutter's tip is there, as for the work zeros. The
cutter's motion over the work is meant, so that what is fixed to the table stands still in them, and what is fixed to
the head or the column goes with the spindle. As a work zero that is touched off with the cutter itself, a Z holds for
the cutter that it was measured with.
"""

from __future__ import annotations

from pydantic import Field

from polypocket.model.arrays import Range
from polypocket.model.base import SharedTable
from polypocket.model.values import Flag, PositiveLength, SignedLength, Text

__all__ = ["Column", "KeepOut", "TableTop"]


class KeepOut(SharedTable):
    """A box that neither cutter nor holder may enter: a dividing head, a stop, a clamp; mm.

    On the table it stands in machine coordinates. What is ``on_vise``, such as a handle or a work stop, counts from
    the work zero as it is with the swivel base at 0, and turns with the work. Holder and head stand above the cutter,
    so that nothing can go under a box either: only its top counts.
    """

    name: Text = Field(description="what stands there, as findings are to call it")
    x: Range = Field(description="lowest and highest X, machine coordinates")
    y: Range = Field(description="lowest and highest Y, machine coordinates")
    z: Range = Field(
        description="lowest and highest Z, machine coordinates: where Z stands with the cutter's tip there"
    )
    on_vise: Flag = Field(
        False,
        description="true: it is fixed to the vise and turns with the work; x, y, z count from the work zero then, "
        "the swivel base at 0",
    )


class TableTop(SharedTable):
    """The surface of the table that the cutter can reach; machine coordinates, mm."""

    x: Range = Field(description="from where to where it reaches along X, machine coordinates")
    y: Range = Field(description="from where to where it reaches along Y, machine coordinates")
    z: SignedLength = Field(description="where Z stands with the cutter's tip on it, machine coordinates")


class Column(SharedTable):
    """The mill's column, behind the spindle, towards +Y; mm."""

    throat: PositiveLength = Field(description="from the spindle's axis back to the column")

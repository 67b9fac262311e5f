"""What stands in a setup, in the order in which it is done."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, NamedTuple, TypeAlias

from polypocket.program.moves import Move

__all__ = ["Ask", "Coolant", "Item", "Link", "Pass", "Spindle", "TouchOff", "UseCutter"]


class UseCutter(NamedTuple):
    """The cutter that works from here on.

    Attributes:
        number: its number in the job.
        diameter: mm.
        length_register: where the control keeps its length; ``None`` where Z is touched off with the cutter itself.
        by_hand: a person puts it in while the program stops.
        touch_off: a person sets Z anew with it while the program stops.
    """

    number: int
    diameter: float
    length_register: int | None
    by_hand: bool
    touch_off: bool = False


class Spindle(NamedTuple):
    """Turn at ``rpm`` (0 stops it), clockwise as seen from the spindle towards the work."""

    rpm: float
    clockwise: bool = True


class Coolant(NamedTuple):
    """Coolant on or off."""

    on: bool


class Ask(NamedTuple):
    """What a person does while the program stops.

    Attributes:
        kind: which setting ``value`` is of, ``x`` and ``y`` for an axis without a drive; ``note`` for a plain text to
            read, ``outside`` for how far the cutter's axis keeps from the block's centre, along X or along Y, while
            the work is turned.
        value: mm for ``x``, ``y``, ``height`` and ``outside``, radians for ``swivel``, else the number meant; ``None``
            for a note.
        text: the words that stand in the program, such as ``SET Z -10.500``.
        first: where ``x`` or ``y`` is brought before, so that it comes to ``value`` from there, mm.
    """

    kind: Literal["x", "y", "height", "swivel", "flat", "spindle", "note", "outside"]
    value: float | None
    text: str
    first: float | None = None


class Link(NamedTuple):
    """Moves between passes that never cut."""

    moves: tuple[Move, ...]


@dataclass(frozen=True, slots=True)
class Pass:
    """One stroke through material at one height.

    Attributes:
        number: counts from 1 through the program.
        feature: what it makes, such as ``section 2``; sections are numbered as the job file lists them.
        flat: the flat that it runs along, from 1 anticlockwise; the first one where it goes round corners.
        last_flat: the last one; ``flat`` itself where it goes round no corner.
        level: its Z, mm.
        index: which strip of the level, from 1 outermost.
        role: ``rough`` or ``finish``.
        side: on which side of the travel the material stands.
        size_register: where the control keeps the cutter's size; ``None`` where the path carries it.
        lead_in: from outside the material to contact.
        cut: in the material.
        lead_out: away from it.
    """

    number: int
    feature: str
    flat: int
    last_flat: int
    level: float
    index: int
    role: Literal["rough", "finish"]
    side: Literal["left", "right"]
    size_register: int | None
    lead_in: tuple[Move, ...]
    cut: tuple[Move, ...]
    lead_out: tuple[Move, ...]


class TouchOff(NamedTuple):
    """A person touches two edges of the work with the cutter standing still, and sets the readouts to zero there.

    Attributes:
        feature, flat: what is cut by these zeros.
        faces: where the flat faces on the table: quarter turns anticlockwise from +X.
        at: X and Y of the tip centre where each axis reads zero, mm: beside the edge outside the flat, and beside the
            one at which the cuts begin.
        edges: how far those edges are from the work zero, mm, along X and along Y.
        last: how far the flat is inside the edge that is touched outside of it, mm.
        power_feed: whether the axis that cuts has one.
        corners: whether the work has a corner there and no flat edge, along X and along Y.
    """

    feature: str
    flat: int
    faces: int
    at: tuple[float, float]
    edges: tuple[float, float]
    last: float
    power_feed: bool
    corners: tuple[bool, bool] = (False, False)


Item: TypeAlias = UseCutter | Spindle | Coolant | Ask | Link | Pass | TouchOff

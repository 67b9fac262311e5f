"""What the reader made of a program, in columns."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import IntEnum
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

__all__ = ["Asked", "Comment", "Complaint", "Event", "Frame", "Kind", "PathMode", "ToldFlat", "Track"]


class Kind(IntEnum):
    """What a row is."""

    EVENT = 0
    RAPID = 1
    FEED = 2
    ARC_CLOCKWISE = 3
    ARC_ANTICLOCKWISE = 4
    DWELL = 5


class Event(IntEnum):
    """What happens in a row that is no motion (column ``event``); rows of motion carry ``NONE``."""

    NONE = 0
    STOP = 1  # M0: the program waits for a person
    OPTIONAL_STOP = 2  # M1
    END = 3  # M2, M30
    SPINDLE = 4  # M3, M4, M5: the rpm column tells
    COOLANT = 5
    CUTTER = 6  # M6, or a cutter asked for in a comment
    ASK = 7  # another thing asked for in a comment


class Frame(IntEnum):
    """What the coordinates of a row are measured from."""

    WORK = 0
    MACHINE = 1


class Comment(NamedTuple):
    """A comment's text and where it stands (line and column from 1)."""

    line: int
    column: int
    text: str


class Asked(NamedTuple):
    """What a comment asks of a person.

    Attributes:
        line: from 1.
        row: the track's row that belongs to it.
        kind: ``x``, ``y``, ``height`` (mm), ``swivel`` (radians), ``flat``, ``spindle`` (rpm, negative anticlockwise,
            0 to stop it), ``cutter``, ``edge`` or ``corner``, at which a person touches off, or ``dial x``, ``dial y``,
            ``dial z``.
        number: a cutter's or flat's number, whole turns of a dial, of an edge or a corner the side, 0 to 3 for +X, +Y,
            -X, -Y, else 0.
        value: the position, height, angle, rpm, a dial's divisions beside its turns (negative where both are towards
            minus), the cutter's diameter, or how far from the centre an edge or a corner is, in mm; NaN where none is
            given.
        text: the comment.
    """

    line: int
    row: int
    kind: str
    number: int
    value: float
    text: str


class PathMode(NamedTuple):
    """How exactly a control follows the path from here on: NISTIR 6556 2.1.2.16 (from memory).

    Attributes:
        line: from 1.
        row: the first row for which it holds.
        rounds: whether corners may be rounded off so that the feed is kept up (G64); not in exact path (G61) and exact
            stop (G61.1).
    """

    line: int
    row: int
    rounds: bool


class ToldFlat(NamedTuple):
    """A flat as a sheet for a person names it, and where its readings cut.

    Attributes:
        line: from 1.
        section, flat: their numbers.
        facing: on the table, radians anticlockwise from +X.
        swivel: setting of the swivel base, radians.
        height: of the cutter's tip, mm.
        distance: of the last pass's surface from the block's centre, mm.
        is_finished: whether the last pass is a finishing one.
        line_at: distance of the scribed line from the block's centre, mm, as the check has it.
    """

    line: int
    section: int
    flat: int
    facing: float
    swivel: float
    height: float
    distance: float
    is_finished: bool
    line_at: float


class Complaint(NamedTuple):
    """What the reader refuses, with its place.

    Attributes:
        line: from 1.
        column: from 1.
        code: a finding code: ``unread``, ``units``, ``end``, ``arc-radius``, ``no-feed``, ``tool`` or
            ``compensation``.
        text: what is wrong.
    """

    line: int
    column: int
    code: str
    text: str


Floats = NDArray[np.float64]
Integers = NDArray[np.int64]


# Its columns could not be compared as one, nor read if they were shown.
@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Track:
    """A program as motions and events, one row each; all columns have the same length.

    Lengths in mm, feeds in mm/min, whatever the program's units. Coordinates are the *programmed* ones, from
    which the cutter's centre keeps off where ``compensation_side`` is not 0: in
    the frame of the work offset in force (``frame`` 0) or of the machine (``frame`` 1), NaN until the axis
    was commanded. An axis that was moved in one frame only, or whose work offset has changed since, has not
    been commanded in the other frame: its NaN then means that it stands where it was put last. In a row with
    a ``reference`` it means that the axis goes to a place that the text does not tell.

    A block with a complaint may leave no row, and rows after a complaint are a best effort: a track with
    complaints is no account of what a mill would do.

    Attributes:
        name: the program's name.
        units: ``mm``, ``inch``, or ``None`` where the program never said.
        file: index of the file.
        line: from 1.
        pass_number: number in the last ``PASS`` comment before the row's words, 0 before the first.
        kind: a ``Kind``.
        x, y, z: end of the motion.
        plane: 17, 18 or 19.
        centre_x, centre_y, centre_z: centre of an arc in the coordinates' frame: two of them, as its plane
            has it; NaN elsewhere.
        turns: full turns beyond the first partial one; 0 for an arc, and for a full circle, which ends
            where it starts.
        frame: a ``Frame``.
        offset: 54 to 59, 59.1 to 59.3: the work offset in force.
        shift_x, shift_y, shift_z: what G92 has added to the work offset; coordinates count from their sum.
        reference: 28 or 30 where all axes go to the place that is set for that G word in the machine, else 0.
        feed: in force, mm/min (or 1/min where feed_mode is 93); NaN until given.
        feed_mode: 94, or 93 for inverse time.
        rpm: positive clockwise, negative anticlockwise, 0 stopped; NaN where it turns without a speed.
        tool: number of the cutter in the spindle, 0 until known.
        length_register: in force, 0 for none.
        compensation_side: 0 none, 1 left, 2 right.
        radius_register: in force, 0 for none.
        coolant: whether any is on.
        optional: whether the block carries ``/``; such blocks are carried out.
        dwell: seconds, 0 where the row is no dwell.
        event: an ``Event``.
        comments, asks, complaints: beside the rows, in the order of the text.
        path_modes: how exactly the path is followed, in the order of the text; before the first as the control has it.
        switched: lines that carry ``/``, whether or not they leave a row.
        axis_words: the letters X, Y, Z that have a word in the program, each with the first line that it stands in.
        by_hand: whether a person makes the motions, as a sheet tells them, and no control.
        dials: of such a sheet: how each axis is read, by what one turn goes, mm, and the divisions of the dial, or
            ``None`` for a readout.
        flats: of such a sheet: the flats that it names, in order.
        outside: of such a sheet: how far the cutter's axis is from the centre along X or Y where work is turned, mm.
    """

    name: str
    units: str | None
    file: Integers
    line: Integers
    pass_number: Integers
    kind: Integers
    x: Floats
    y: Floats
    z: Floats
    plane: Integers
    centre_x: Floats
    centre_y: Floats
    centre_z: Floats
    turns: Integers
    frame: Integers
    offset: Floats
    shift_x: Floats
    shift_y: Floats
    shift_z: Floats
    reference: Integers
    feed: Floats
    feed_mode: Integers
    rpm: Floats
    tool: Integers
    length_register: Integers
    compensation_side: Integers
    radius_register: Integers
    coolant: NDArray[np.bool_]
    optional: NDArray[np.bool_]
    dwell: Floats
    event: Integers
    comments: tuple[Comment, ...]
    asks: tuple[Asked, ...]
    complaints: tuple[Complaint, ...]
    path_modes: tuple[PathMode, ...] = ()
    switched: tuple[int, ...] = ()
    axis_words: Mapping[str, int] = field(default_factory=dict)
    by_hand: bool = False
    dials: Mapping[str, tuple[float, int] | None] = field(default_factory=dict)
    flats: tuple[ToldFlat, ...] = ()
    outside: float = 0.0

    def __len__(self) -> int:
        return len(self.kind)

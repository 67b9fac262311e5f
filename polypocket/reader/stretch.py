"""A stretch of plain lines carried out in columns: what ``execution`` and ``motion`` do line by line.

The modes, the feed, the speed and the place of each axis stay in force until a line says otherwise, so each is
filled on downwards. The first line with which anything is the matter ends the stretch; the ordinary reader
takes it, and it alone complains.
"""

from __future__ import annotations

from dataclasses import fields
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from polypocket.reader.arc_columns import Ends, by_centre, by_radius, same_place
from polypocket.reader.columns import Draft
from polypocket.reader.dialect import Dialect
from polypocket.reader.state import AXES, State
from polypocket.reader.table import Table
from polypocket.reader.track import Kind
from polypocket.units import MM_PER_INCH

__all__ = ["carry_out_plain", "is_usual"]

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]
Truths = NDArray[np.bool_]

_KINDS = np.array([Kind.RAPID, Kind.FEED, Kind.ARC_CLOCKWISE, Kind.ARC_ANTICLOCKWISE], dtype=np.int64)
_CLOCKWISE = 2
_XY_PLANE = 170
_ABSOLUTE, _INCREMENTAL = 900, 910

#: What of the state is understood here; all else must be as it is at a program's beginning.
_UNDERSTOOD = frozenset(
    {
        "units", "first_units", "motion", "plane", "distance", "feed", "speed", "direction", "selected",
        "tool", "by_changer", "offset", "length_register", "mist", "flood", "pass_number", "work", "machine", "told",
        "return_mode",
    }
)  # fmt: skip
_USUAL = tuple(
    (entry.name, repr(getattr(State(), entry.name)))  # repr, since NaN is not equal to itself
    for entry in fields(State)
    if entry.name not in _UNDERSTOOD
)


class _Way(NamedTuple):
    """Where the stretch goes: before and after each line, by axis; which lines name the axis."""

    start: tuple[Floats, Floats, Floats]
    end: tuple[Floats, Floats, Floats]
    named: tuple[Truths, Truths, Truths]


def is_usual(state: State) -> bool:
    """Whether plain lines can be carried out here: no complaint is due, and nothing unusual is in force."""
    return (
        state.units is not None
        and state.distance in (_ABSOLUTE, _INCREMENTAL)
        and state.motion in (0, 10, 20, 30)
        and all(repr(getattr(state, name)) == usual for name, usual in _USUAL)
    )


def carry_out_plain(
    table: Table, lines: slice, number: int, state: State, draft: Draft, dialect: Dialect
) -> int:
    """Carry out plain lines until one has something the matter, and return how many were carried out.

    Args:
        table: the lines.
        lines: which of them; all are plain.
        number: of the first one in the program, from 1.
        state: usual; it is changed.
        draft: takes the rows and comments.
        dialect: how the control reads.
    """
    words = {letter: values[lines] for letter, values in table.words.items()}
    motion = _in_force(words["G"], (state.motion or 0) / 10)
    feed = _in_force(words["F"], state.feed)
    way = _way(words, state)
    moves = way.named[0] | way.named[1] | way.named[2]
    wrong = moves & (motion > 0.0) & ~(feed > 0.0)
    for start, end, named in zip(way.start, way.end, way.named, strict=True):
        wrong |= named & np.isnan(end)
        wrong |= named & np.isnan(start) & (motion >= _CLOCKWISE)
    centre_x, centre_y = _centres(words, motion, way, wrong, state, dialect)

    count = int(np.argmax(wrong)) if wrong.any() else len(wrong)
    if count == 0:
        return 0
    done = slice(lines.start, lines.start + count)
    speed = _in_force(words["S"], state.speed)[:count]
    passes = _in_force(table.passes[done], state.pass_number)
    rows = np.flatnonzero(moves[:count])
    columns = {
        "line": number + rows,
        "pass_number": passes[rows].astype(np.int64),
        "kind": _KINDS[motion[rows].astype(np.int64)],
        "x": way.end[0][rows],
        "y": way.end[1][rows],
        "z": way.end[2][rows],
        "centre_x": centre_x[rows],
        "centre_y": centre_y[rows],
        "feed": feed[rows] * state.scale,
        "rpm": state.direction * speed[rows] if state.direction else np.zeros(len(rows)),
    }
    draft.add_stretch(state, columns, len(rows))
    first, beyond = np.searchsorted(table.comment_lines, (done.start, done.stop)).tolist()
    for line, column, text in table.comments[first:beyond]:
        draft.comment(number + line - lines.start, column, text)

    last = count - 1
    state.motion, state.speed, state.pass_number = (
        int(motion[last]) * 10,
        float(speed[last]),
        int(passes[last]),
    )
    if not np.isnan(words["F"][:count]).all():
        state.feed = float(feed[last])
        state.told.discard("no-feed")
    for axis in range(3):
        if way.named[axis][:count].any():
            state.place(axis, float(way.end[axis][last]))
            draft.axis_word(AXES[axis], number + int(np.argmax(way.named[axis])))
    return count


def _in_force(given: Floats, before: float) -> Floats:
    """Fill a modal value on downwards; NaN where a line does not give it."""
    index = _last(~np.isnan(given))
    return np.where(index < 0, before, given[index])


def _last(there: Truths) -> Indices:
    """Return for each line the last one so far that is ``there``, -1 before the first."""
    return np.maximum.accumulate(np.where(there, np.arange(len(there)), -1))


def _way(words: dict[str, Floats], state: State) -> _Way:
    starts: list[Floats] = []
    ends: list[Floats] = []
    for axis, letter in enumerate(AXES):
        place = state.work[axis]
        lengths = words[letter] * state.scale
        if state.distance == _INCREMENTAL:
            named = np.flatnonzero(~np.isnan(lengths))
            # One sum after another, as line by line: the rounding is the same.
            lengths[named] = np.add.accumulate(np.concatenate(((place,), lengths[named])))[1:]
        end = _in_force(lengths, place)
        starts.append(np.concatenate(((place,), end[:-1])))
        ends.append(end)
    x, y, z = (~np.isnan(words[letter]) for letter in AXES)
    return _Way((starts[0], starts[1], starts[2]), (ends[0], ends[1], ends[2]), (x, y, z))


def _centres(
    words: dict[str, Floats], motion: Floats, way: _Way, wrong: Truths, state: State, dialect: Dialect
) -> tuple[Floats, Floats]:
    """Return the arcs' centres, NaN elsewhere, and mark in ``wrong`` what is not one sound arc, or no arc at all."""
    x, y = np.full(len(wrong), np.nan), np.full(len(wrong), np.nan)
    by_offset = ~np.isnan(words["I"]) | ~np.isnan(words["J"])
    with_radius = ~np.isnan(words["R"])
    is_arc = motion >= _CLOCKWISE
    across = way.named[0] | way.named[1]
    wrong |= (by_offset | with_radius) & ~is_arc
    wrong |= (across | way.named[2]) & is_arc & ~(across & (by_offset | with_radius))
    arcs = is_arc & across
    if not arcs.any():
        return x, y
    wrong |= arcs & (np.isnan(way.start[0]) | np.isnan(way.start[1]))
    if state.plane != _XY_PLANE:
        wrong |= arcs
    tolerance = dialect.arc_radius_inch * MM_PER_INCH if state.units == "inch" else dialect.arc_radius_mm
    for chosen, radius_word in ((by_offset, False), (with_radius, True)):
        at = np.flatnonzero(arcs & chosen & ~wrong)
        ends: Ends = (way.start[0][at], way.start[1][at], way.end[0][at], way.end[1][at])
        if radius_word:
            radius = words["R"][at] * state.scale
            x[at], y[at], sound = by_radius(ends, radius, motion[at] == _CLOCKWISE, tolerance)
        else:
            i, j = (np.where(np.isnan(words[k][at]), 0.0, words[k][at] * state.scale) for k in "IJ")
            x[at], y[at], sound = by_centre(ends, i, j, tolerance)
        wrong[at] |= ~sound | same_place(ends, tolerance)
    return x, y

"""The track under construction: rows as they come, and their columns at the end."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any, NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from polypocket.reader.state import State
from polypocket.reader.track import Asked, Comment, Complaint, Event, Frame, Kind, PathMode, Track

__all__ = ["Draft"]

_Triple: TypeAlias = tuple[float, float, float]

_NOWHERE: _Triple = (math.nan, math.nan, math.nan)

#: With more complaints than this a text is hardly a program, and nobody would read them all. No source.
_MOST_COMPLAINTS = 1000


class _Row(NamedTuple):
    """One row; the fields are the track's columns, three together where they belong to X, Y, Z; plain for speed."""

    line: int
    pass_number: int
    kind: int
    x: float
    y: float
    z: float
    plane: int
    centre: _Triple
    frame: int
    offset: float
    shift: _Triple
    reference: int
    feed: float
    feed_mode: int
    rpm: float
    tool: int
    length_register: int
    compensation_side: int
    radius_register: int
    coolant: bool
    optional: bool
    dwell: float
    event: int


#: The track's columns that are parts of three kept together in a row.
_PARTS = {
    f"{triple}_{axis}": (triple, number)
    for triple in ("centre", "shift")
    for number, axis in enumerate("xyz")
}


def _value(row: _Row, key: str) -> Any:  # noqa: ANN401 - a number of the column's own kind
    """Return a row's value in one of the track's columns."""
    triple, axis = _PARTS.get(key, (key, None))
    value = getattr(row, triple)
    return value if axis is None else value[axis]


class _Stretch(NamedTuple):
    """Many motions at once: the index of the first row, their number, and columns; the rest is as in ``modal``."""

    first: int
    rows: int
    columns: Mapping[str, NDArray[Any]]
    modal: _Row


class Draft:
    """Collects rows, comments, asks and complaints, and makes the track of them."""

    def __init__(self) -> None:
        self._rows: list[_Row] = []
        self._stretches: list[_Stretch] = []
        self._count = 0
        self._comments: list[Comment] = []
        self._asks: list[Asked] = []
        self._complaints: list[Complaint] = []
        self._path_modes: list[PathMode] = []
        self._switched: list[int] = []
        self._axis_words: dict[str, int] = {}

    def add(
        self,
        state: State,
        line: int,
        optional: bool,
        kind: Kind,
        event: Event = Event.NONE,
        *,
        frame: Frame = Frame.WORK,
        centre: _Triple = _NOWHERE,
        dwell: float = 0.0,
        reference: int = 0,
    ) -> int:
        """Add a row with the position and the modal state in force, and return its index."""
        self._rows.append(_row(state, line, optional, kind, event, frame, centre, dwell, reference))
        self._count += 1
        return self._count - 1

    def add_stretch(self, state: State, columns: Mapping[str, NDArray[Any]], count: int) -> None:
        """Add ``count`` motions in the work's frame; all that is not in ``columns`` is as the state has it."""
        modal = _row(state, 0, False, Kind.RAPID, Event.NONE, Frame.WORK, _NOWHERE, 0.0, 0)
        self._stretches.append(_Stretch(self._count, count, columns, modal))
        self._count += count

    def comment(self, line: int, column: int, text: str) -> None:
        """Keep a comment."""
        self._comments.append(Comment(line, column, text))

    def ask(self, asked: Asked) -> None:
        """Keep what a comment asks of a person."""
        self._asks.append(asked)

    def path_mode(self, line: int, *, rounds: bool) -> None:
        """Keep how exactly the path is followed from the next row on."""
        self._path_modes.append(PathMode(line, self._count, rounds))

    def switched(self, line: int) -> None:
        """Keep that a switch at the control decides about a line."""
        self._switched.append(line)

    def axis_word(self, letter: str, line: int) -> None:
        """Keep in which line a word of an axis stands, if it is the first."""
        self._axis_words.setdefault(letter, line)

    def complain(self, line: int, column: int, code: str, text: str) -> None:
        """Keep a complaint, unless there are too many already."""
        if not self.is_full:
            self._complaints.append(Complaint(line, column, code, text))

    @property
    def is_full(self) -> bool:
        """Whether there are so many complaints that no more are kept."""
        return len(self._complaints) >= _MOST_COMPLAINTS

    def close(self, line: int) -> None:
        """Say, in place of the last complaint that was kept, that there may be more."""
        last = self._complaints.pop()
        text = f"more than {_MOST_COMPLAINTS - 1} complaints; nothing from here on is read"
        self._complaints.append(Complaint(line, last.column, "unread", text))

    def track(self, name: str, file: int, units: str | None) -> Track:
        """Make the track; complaints come in the order of the text."""
        columns: dict[str, tuple[Any, ...]]
        columns = dict(
            zip(
                _Row._fields,
                zip(*self._rows, strict=True) if self._rows else [()] * len(_Row._fields),
                strict=True,
            )
        )
        for key, (triple, axis) in _PARTS.items():
            columns[key] = tuple(values[axis] for values in columns[triple])
        count = self._count
        by_row = np.ones(count, dtype=np.bool_)  # the rows that were added one by one
        for stretch in self._stretches:
            by_row[stretch.first : stretch.first + stretch.rows] = False

        def column(key: str, kind: type[Any]) -> NDArray[Any]:
            one_by_one = np.array(columns[key], dtype=kind)
            if not self._stretches:
                return one_by_one
            if not any(key in stretch.columns for stretch in self._stretches):
                values = {*columns[key], *(_value(stretch.modal, key) for stretch in self._stretches)}
                if len(values) == 1:  # one value takes no room
                    return np.broadcast_to(kind(*values), count)
            every = np.empty(count, dtype=kind)
            every[by_row] = one_by_one
            for first, rows, given, modal in self._stretches:
                every[first : first + rows] = given.get(key, _value(modal, key))
            return every

        def whole(key: str) -> NDArray[np.int64]:
            return column(key, np.int64)

        def real(key: str) -> NDArray[np.float64]:
            return column(key, np.float64)

        def truth(key: str) -> NDArray[np.bool_]:
            return column(key, np.bool_)

        return Track(
            name=name,
            units=units,
            file=np.broadcast_to(np.int64(file), count),
            line=whole("line"),
            pass_number=whole("pass_number"),
            kind=whole("kind"),
            x=real("x"),
            y=real("y"),
            z=real("z"),
            plane=whole("plane"),
            centre_x=real("centre_x"),
            centre_y=real("centre_y"),
            centre_z=real("centre_z"),
            turns=np.broadcast_to(np.int64(0), count),  # no word of the standard asks for more than one turn
            frame=whole("frame"),
            offset=real("offset"),
            shift_x=real("shift_x"),
            shift_y=real("shift_y"),
            shift_z=real("shift_z"),
            reference=whole("reference"),
            feed=real("feed"),
            feed_mode=whole("feed_mode"),
            rpm=real("rpm"),
            tool=whole("tool"),
            length_register=whole("length_register"),
            compensation_side=whole("compensation_side"),
            radius_register=whole("radius_register"),
            coolant=truth("coolant"),
            optional=truth("optional"),
            dwell=real("dwell"),
            event=whole("event"),
            comments=tuple(self._comments),
            asks=tuple(self._asks),
            complaints=tuple(
                sorted(self._complaints, key=lambda complaint: (complaint.line, complaint.column))
            ),
            path_modes=tuple(self._path_modes),
            switched=tuple(self._switched),
            axis_words=self._axis_words,
        )


def _row(
    state: State,
    line: int,
    optional: bool,
    kind: Kind,
    event: Event,
    frame: Frame,
    centre: _Triple,
    dwell: float,
    reference: int,
) -> _Row:
    """Make a row with the position and the modal state in force."""
    x, y, z = state.work if frame == Frame.WORK else state.machine
    return _Row(
        line,
        state.pass_number,
        kind,
        x,
        y,
        z,
        17 if state.plane is None else state.plane // 10,
        centre,
        frame,
        state.offset,
        state.shift,
        reference,
        state.feed_per_minute,
        state.feed_mode,
        state.rpm,
        state.tool,
        state.length_register,
        state.compensation_side,
        state.radius_register,
        state.mist or state.flood,
        optional,
        dwell,
        event,
    )

"""The track under construction: rows as they come, and their columns at the end."""

from __future__ import annotations

import math
from typing import Any, NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from polypocket.reader.state import State
from polypocket.reader.track import Asked, Comment, Complaint, Event, Frame, Kind, Track

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


class Draft:
    """Collects rows, comments, asks and complaints, and makes the track of them."""

    def __init__(self) -> None:
        self._rows: list[_Row] = []
        self._comments: list[Comment] = []
        self._asks: list[Asked] = []
        self._complaints: list[Complaint] = []

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
        x, y, z = state.work if frame == Frame.WORK else state.machine
        self._rows.append(
            _Row(
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
        )
        return len(self._rows) - 1

    def comment(self, line: int, column: int, text: str) -> None:
        """Keep a comment."""
        self._comments.append(Comment(line, column, text))

    def ask(self, asked: Asked) -> None:
        """Keep what a comment asks of a person."""
        self._asks.append(asked)

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
        count = len(self._rows)

        def whole(key: str) -> NDArray[np.int64]:
            return np.array(columns[key], dtype=np.int64)

        def real(key: str) -> NDArray[np.float64]:
            return np.array(columns[key], dtype=np.float64)

        def triples(key: str) -> NDArray[np.float64]:
            return np.ascontiguousarray(real(key).reshape(-1, 3).T)

        def truth(key: str) -> NDArray[np.bool_]:
            return np.array(columns[key], dtype=np.bool_)

        centre, shift = triples("centre"), triples("shift")
        return Track(
            name=name,
            units=units,
            file=np.full(count, file, dtype=np.int64),
            line=whole("line"),
            pass_number=whole("pass_number"),
            kind=whole("kind"),
            x=real("x"),
            y=real("y"),
            z=real("z"),
            plane=whole("plane"),
            centre_x=centre[0],
            centre_y=centre[1],
            centre_z=centre[2],
            turns=np.zeros(count, dtype=np.int64),  # no word of the standard asks for more than one turn
            frame=whole("frame"),
            offset=real("offset"),
            shift_x=shift[0],
            shift_y=shift[1],
            shift_z=shift[2],
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
        )

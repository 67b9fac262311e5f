"""A sheet for a mill worked by hand, as a track: the numbers turned back into motions of the cutter over the table.

Readings count from where the cutter touches the work; how far the edges that are touched stand from the block's centre
stands in the sheet too, so that every reading is a place. Between flats the cutter goes round outside a square that
nothing of the work reaches, one axis at a time; on that square it stands while depth or swivel are set.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace

from polypocket.reader.columns import Draft
from polypocket.reader.rim import round_rim
from polypocket.reader.sheet_bars import doubtful_bars
from polypocket.reader.sheet_lines import HEAD, Dial, Line, Scales, boxes_fault, lines_of
from polypocket.reader.sheet_order import Order
from polypocket.reader.state import State
from polypocket.reader.track import Asked, Event, Kind, ToldFlat, Track

__all__ = ["read_sheet"]

_WAYS = {"+X": (1.0, 0.0), "+Y": (0.0, 1.0), "-X": (-1.0, 0.0), "-Y": (0.0, -1.0)}
#: As the cutter goes on along an axis over the work, what the table does and what the readout does.
_TABLE = {
    ("X", True): ("table left", "rises"),
    ("X", False): ("table right", "falls"),
    ("Y", True): ("table towards you", "rises"),
    ("Y", False): ("table away from you", "falls"),
}
_SAME = 1e-9
#: Of a line that nobody understands so many characters are told: enough to find it.
_MOST_QUOTED = 60


def read_sheet(text: str, *, name: str = "sheet", file: int = 0) -> Track:
    """Read a sheet as the person would, and give the motions that come of it.

    Nothing that a sheet says raises: what is refused stands in the track's complaints, and a track with complaints is
    no account of what would happen.
    """
    draft = Draft()
    lines, unknown = lines_of(text)
    if not text.startswith(HEAD):
        draft.complain(1, 1, "unread", f"a sheet begins with the line {HEAD}")
    for number, told in unknown:
        draft.complain(number, 1, "unread", f"nobody can tell what {_quoted(told)} asks for")
        if draft.is_full:
            draft.close(number)
            break
    for number, told in doubtful_bars(text):
        draft.complain(number, 1, "unread", f"{_quoted(told)} tells of what no line asks for")
    sheet = _Sheet(draft)
    sound = True
    for line in lines:
        if sheet.ended or not sound:  # what comes after a line that is refused hangs in the air
            break
        sound = sheet.take(line)
    if sound and not sheet.ended:
        draft.complain(text.count("\n") + 1, 1, "end", "the sheet does not end with END")
    track = draft.track(name, file, sheet.state.first_units)
    return replace(
        track, by_hand=True, dials=dict(sheet.scales), flats=tuple(sheet.flats), outside=sheet.outside
    )


@dataclass
class _Flat:
    """What is told of the flat that is being cut: axes 0 for X and 1 for Y, places and readings in mm."""

    line: int
    number: int
    faces: str
    zeros: dict[int, float] = field(default_factory=dict)
    begins: float = math.nan
    ends: float = math.nan
    clear: float = math.nan
    depth: float = 0.0
    is_finished: bool = False
    line_at: float = math.nan  # reading at which the check looks for the scribed line

    @property
    def sets(self) -> int:
        """The axis on which each pass is set."""
        return 0 if self.faces[1] == "X" else 1


class _Sheet:
    """Carries out one line after another."""

    def __init__(self, draft: Draft) -> None:
        self.draft = draft
        self.state = State()
        self.state.distance, self.state.plane, self.state.motion = 900, 170, 10
        self.scales: Scales = {}
        self.order = Order()
        self.outside = math.nan
        self.radius = math.nan
        self.section = 0
        self.swivel = math.nan
        self.flats: list[ToldFlat] = []
        self.flat: _Flat | None = None
        self.ended = False

    @property
    def units(self) -> str:
        return self.state.units or "mm"

    def take(self, line: Line) -> bool:
        """Carry out a line, or complain of it; return whether it was sound."""
        fault: str | None = self.order.take(line) or boxes_fault(line) or getattr(self, f"_{line.kind}")(line)
        if fault:
            self.draft.complain(line.number, 1, "unread", fault)
        return not fault

    def _units(self, line: Line) -> None:
        self.state.units = self.state.first_units = line.texts[0]

    def _readout(self, line: Line) -> None:
        self.scales[line.texts[0]] = None

    def _dial(self, line: Line) -> str | None:
        if not (turn := line.length(1, self.units)) > 0.0:
            return "a turn of the handwheel goes somewhere"
        self.scales[line.texts[0]] = Dial(turn, int(line.texts[2]))
        return None

    def _outside(self, line: Line) -> str | None:
        if not (outside := line.length(0, self.units)) > 0.0:
            return "OUTSIDE is a distance from the centre, more than 0"
        self.outside = outside
        return None

    def _cutter(self, line: Line) -> str | None:
        self.state.tool = int(line.texts[0])
        self.radius = line.length(1, self.units) / 2.0
        if not self.radius > 0.0:
            return "a cutter has a diameter of more than 0"
        self.ask(line, "cutter", self.state.tool, 2.0 * self.radius, Event.CUTTER)
        return None

    def _raised(self, line: Line) -> str | None:
        if "outside" not in self.order.told:
            return "OUTSIDE must have been told before"
        height = line.reading(0, self.units, self.scales)
        if height is None or line.texts[0] != "Z":
            return _misread(line)
        self.state.place(2, height)
        if not height > 0.0:
            return "RAISED is above the stock's top, more than 0"
        self.ask(line, "height", 0, height)
        self.to(line, self.outside, -self.outside)
        return None

    def _depth(self, line: Line) -> str | None:
        height = line.reading(0, self.units, self.scales)
        if height is None or line.texts[0] != "Z":
            return _misread(line)
        self.state.place(2, height)
        self.section = int(line.texts[2])
        self.ask(line, "height", 0, height)
        return None

    def _swivel(self, line: Line) -> str | None:
        degrees, how = float(line.texts[0]), line.texts[1].split()[0]
        if how != ("JAWS" if not degrees else "ANTICLOCKWISE" if degrees > 0.0 else "CLOCKWISE"):
            return "a swivel of more than 0 is anticlockwise, of less clockwise, and at 0 the jaws are square"
        self.swivel = math.radians(degrees)
        self.ask(line, "swivel", 0, self.swivel)
        return None

    def _flat(self, line: Line) -> str | None:
        if int(line.texts[1]) != self.section:
            return f"the depth is that of section {self.section}, not of section {line.texts[1]}"
        self.flat = _Flat(line.number, int(line.texts[0]), line.texts[2])
        return None

    def _touch(self, line: Line) -> str | None:
        flat = self.known()
        side, what, name = line.texts[0], line.texts[1], line.texts[3]
        axis = "XY".index(name)
        if side[1] != name:
            return f"an edge towards {side} is touched along {side[1]}, not along {name}"
        if axis in flat.zeros:
            return f"{name} has its zero already"
        if axis == flat.sets and side != flat.faces:
            return f"a flat that faces {flat.faces} is touched off on that side"
        edge = line.length(2, self.units)
        flat.zeros[axis] = sum(_WAYS[side]) * (edge + self.radius)
        self.ask(line, what.lower(), list(_WAYS).index(side), edge)
        return None

    def _clear(self, line: Line) -> str | None:
        flat = self.known()
        begins, clear = (line.reading(place, self.units, self.scales) for place in (0, 2))
        if begins is None or clear is None:
            return _misread(line)
        if (line.texts[0], line.texts[2]) != ("XY"[1 - flat.sets], "XY"[flat.sets]):
            return "first the axis that cuts goes clear of its edge, then the one that is set"
        flat.begins, flat.clear = begins, clear
        self.come(line)
        return None

    def _start(self, line: Line) -> str | None:
        self.state.speed, self.state.direction = float(line.texts[0]), 1
        self.state.feed = float(line.texts[1])
        self.ask(line, "spindle", 0, self.state.speed)
        return None

    def _cut(self, line: Line) -> str | None:
        flat = self.known()
        cuts = "XY"[1 - flat.sets]
        begins, ends = (line.reading(place, self.units, self.scales) for place in (0, 2))
        if begins is None or ends is None:
            return _misread(line)
        if {line.texts[0], line.texts[2], line.texts[5]} != {cuts}:
            return f"a flat that faces {flat.faces} is cut along {cuts}"
        if (line.texts[4], line.texts[6]) != _TABLE[cuts, ends > begins]:
            table, reading = _TABLE[cuts, ends > begins]
            return f"from {line.texts[1]} to {line.texts[3]} it is {table}, {cuts} {reading}"
        if abs(begins - flat.begins) > _SAME:
            return "the cut begins where the cutter is clear of the work"
        flat.ends = ends
        return None

    def _back(self, line: Line) -> str | None:
        flat = self.known()
        clear, begins = (line.reading(place, self.units, self.scales) for place in (0, 2))
        if clear is None or begins is None:
            return _misread(line)
        axes = "XY"[flat.sets], "XY"[1 - flat.sets]
        if (line.texts[0], line.texts[2]) != axes or abs(begins - flat.begins) > _SAME:
            return "first the axis that is set goes back, then the one that cuts to where it began"
        if abs(clear - flat.clear) > _SAME:
            return "the way back goes to where the cutter was clear of the work"
        return None

    def _check(self, line: Line) -> str | None:
        flat = self.known()
        at = line.reading(0, self.units, self.scales)
        if at is None:
            return _misread(line)
        if line.texts[0] != "XY"[flat.sets] or abs(at - flat.depth) > _SAME:
            return "the check is made at the reading of the pass before it"
        flat.line_at = flat.depth - sum(_WAYS[flat.faces]) * line.length(2, self.units)
        for direction, speed in ((0, 0.0), (1, self.state.speed)):  # behind it the spindle is started again
            self.state.direction = direction
            self.ask(line, "spindle", 0, speed)
        return None

    def _pass(self, line: Line) -> str | None:
        flat = self.known()
        depth = line.reading(2, self.units, self.scales)
        if depth is None:
            return _misread(line)
        if line.texts[2] != "XY"[flat.sets]:
            return f"a flat that faces {flat.faces} is set on {'XY'[flat.sets]}"
        if int(line.texts[0]) != self.state.pass_number + 1:
            return f"pass {self.state.pass_number + 1} is wanted here, not pass {line.texts[0]}"
        self.state.pass_number += 1
        flat.depth, flat.is_finished = depth, line.texts[1] == "finish"
        self.one_axis(line, flat.sets, flat.zeros[flat.sets] + depth)
        self.one_axis(line, 1 - flat.sets, flat.zeros[1 - flat.sets] + flat.ends, Kind.FEED)
        self.one_axis(line, flat.sets, flat.zeros[flat.sets] + flat.clear)
        self.one_axis(line, 1 - flat.sets, flat.zeros[1 - flat.sets] + flat.begins)
        return None

    def _stop(self, line: Line) -> None:
        flat = self.known()
        self.state.direction = 0
        self.ask(line, "spindle", 0, 0.0)
        self.leave(line)
        way = sum(_WAYS[flat.faces])
        self.flats.append(
            ToldFlat(
                line=flat.line,
                section=self.section,
                flat=flat.number,
                facing=list(_WAYS).index(flat.faces) * math.pi / 2.0,
                swivel=self.swivel,
                height=self.state.work[2],
                distance=way * (flat.zeros[flat.sets] + flat.depth) - self.radius,
                is_finished=flat.is_finished,
                line_at=way * (flat.zeros[flat.sets] + flat.line_at) - self.radius,
            )
        )

    def _end(self, line: Line) -> str | None:
        self.ended = True
        self.state.reset()
        self.draft.add(self.state, line.number, False, Kind.EVENT, Event.END)
        return None

    def known(self) -> _Flat:
        assert self.flat is not None  # by the order of lines
        return self.flat

    def ask(self, line: Line, kind: str, number: int, value: float, event: Event = Event.ASK) -> None:
        """Keep what a person is asked; a sheet waits by itself."""
        row = self.draft.add(self.state, line.number, False, Kind.EVENT, event)
        text = " ".join((line.kind.upper(), *line.texts))
        self.draft.ask(Asked(line.number, row, kind, number, value, text))
        self.draft.add(self.state, line.number, False, Kind.EVENT, Event.STOP)

    def to(self, line: Line, x: float, y: float) -> None:
        """Go to a place, whatever the way: raised above everything."""
        self.state.place(0, x)
        self.state.place(1, y)
        self.draft.add(self.state, line.number, False, Kind.RAPID)

    def one_axis(self, line: Line, axis: int, place: float, kind: Kind = Kind.RAPID) -> None:
        """Move one axis."""
        if abs(self.state.work[axis] - place) > _SAME or kind == Kind.FEED:
            self.state.place(axis, place)
            self.draft.add(self.state, line.number, False, kind)

    def come(self, line: Line) -> None:
        """Come round outside the square to where a flat's passes begin: along the axis that cuts, clear of the work."""
        flat = self.known()
        along = 1 - flat.sets
        begin = flat.zeros[along] + flat.begins
        out = flat.zeros[flat.sets] + flat.clear
        side = math.copysign(self.outside, flat.zeros[along])
        goal = (side, out) if along == 0 else (out, side)
        for x, y in round_rim(self.outside, (self.state.work[0], self.state.work[1]), goal):
            self.one_axis(line, 0, x)
            self.one_axis(line, 1, y)
        self.one_axis(line, along, begin)

    def leave(self, line: Line) -> None:
        """Go back out to the square the way the cutter came."""
        flat = self.known()
        along = 1 - flat.sets
        self.one_axis(line, along, math.copysign(self.outside, flat.zeros[along]))


def _quoted(told: str) -> str:
    return f"'{told}'" if len(told) <= _MOST_QUOTED else f"'{told[:_MOST_QUOTED].rstrip()} …'"


def _misread(line: Line) -> str:
    return f"a reading of {line.kind.upper()} is not told as its axis is read"

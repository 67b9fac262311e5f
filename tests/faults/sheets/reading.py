"""A sheet for a mill worked by hand, read a second time: as a person with a pencil does, line by line.

It shares no code with the reader. Lengths mm, angles radians; readings count from an axis' zero.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field
from typing import NamedTuple

from tests.faults.motions import Alarm

__all__ = ["Block", "Scale", "Sheet", "Touch", "read"]

_NUMBER = r"(-?\d{1,6}(?:\.\d{1,6})?)"
_COUNT = r"([1-9]\d*)"
_AT = r"([XYZ]) (-?\d{1,6}(?:\.\d{1,6})?(?: t \d+(?:\.\d)?)?)"
#: What may be said, and the boxes that are ticked behind it.
_SAID = {
    "units": (r"UNITS (mm|inch)", ""),
    "readout": (r"([XYZ]) READOUT", ""),
    "dial": (rf"([XYZ]) DIAL {_NUMBER} A TURN, {_COUNT} DIVISIONS", ""),
    "cutter": (rf"CUTTER {_COUNT} DIAMETER {_NUMBER}", "in the spindle, tight"),
    "outside": (rf"OUTSIDE {_NUMBER} FROM THE CENTRE", ""),
    "raised": (rf"RAISED {_AT}", "above everything"),
    "depth": (rf"DEPTH {_AT} FOR SECTION {_COUNT}", "spindle stopped|cutter outside|unlock|set|lock"),
    "swivel": (
        rf"SWIVEL {_NUMBER} DEGREES, (JAWS SQUARE TO THE TABLE|(?:ANTI)?CLOCKWISE FROM ABOVE)",
        "spindle stopped|cutter outside|unlock|set|lock",
    ),
    "flat": (rf"FLAT {_COUNT} OF SECTION {_COUNT} FACES ([+-][XY])", ""),
    "touch": (
        rf"TOUCH ([+-])([XY]) (EDGE|CORNER), {_NUMBER} FROM THE CENTRE: ([XY]) 0",
        "spindle stopped|zero",
    ),
    "clear": (rf"CLEAR {_AT}, THEN {_AT}", "clear of the work"),
    "start": (rf"START SPINDLE {_COUNT}, FEED {_NUMBER} A MINUTE", "-"),
    "cut": (rf"CUT {_AT} TO {_AT}: table (left|right|towards you|away from you), ([XY]) (rises|falls)", ""),
    "back": (rf"BACK {_AT}, THEN {_AT}", ""),
    "pass": (rf"PASS {_COUNT} +(rough|finish) +{_AT}", "set|lock|cut|back"),
    "check": (
        rf"CHECK AT {_AT}: {_NUMBER} OUTSIDE THE LINE",
        "spindle stopped|as told|hands away, spindle started",
    ),
    "stop": (r"STOP SPINDLE", "chips off with a brush"),
    "end": (r"END(?:: raise the cutter above everything, then unclamp)?", ""),
}
_FLAT = ("flat", "touch", "touch", "clear", "start", "cut", "back", "pass")
_ONCE = {"units", "cutter", "outside", "raised"}


class Said(NamedTuple):
    """One line, its number counted from 1."""

    line: int
    kind: str
    words: tuple[str, ...]


class Scale(NamedTuple):
    """What one turn of a dial goes, mm, and its divisions; a turn of 0 for a readout."""

    turn: float
    divisions: int


class Touch(NamedTuple):
    """An edge: towards plus or minus (1 or -1) on an axis (0 or 1), and how far from the centre it is told to be."""

    line: int
    way: int
    axis: int
    edge: float
    is_corner: bool


@dataclass
class Block:
    """A flat: all that is said from its name to the stop of the spindle, and how the mill stands then.

    ``axis`` is the one that is set, ``way`` where the flat faces on it. ``passes`` have line, reading and whether they
    are the last. ``depths`` are the lines and heights that were set since the flat before.
    """

    line: int
    flat: int
    section: int
    axis: int
    way: int
    swivel: float
    height: float
    depths: list[tuple[int, float]]
    touches: list[Touch] = field(default_factory=list)
    rpm: float = math.nan
    feed: float = math.nan
    begins: float = math.nan
    ends: float = math.nan
    clear: float = math.nan
    passes: list[tuple[int, float, bool]] = field(default_factory=list)
    start: int = 0
    line_at: float = math.nan  # reading at which the check has the scribed line
    checked: int = 0  # passes before the check
    stop: int = 0


@dataclass
class Sheet:
    """All that a sheet says; ``raised`` is a line and a height, ``cutter`` a number and a diameter."""

    inch: bool = False
    scales: dict[str, Scale] = field(default_factory=dict)
    cutter: tuple[int, float] = (0, math.nan)
    outside: float = math.nan
    raised: tuple[int, float] = (0, math.nan)
    blocks: list[Block] = field(default_factory=list)


def read(text: str) -> Sheet:
    """Read a sheet.

    Raises:
        Alarm: a person does not know what to do, or is told it at the wrong time.
    """
    if text.split("\n")[0].strip() != "SHEET FOR A MILL WORKED BY HAND":
        raise Alarm("word", 1, "not a sheet")
    return _Reader().read(_lines(text))


def _lines(text: str) -> list[Said]:
    found: list[tuple[Said, list[str]]] = []
    for number, line in enumerate(text.split("\n")[1:], start=2):
        words = line.strip(" \f\r")
        if not words or words[0] == "|":
            continue
        parts = re.split(r"\[[ xX]\]", words)
        boxes = [" ".join(part.split()) or "-" for part in parts[1:]]
        if not parts[0] and found:
            found[-1][1].extend(boxes)
            continue
        said = parts[0].strip()
        for kind, (form, _) in _SAID.items():
            if match := re.fullmatch(form, said):
                found.append((Said(number, kind, match.groups()), boxes))
                break
        else:
            raise Alarm("word", number, said)
    for line_, boxes in found:
        if "|".join(boxes) != _SAID[line_.kind][1]:
            raise Alarm("word", line_.line, f"boxes {boxes}")
    return [line_ for line_, _ in found]


class _Reader:
    def __init__(self) -> None:
        self.sheet = Sheet()
        self.told: set[str] = set()
        self.anew: list[str] = []
        self.depths: list[tuple[int, float]] = []
        self.section, self.swivel, self.count = 0, math.nan, 0
        self.stage = 0  # of the block that is open: how many of its lines have come

    def read(self, lines: list[Said]) -> Sheet:
        for said in lines:
            self.order(said)
            getattr(self, f"on_{said.kind}")(said, *said.words)
            self.told.add(said.kind)
            if said.kind == "end":
                return self.sheet
        raise Alarm("end", lines[-1].line if lines else 1, "no end")

    def order(self, said: Said) -> None:
        kind, block = said.kind, _FLAT[self.stage] if self.stage < len(_FLAT) else "pass or stop or check"
        if block == "pass":
            block = "pass or check"
        if kind == "flat" and not {*_ONCE, "depth", "swivel"} <= self.told:
            raise Alarm("word", said.line, "too early")
        inside = kind in (*_FLAT, "stop", "check")
        if inside and kind not in block:
            raise Alarm("word", said.line, f"{block} is wanted")
        if not inside and self.stage:
            raise Alarm("word", said.line, "in the middle of a flat")
        if kind in _ONCE & self.told or (kind in self.anew and kind in ("depth", "swivel")):
            raise Alarm("word", said.line, "told already")
        if kind not in ("units", "end") and "units" not in self.told:
            raise Alarm("word", said.line, "before the units")
        if inside and kind != "check":
            self.stage = 0 if kind == "stop" else min(self.stage + 1, len(_FLAT))
        self.anew = [] if kind == "flat" else [*self.anew, kind]

    def length(self, word: str) -> float:
        return float(word) * (25.4 if self.sheet.inch else 1.0)

    def at(self, said: Said, axis: str, word: str) -> float:
        """Return what a reading comes to."""
        scale = self.sheet.scales.get(axis)
        if scale is None or (scale.turn > 0.0) != (" t " in word):
            raise Alarm("word", said.line, "a reading of another kind")
        if not scale.turn:
            return self.length(word)
        turns, divisions = word.split(" t ")
        if "." in turns or not float(divisions) < scale.divisions:
            raise Alarm("word", said.line, "no such reading")
        sign = -1.0 if turns[0] == "-" else 1.0
        return sign * scale.turn * (abs(int(turns)) + float(divisions) / scale.divisions)

    def on_units(self, said: Said, units: str) -> None:
        self.sheet.inch = units == "inch"

    def on_readout(self, said: Said, axis: str) -> None:
        self.scale(said, axis, Scale(0.0, 0))

    def on_dial(self, said: Said, axis: str, turn: str, divisions: str) -> None:
        if not self.length(turn) > 0.0:
            raise Alarm("word", said.line, "no dial")
        self.scale(said, axis, Scale(self.length(turn), int(divisions)))

    def scale(self, said: Said, axis: str, scale: Scale) -> None:
        if axis in self.sheet.scales:
            raise Alarm("word", said.line, "told already")
        self.sheet.scales[axis] = scale

    def on_cutter(self, said: Said, number: str, diameter: str) -> None:
        if not float(diameter) > 0.0:
            raise Alarm("word", said.line, "no cutter")
        self.sheet.cutter = int(number), self.length(diameter)

    def on_outside(self, said: Said, distance: str) -> None:
        if not float(distance) > 0.0:
            raise Alarm("word", said.line, "not outside")
        self.sheet.outside = self.length(distance)

    def on_raised(self, said: Said, axis: str, word: str) -> None:
        height = self.at(said, axis, word)
        if axis != "Z" or not height > 0.0 or "outside" not in self.told:
            raise Alarm("word", said.line, "not raised")
        self.sheet.raised = said.line, height

    def on_depth(self, said: Said, axis: str, word: str, section: str) -> None:
        if axis != "Z":
            raise Alarm("word", said.line, "no depth")
        self.depths.append((said.line, self.at(said, axis, word)))
        self.section = int(section)

    def on_swivel(self, said: Said, degrees: str, how: str) -> None:
        turn = {-1: "CLOCKWISE", 0: "JAWS", 1: "ANTICLOCKWISE"}[
            (float(degrees) > 0.0) - (float(degrees) < 0.0)
        ]
        if how.split()[0] != turn:
            raise Alarm("word", said.line, "the other way")
        self.swivel = math.radians(float(degrees))

    def on_flat(self, said: Said, number: str, section: str, faces: str) -> None:
        if int(section) != self.section:
            raise Alarm("word", said.line, "of another section")
        height = self.depths[-1][1] if self.depths else self.sheet.blocks[-1].height
        self.sheet.blocks.append(
            Block(
                said.line,
                int(number),
                int(section),
                "XY".index(faces[1]),
                1 if faces[0] == "+" else -1,
                self.swivel,
                height,
                self.depths,
            )
        )
        self.depths = []

    @property
    def block(self) -> Block:
        return self.sheet.blocks[-1]

    def on_touch(self, said: Said, sign: str, axis: str, what: str, edge: str, zero: str) -> None:
        way, number = 1 if sign == "+" else -1, "XY".index(axis)
        again = any(each.axis == number for each in self.block.touches)
        if axis != zero or again or (number == self.block.axis and way != self.block.way):
            raise Alarm("word", said.line, "another edge")
        self.block.touches.append(Touch(said.line, way, number, self.length(edge), what == "CORNER"))

    def on_clear(self, said: Said, cuts: str, begins: str, sets: str, clear: str) -> None:
        if cuts != "XY"[1 - self.block.axis] or sets != "XY"[self.block.axis]:
            raise Alarm("word", said.line, "another axis")
        self.block.begins, self.block.clear = self.at(said, cuts, begins), self.at(said, sets, clear)

    def on_check(self, said: Said, axis: str, word: str, over: str) -> None:
        done = self.block.passes
        before = done[-1][1] if done else 0.0
        if not math.isnan(self.block.line_at) or axis != "XY"[self.block.axis]:
            raise Alarm("word", said.line, "another check")
        if abs(self.at(said, axis, word) - before) > 1e-9:
            raise Alarm("word", said.line, "checked elsewhere")
        self.block.line_at, self.block.checked = before - self.block.way * self.length(over), len(done)

    def on_start(self, said: Said, rpm: str, feed: str) -> None:
        if not float(feed) > 0.0:
            raise Alarm("feed", said.line, "no feed")
        self.block.start = said.line
        self.block.rpm, self.block.feed = float(rpm), self.length(feed)

    def on_cut(self, said: Said, *words: str) -> None:
        axis, begins, axis_too, ends, table, named, goes = words
        along = "XY"[1 - self.block.axis]
        if {axis, axis_too, named} != {along}:
            raise Alarm("word", said.line, "another axis")
        if abs(self.at(said, axis, begins) - self.block.begins) > 1e-9:
            raise Alarm("word", said.line, "not where it is clear")
        self.block.ends = self.at(said, axis, ends)
        up = self.block.ends > self.block.begins
        moves = {("X", True): "left", ("X", False): "right", ("Y", True): "towards you"}
        if table != moves.get((along, up), "away from you") or goes != ("rises" if up else "falls"):
            raise Alarm("word", said.line, "it goes the other way")

    def on_back(self, said: Said, axis: str, clear: str, then: str, begins: str) -> None:
        if axis != "XY"[self.block.axis] or then != "XY"[1 - self.block.axis]:
            raise Alarm("word", said.line, "another axis")
        if abs(self.at(said, then, begins) - self.block.begins) > 1e-9:
            raise Alarm("word", said.line, "not where it began")
        if abs(self.at(said, axis, clear) - self.block.clear) > 1e-9:
            raise Alarm("word", said.line, "not where it was clear")

    def on_pass(self, said: Said, number: str, role: str, axis: str, word: str) -> None:
        self.count += 1
        if int(number) != self.count or axis != "XY"[self.block.axis]:
            raise Alarm("word", said.line, "another pass")
        self.block.passes.append((said.line, self.at(said, axis, word), role == "finish"))

    def on_stop(self, said: Said) -> None:
        if math.isnan(self.block.line_at) or len(self.block.passes) != self.block.checked + 1:
            raise Alarm("word", said.line, "no check, or not before the last pass")
        self.block.stop = said.line

    def on_end(self, said: Said) -> None:
        pass

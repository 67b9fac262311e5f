"""No control at all: a sheet for a person at a mill worked by hand, with a swivel vise and readouts or dials."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterable, Iterator, Mapping, Sequence

from polypocket.errors import DialectError
from polypocket.post import Post
from polypocket.program import Ask, Feed, Pass, Program, Scale, Setup, Spindle, TouchOff, UseCutter
from polypocket.reader.dialect import Dialect
from polypocket.units import MM_PER_INCH

__all__ = ["Handwheel"]

#: Characters in a line, lines on a page. Common practice, no source.
_WIDTH, _LINES = 80, 60
_NAMES = "XY"
_SIDES = ("+X", "+Y", "-X", "-Y")
#: Which way the table goes, and what the readout does, as the cutter goes along +X, +Y, -X, -Y over the work.
_TABLE = (
    "table left, X rises",
    "table towards you, Y rises",
    "table right, X falls",
    "table away from you, Y falls",
)


class Handwheel(Post):
    """Settings, readings and lines to tick, one flat after another."""

    name = "handwheel"
    title = "no control: a sheet for a person at the handwheels"
    traits = (
        "the mill has no control; readouts or dials are read",
        "the vise stands on a swivel base, which brings each flat parallel to the table's X or Y",
        "every flat is touched off anew, each pass is a reading",
    )
    dialect = Dialect(name="handwheel", is_sheet=True)
    by_hand = True
    scales: Mapping[str, Scale] | None = None

    def for_scales(self, scales: Mapping[str, Scale]) -> Handwheel:
        """Return the post for a person who reads these scales."""
        post = Handwheel()
        post.scales = scales
        return post

    def write(self, program: Program, header: Sequence[str], resolution: float = math.inf) -> str:
        """Return the sheet; ``header`` is told to the person, ``resolution`` is that of the scales."""
        if self.scales is None:
            raise DialectError("handwheel: on what the axes are read is not known")
        sheet = _Sheet(program, self.scales)
        blocks = [list(sheet.head(header))]
        for setup in program.setups:
            blocks += sheet.setup(setup)
        blocks.append(["END: raise the cutter above everything, then unclamp"])
        return "\n".join(_paged(blocks)) + "\n"


class _Sheet:
    """Writes the blocks of a sheet: lines that a reader can take, and behind a bar what is for the person alone."""

    def __init__(self, program: Program, scales: Mapping[str, Scale]) -> None:
        self.program = program
        self.scales = scales
        self.scale, self.places = (1.0, 3) if program.units == "mm" else (1.0 / MM_PER_INCH, 4)

    def head(self, header: Sequence[str]) -> Iterator[str]:
        yield "SHEET FOR A MILL WORKED BY HAND"
        for line in header:
            yield from _said(line)
        yield f"UNITS {self.program.units}"
        for name, scale in self.scales.items():
            if scale.turn is None or scale.divisions is None:
                yield f"{name} READOUT"
            else:
                yield f"{name} DIAL {self.fine(scale.turn)} A TURN, {scale.divisions} DIVISIONS"

    def setup(self, setup: Setup) -> Iterator[list[str]]:
        """Yield what is set first, then a block for each flat."""
        lines: list[str] = []
        passes: list[Pass] = []
        touch, spindle = None, Spindle(0.0)
        for item in setup.items:
            match item:
                case UseCutter(number, diameter):
                    lines.append(
                        f"CUTTER {number} DIAMETER {self.length(diameter)}  [ ] in the spindle, tight"
                    )
                case Ask("outside", float(distance), _):
                    lines.append(f"OUTSIDE {self.length(distance)} FROM THE CENTRE")
                    lines += _said(
                        "OUTSIDE is where the cutter's axis is at least so far from the block's centre, along X or "
                        "along Y. Go there before depth or swivel are set, and round there from flat to flat."
                    )
                case Ask("height", float(height), _) if height > 0.0:
                    lines.append(f"RAISED {self.reading('Z', height)}  [ ] above everything")
                case Ask("height", float(height), text):
                    lines += self.depth(height, text)
                case Ask("swivel", float(angle), text):
                    lines += self.swivel(angle, text)
                case TouchOff():
                    touch = item
                case Spindle(rpm):
                    if rpm:
                        spindle = item
                    elif touch is not None:
                        yield [*lines, *self.flat(touch, spindle, passes)]
                        lines, passes = [], []
                case Pass():
                    passes.append(item)
                case _:
                    raise DialectError(f"handwheel: a sheet has no place for {type(item).__name__}")

    def depth(self, height: float, text: str) -> Iterator[str]:
        yield ""
        yield f"DEPTH {self.reading('Z', height)} FOR {text.upper()}"
        yield "  [ ] spindle stopped  [ ] cutter outside  [ ] unlock  [ ] set  [ ] lock"
        yield from _said(
            f"THE DEPTH CHANGES HERE: {self.length(-height)} below the stock's top, where Z reads 0 with the "
            "cutter on it."
        )

    def swivel(self, angle: float, text: str) -> Iterator[str]:
        turn = "ANTICLOCKWISE" if angle > 0.0 else "CLOCKWISE"
        how = f"{turn} FROM ABOVE" if angle else "JAWS SQUARE TO THE TABLE"
        yield ""
        yield f"{text.removeprefix('SET ')} DEGREES, {how}"
        yield "  [ ] spindle stopped  [ ] cutter outside  [ ] unlock  [ ] set  [ ] lock"
        yield from _said("The part's centre moves as it turns: no reading from before holds.")

    def flat(self, touch: TouchOff, spindle: Spindle, passes: Sequence[Pass]) -> Iterator[str]:
        sets, cuts = _NAMES[touch.faces % 2], _NAMES[1 - touch.faces % 2]
        way = (touch.faces + 1) % 4
        begins, ends, clear = self.stretch(touch, passes)
        power = ", with its power feed" if touch.power_feed else ""
        yield ""
        yield f"FLAT {touch.flat} OF {touch.feature.upper()} FACES {_SIDES[touch.faces]}"
        yield f"| {cuts} cuts{power}; {sets} is set for each pass and locked."
        yield "| Touch the edge with the cutter, set the readout to zero:"
        yield self.touching(touch, sets, touch.faces)
        yield self.touching(touch, cuts, (way + 2) % 4)
        for name, is_corner in zip(_NAMES, touch.corners, strict=False):
            if is_corner:
                other = _NAMES[1 - _NAMES.index(name)]
                yield from _said(
                    f"{name}: a corner or a curve, no edge. Go along {other} in small steps and touch again and "
                    f"again: zero is where {name} stands furthest out. Beside that place the zero, and every pass, "
                    "would be too deep."
                )
        yield f"CLEAR {self.reading(cuts, begins)}, THEN {self.reading(sets, clear)}  [ ] clear of the work"
        yield f"START SPINDLE {spindle.rpm:.0f}, FEED {self.length(passes[0].cut[0].rate)} A MINUTE  [ ]"  # type: ignore[union-attr]
        yield f"CUT {self.reading(cuts, begins)} TO {self.reading(cuts, ends)}: {_TABLE[way]}"
        yield f"BACK {self.reading(sets, clear)}, THEN {self.reading(cuts, begins)}"
        yield f"| {sets} in from outside, lock; cut; unlock, {sets} back, {cuts} back."
        for number, item in enumerate(passes):
            at = self.set_at(touch, item.cut[-1])
            if number == len(passes) - 1:
                yield from self.check(touch, passes, sets)
            yield (
                f"  PASS {item.number:<4} {item.role:<7} {self.reading(sets, at):<16}"
                f"[ ] set [ ] lock [ ] cut [ ] back"
            )
        yield "STOP SPINDLE  [ ] chips off with a brush"

    def touching(self, touch: TouchOff, name: str, side: int) -> str:
        index = _NAMES.index(name)
        what = "CORNER" if touch.corners[index] else "EDGE"
        return (
            f"TOUCH {_SIDES[side]} {what}, {self.length(touch.edges[index])} FROM THE CENTRE: {name} 0  "
            "[ ] spindle stopped  [ ] zero"
        )

    def check(self, touch: TouchOff, passes: Sequence[Pass], sets: str) -> Iterator[str]:
        """Yield the reading at which the scribed line tells whether the zero is right; the spindle stands for it."""
        before = self.set_at(touch, passes[-2].cut[-1]) if len(passes) > 1 else 0.0
        yield (
            f"CHECK AT {self.reading(sets, before)}: {self.length(touch.last - abs(before))} OUTSIDE THE LINE  "
            "[ ] spindle stopped"
        )
        yield "  [ ] as told  [ ] hands away, spindle started"
        yield from _said(
            "So far the edge stands outside the scribed line. If not, do not go on: look at edge, stock and swivel, "
            "and touch off again. Then the last reading:"
        )

    def stretch(self, touch: TouchOff, passes: Sequence[Pass]) -> tuple[float, float, float]:
        """Return the readings between which all passes of a flat go, and the one at which they are clear of it."""
        found = {
            (
                self.cut_at(touch, item.lead_in[-1]),
                self.cut_at(touch, item.cut[-1]),
                self.set_at(touch, item.lead_out[0]),
            )
            for item in passes
        }
        if len(found) != 1:
            raise DialectError(f"handwheel: the passes of flat {touch.flat} do not all go the same way")
        return found.pop()

    def set_at(self, touch: TouchOff, move: object) -> float:
        """Return the reading of the axis that is set, mm."""
        return _read(touch, move, touch.faces % 2)

    def cut_at(self, touch: TouchOff, move: object) -> float:
        """Return the reading of the axis that cuts, mm."""
        return _read(touch, move, 1 - touch.faces % 2)

    def length(self, mm: float) -> str:
        return f"{mm * self.scale + 0.0:.{self.places}f}"

    def fine(self, mm: float) -> str:
        return f"{mm * self.scale:.6f}".rstrip("0").rstrip(".")

    def reading(self, name: str, mm: float) -> str:
        """Return what an axis reads: a length, or turns and divisions of its dial from zero."""
        scale = self.scales[name]
        if scale.turn is None or scale.divisions is None:
            text = self.length(round(mm, 9))
            return f"{name} {text.removeprefix('-') if not text.strip('-0.') else text}"
        tenths = round(abs(mm) / scale.turn * scale.divisions * 10.0)
        turns, rest = divmod(tenths, scale.divisions * 10)
        sign = "-" if mm < 0.0 and tenths else ""
        return f"{name} {sign}{turns} t {rest / 10:g}"


def _read(touch: TouchOff, move: object, axis: int) -> float:
    place = move.to[axis] if isinstance(move, Feed) else None
    if place is None:
        raise DialectError(f"handwheel: flat {touch.flat} is cut by {move}, which no handwheel makes")
    return round(place - touch.at[axis], 9)


def _said(text: str) -> Iterator[str]:
    """Fold what is for the person alone."""
    for line in textwrap.wrap(text, _WIDTH - 2):
        yield f"| {line}"


def _paged(blocks: Iterable[list[str]]) -> Iterator[str]:
    """Yield blocks whole on pages, each headed by its number; a block that is longer than a page is broken."""
    page, room = 1, _LINES
    for block in blocks:
        if len(block) > room and room < _LINES:
            page, room = page + 1, _LINES - 1
            yield f"\f| page {page}"
        for line in block:
            if not room:
                page, room = page + 1, _LINES - 1
                yield f"\f| page {page}"
            yield line
            room -= 1

"""Writes one setup block by block, and keeps the words in force, since what has not changed is not said again."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from itertools import product

from polypocket.errors import DialectError
from polypocket.post.expand import arc_in_pieces
from polypocket.post.lines import comments
from polypocket.post.manner import Manner
from polypocket.program import (
    Arc,
    Ask,
    Coolant,
    Drill,
    Dwell,
    Feed,
    Item,
    Link,
    Move,
    Pass,
    Point,
    Rapid,
    Setup,
    Spindle,
    UseCutter,
    asks_a_person,
    hole_strokes,
    without_stops,
)
from polypocket.units import MM_PER_INCH

__all__ = ["Writer"]

#: By how many of the smallest steps an arc's radii may differ: 0.002 mm, 0.0002 in, NISTIR 6556 (from memory).
_RADII_STEPS = 2


class Writer:
    """The blocks of one setup in a dialect."""

    def __init__(self, post: Manner, units: str, resolution: float) -> None:
        self.post = post
        self.units = units
        self.scale = 1.0 if units == "mm" else 1.0 / MM_PER_INCH
        self.format = post.number_format(units, resolution * self.scale)
        self.steps: dict[str, int] = {}
        self.here = Point()
        self.feed = ""

    def setup(self, setup: Setup) -> Iterator[str]:
        """Yield the blocks of a setup; lines are neither folded nor numbered yet."""
        asked = [item.value for item in setup.items if isinstance(item, Ask) and item.kind == "swivel"]
        if setup.roll or (setup.swivel and asked != [setup.swivel]):
            raise DialectError(f"{self.post.name}: a turned clamping that the program does not ask for")
        words = sorted((self.post.unit_words[self.units], setup.offset, *self.post.safe_words), key=_code)
        yield " ".join(words)
        for item, following in zip(setup.items, (*setup.items[1:], None), strict=True):
            yield from self._item(item)
            # What is asked in a row is asked at one stop.
            if asks_a_person(item) and not (following and asks_a_person(following)):
                yield "M0"

    def _item(self, item: Item) -> Iterator[str]:
        match item:
            case UseCutter():
                yield from self._cutter(item)
            case Spindle(rpm, clockwise):
                yield f"{self.post.spindle(rpm)} {'M3' if clockwise else 'M4'}" if rpm else "M5"
            case Coolant(on):
                yield "M8" if on else "M9"
            case Ask(_, _, text):
                yield from comments(text, self.post.room)
            case Link(moves):
                yield from self._moves(moves)
            case Pass():
                yield from comments(self._caption(item), self.post.room)
                if item.size_register is None:
                    moves = (*item.lead_in, *item.cut, *item.lead_out)
                    yield from self._moves(without_stops(self.here, moves))
                else:
                    yield from self._beside_the_path(item, item.size_register)

    def _cutter(self, item: UseCutter) -> Iterator[str]:
        """Write how a cutter comes into the spindle; its length is taken up where the control keeps it."""
        if not item.by_hand:
            self._require(
                self.post.tool_change, "the control changes no cutters; write tool_change.automatic = false"
            )
            yield f"T{item.number} M6"
        yield f"(CUTTER {item.number} DIAMETER {item.diameter * self.scale:.{self.format.places}f})"
        if item.touch_off:
            yield from comments(f"TOUCH OFF Z0 WITH CUTTER {item.number}", self.post.room)
        # Whoever changes it may have moved the axes, and another length makes other heights.
        self.steps.clear()
        self.here = Point()
        if item.length_register is not None:
            if item.by_hand:  # the length is that of the cutter that a person puts in first
                yield "M0"
            self._require(
                self.post.length_offsets, "the control keeps no cutter lengths; write length_offset = false"
            )
            yield f"G43 H{item.length_register}"

    def _beside_the_path(self, item: Pass, register: int) -> Iterator[str]:
        """Write a pass that the control leads beside its path by what a register holds: on and off in the leads."""
        self._require(self.post.size_offsets, "the control keeps no cutter sizes")
        on = "G42" if item.side == "left" else "G41"
        yield from self._with_word(f"{on} D{register}", self._moves_in_full(item.lead_in))
        yield from self._moves(item.cut)
        yield from self._with_word("G40", self._moves_in_full(item.lead_out))

    def _moves_in_full(self, moves: Iterable[Move]) -> Iterator[str]:
        """Write moves, the first with X and Y whether they change or not: the cutter may stand beside the path."""
        self.steps.pop("X", None)
        self.steps.pop("Y", None)
        yield from self._moves(moves)

    def _with_word(self, word: str, blocks: Iterable[str]) -> Iterator[str]:
        """Put a word into the first of some blocks."""
        for i, block in enumerate(blocks):
            yield block if i else f"{word} {block}"

    def _caption(self, item: Pass) -> str:
        where = (
            f"FLAT {item.flat}" if item.flat == item.last_flat else f"FLATS {item.flat} TO {item.last_flat}"
        )
        what = f"ROUGH STRIP {item.index}" if item.role == "rough" else "FINISH"
        level = f"{item.level * self.scale:.{self.format.places}f}".rstrip("0").rstrip(".")
        return f"PASS {item.number} {item.feature.upper()} {where} AT Z{level} {what}"

    def _moves(self, moves: Iterable[Move]) -> Iterator[str]:
        for move in moves:
            yield from self._move(move)
            if isinstance(move, Rapid | Feed | Arc):
                (x, y, z), (to_x, to_y, to_z) = self.here, move.to
                self.here = Point(
                    x if to_x is None else to_x, y if to_y is None else to_y, z if to_z is None else to_z
                )

    def _move(self, move: Move) -> Iterator[str]:
        match move:
            case Rapid(to):
                yield from self._straight("G0", to, None)
            case Feed(to, rate):
                yield from self._straight("G1", to, rate)
            case Arc():
                yield from self._arcs(move)
            case Drill() if self.post.cycles:
                yield from self._cycle(move)
            case Drill():
                yield from self._moves(hole_strokes(move))
            case Dwell(seconds):
                yield f"G4 P{seconds:.1f}"

    def _straight(self, code: str, to: Point, rate: float | None) -> Iterator[str]:
        words = self._words(to)
        if words:
            yield " ".join((code, *words, *self._changed_feed(rate)))

    def _cycle(self, hole: Drill) -> Iterator[str]:
        """Write a hole as a cycle that returns to where it starts feeding, and end the cycle at once."""
        x, y = hole.at
        yield from self._straight("G0", Point(x, y), None)
        yield from self._straight("G0", Point(z=hole.clear), None)
        code = "G83" if hole.peck > 0.0 else "G82" if hole.dwell > 0.0 else "G81"
        if hole.peck > 0.0 and hole.dwell > 0.0:
            raise DialectError(f"{self.post.name}: no cycle both pecks and waits at the bottom")
        words = [f"X{self._number(self._whole(x))}", f"Y{self._number(self._whole(y))}"]
        words += [f"Z{self._number(self._whole(hole.bottom))}", f"R{self._number(self._whole(hole.clear))}"]
        if hole.peck > 0.0:
            words.append(f"Q{self._number(self._whole(hole.peck))}")
        elif hole.dwell > 0.0:
            words.append(f"P{hole.dwell:.1f}")
        yield " ".join(("G99", code, *words, *self._changed_feed(hole.rate)))
        yield "G80"
        self.here = Point(x, y, hole.clear)

    def _arcs(self, arc: Arc) -> Iterator[str]:
        x, y, z = self.here
        if x is None or y is None:
            raise DialectError(f"{self.post.name}: an arc from a position that is not known")
        start = x, y, 0.0 if z is None else z
        for piece in arc_in_pieces(
            start,
            arc,
            full_circles=self.post.full_circles,
            quadrants=self.post.quadrant_arcs,
            shortest=_RADII_STEPS / (self.scale * 10**self.format.places),
        ):
            to = piece.to if z is not None or arc.to.z is not None else Point(piece.to.x, piece.to.y)
            yield from self._arc(start, Arc(to, piece.centre, piece.clockwise, 0, piece.rate))
            start = to.x or 0.0, to.y or 0.0, to.z or 0.0

    def _arc(self, begins: tuple[float, float, float], arc: Arc) -> Iterator[str]:
        """Write an arc of at most one turn; the centre is rounded so that the radii at both ends differ least."""
        start = self.steps["X"], self.steps["Y"]
        exact = self._exact(arc.centre)
        (x, y), z = self._exact((arc.to.x or 0.0, arc.to.y or 0.0)), arc.to.z
        end = round(x), round(y)
        goes_round = math.dist(begins[:2], (arc.to.x or 0.0, arc.to.y or 0.0)) * self.scale < 1e-9
        if not goes_round and math.dist(end, start) <= _RADII_STEPS:
            if _sweep(begins, arc) < math.pi:  # so short that a control could take it for a full circle
                yield from self._straight("G1", arc.to, arc.rate)
                return
            raise DialectError(f"{self.post.name}: an arc that could be taken for a full circle")
        across, along = exact[0] - start[0], exact[1] - start[1]
        ways = product((math.floor(across), math.ceil(across)), (math.floor(along), math.ceil(along)))
        i, j = min(ways, key=lambda ij: _radii_differ(start, end, ij))
        if _radii_differ(start, end, (i, j)) > _RADII_STEPS:
            raise DialectError(
                f"{self.post.name}: an arc's ends cannot be written on one circle about {arc.centre}"
            )
        words = [f"X{self._number(end[0])}", f"Y{self._number(end[1])}", *self._words(Point(z=z))]
        self.steps.update(X=end[0], Y=end[1])
        if not self.post.signed_centre:
            i, j = abs(i), abs(j)
        words += [f"I{self._number(i)}", f"J{self._number(j)}", *self._changed_feed(arc.rate)]
        yield " ".join(("G2" if arc.clockwise else "G3", *words))

    def _words(self, to: Point) -> list[str]:
        """Return the words of the axes that move, and keep where they move to."""
        words = []
        for axis, value in zip("XYZ", to, strict=True):
            if value is not None and self.steps.get(axis) != (whole := self._whole(value)):
                self.steps[axis] = whole
                words.append(f"{axis}{self._number(whole)}")
        return words

    def _exact(self, point: tuple[float, float]) -> tuple[float, float]:
        step = self.scale * 10**self.format.places
        return point[0] * step, point[1] * step

    def _whole(self, value: float) -> int:
        """Return a length as a whole number of the smallest steps that are written."""
        return round(value * self.scale * float(10**self.format.places))

    def _number(self, steps: int) -> str:
        return self.format.text(steps)

    def _changed_feed(self, rate: float | None) -> tuple[str, ...]:
        """Return the feed's word if it is another than the one in force; ``None`` is a rapid, which needs none."""
        if rate is None or (word := "F" + self.post.feed(rate * self.scale, self.units)) == self.feed:
            return ()
        self.feed = word
        return (word,)

    def _require(self, can: bool, text: str) -> None:
        """Raise a DialectError unless the dialect can say something."""
        if not can:
            raise DialectError(f"{self.post.name}: {text}")


def _code(word: str) -> float:
    return float(word[1:])


def _sweep(begins: tuple[float, float, float], arc: Arc) -> float:
    """Return the angle of an arc of at most one turn, radians."""
    (cx, cy), x, y = arc.centre, arc.to.x or 0.0, arc.to.y or 0.0
    turn = math.atan2(y - cy, x - cx) - math.atan2(begins[1] - cy, begins[0] - cx)
    return (-turn if arc.clockwise else turn) % (2.0 * math.pi)


def _radii_differ(start: tuple[int, int], end: tuple[int, int], ij: tuple[int, int]) -> float:
    """By how much an arc's radii at its two ends differ, in the smallest steps that are written."""
    centre = start[0] + ij[0], start[1] + ij[1]
    return abs(math.dist(start, centre) - math.dist(end, centre))

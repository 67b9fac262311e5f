"""The base class of the posts: from the neutral program to the text of a dialect; and how posts are found.

A post states two things apart from each other: how its dialect is written (the attributes below) and how a control
reads it (``dialect``). The second is the reader's; nothing here looks at it, so that one mistake cannot cancel itself.
"""

from __future__ import annotations

import math
import textwrap
import unicodedata
from collections.abc import Iterable, Iterator, Mapping, Sequence
from importlib.metadata import entry_points
from itertools import product
from typing import ClassVar

from polypocket.errors import DialectError, InputError
from polypocket.program import (
    Arc,
    Ask,
    Coolant,
    Dwell,
    Feed,
    Item,
    Link,
    Move,
    Pass,
    Point,
    Program,
    Rapid,
    Setup,
    Spindle,
    UseCutter,
)
from polypocket.reader.dialect import Dialect
from polypocket.units import MM_PER_INCH, shown

__all__ = ["Post", "post_named", "posts"]

#: Comments are folded at this width, so that they fit a control's screen. Common practice, no source.
_COMMENT_WIDTH = 68
#: The highest line number that every reader takes: five digits, NISTIR 6556.
_LAST_NUMBER = 99999
#: By how many of the smallest steps an arc's radii may differ: 0.002 mm, 0.0002 in, NISTIR 6556 (from memory).
_RADII_STEPS = 2
#: What stands for signs that no control shows.
_PLAIN = str.maketrans(
    {"(": "[", ")": "]", "°": " DEG", "µ": "U", "–": "-", "—": "-", "−": "-", "×": "X", "Ø": "DIA "}
)


class Post:
    """How one dialect is written. A dialect is a subclass that changes what is different, and no more."""

    name: ClassVar[str]
    #: One line that says what the dialect is.
    title: ClassVar[str]
    #: By what a person recognises it in a program that runs on their control.
    traits: ClassVar[tuple[str, ...]]
    #: How a control reads it.
    dialect: ClassVar[Dialect]

    #: The words that set the units.
    unit_words: ClassVar[Mapping[str, str]] = {"mm": "G21", "inch": "G20"}
    #: Further modal words that a program relies on, set in its first block.
    safe_words: ClassVar[tuple[str, ...]] = ("G17", "G40", "G49", "G80", "G90", "G94")
    #: The word that ends a program.
    end_word: ClassVar[str] = "M30"
    #: Decimals of a coordinate.
    decimals: ClassVar[Mapping[str, int]] = {"mm": 3, "inch": 4}
    #: Whether one more decimal may be written where an angle needs it.
    finer_decimals: ClassVar[bool] = False
    #: Whether every block carries a line number.
    numbered: ClassVar[bool] = False
    #: Whether a coordinate without a fraction still carries its decimal point.
    always_point: ClassVar[bool] = False
    #: Whether the program begins with its number.
    program_number: ClassVar[bool] = False

    def write(self, program: Program, header: Sequence[str], resolution: float = math.inf) -> str:
        """Return the text of a program with one setup.

        Args:
            program: the neutral program.
            header: lines that stand as comments at its head.
            resolution: how fine coordinates should be, mm; the dialect's own decimals where they are fine enough.

        Raises:
            DialectError: the dialect cannot say what the program needs.
        """
        (setup,) = program.setups
        lines = [comment for line in header for comment in comments(line)]
        lines += _Writer(self, program.units, resolution).setup(setup)
        lines.append(self.end_word)
        if self.numbered:
            step = 10 if 10 * len(lines) <= _LAST_NUMBER else 1
            if step * len(lines) > _LAST_NUMBER:
                raise DialectError(
                    f"{self.name}: the program has more blocks ({len(lines)}) than there are line numbers"
                )
            lines = [f"N{step * (i + 1)} {line}" for i, line in enumerate(lines)]
        opening = ["%", ":1"] if self.program_number else ["%"]
        return "\n".join([*opening, *lines, "%", ""])


def comments(text: str) -> Iterator[str]:
    """Fold a text into comments of plain capitals; a line that goes on begins with a dash and asks for nothing."""
    plain = unicodedata.normalize("NFKD", text.translate(_PLAIN)).encode("ascii", "ignore").decode().upper()
    plain = "".join(sign if sign.isprintable() else " " for sign in plain)
    for line in textwrap.wrap(plain, _COMMENT_WIDTH, subsequent_indent="- "):
        yield f"({line})"


class _Writer:
    """Writes one setup: the blocks, and the words in force, since what has not changed is not said again."""

    def __init__(self, post: Post, units: str, resolution: float) -> None:
        self.post = post
        self.units = units
        self.scale = 1.0 if units == "mm" else 1.0 / MM_PER_INCH
        self.places = post.decimals[units]
        if post.finer_decimals and 10.0**-self.places > resolution * self.scale:
            self.places += 1
        self.position: dict[str, int] = {}
        self.feed = ""

    def setup(self, setup: Setup) -> Iterator[str]:
        if setup.swivel or setup.roll:
            raise DialectError(f"{self.post.name}: a turned clamping is not written yet")
        words = sorted((self.post.unit_words[self.units], setup.offset, *self.post.safe_words), key=_code)
        yield " ".join(words)
        for item in setup.items:
            yield from self.item(item)

    def item(self, item: Item) -> Iterator[str]:
        match item:
            case UseCutter(number, diameter, length_register, by_hand):
                if length_register is not None:
                    raise DialectError(f"{self.post.name}: length registers are not written yet")
                if not by_hand:
                    yield f"T{number} M6"
                yield f"(CUTTER {number} DIAMETER {diameter * self.scale:.{self.places}f})"
                if by_hand:
                    yield "M0"
            case Spindle(rpm, clockwise):
                yield f"S{math.floor(rpm)} {'M3' if clockwise else 'M4'}" if rpm else "M5"
            case Coolant(on):
                yield "M8" if on else "M9"
            case Ask(_, _, text):
                yield from comments(text)
                yield "M0"
            case Link(moves):
                yield from self.moves(moves)
            case Pass():
                yield f"({self.caption(item)})"
                yield from self.moves((*item.lead_in, *item.cut, *item.lead_out))

    def caption(self, item: Pass) -> str:
        where = (
            f"FLAT {item.flat}" if item.flat == item.last_flat else f"FLATS {item.flat} TO {item.last_flat}"
        )
        what = f"ROUGH STRIP {item.index}" if item.role == "rough" else "FINISH"
        return f"PASS {item.number} {item.feature.upper()} {where} AT Z{self.number(self.whole(item.level))} {what}"

    def moves(self, moves: Iterable[Move]) -> Iterator[str]:
        for move in moves:
            match move:
                case Rapid(to):
                    yield from self.straight("G0", to, "")
                case Feed(to, rate):
                    yield from self.straight("G1", to, self.feed_word(rate))
                case Arc():
                    yield from self.arc(move)
                case Dwell(seconds):
                    yield f"G4 P{seconds:.1f}"
                case _:
                    raise DialectError(f"{self.post.name}: holes are not written yet")

    def straight(self, code: str, to: Point, feed: str) -> Iterator[str]:
        words = self.words(to)
        if words:
            yield " ".join((code, *words, *self.changed_feed(feed)))

    def arc(self, arc: Arc) -> Iterator[str]:
        """Write an arc with its centre from its start; the centre is rounded so that the radii differ least."""
        start = self.position["X"], self.position["Y"]
        exact = self.exact(arc.centre)
        if arc.turns:
            raise DialectError(f"{self.post.name}: more than one turn is not written yet")
        (x, y), z = self.exact((arc.to.x or 0.0, arc.to.y or 0.0)), arc.to.z
        end = round(x), round(y)
        if math.dist(end, start) <= _RADII_STEPS:
            # A control cannot tell a very short arc from a full circle, and takes it for one.
            raise DialectError(f"{self.post.name}: a full circle, or an arc too short to be told from one")
        across, along = exact[0] - start[0], exact[1] - start[1]
        ways = product((math.floor(across), math.ceil(across)), (math.floor(along), math.ceil(along)))
        i, j = min(ways, key=lambda ij: _radii_differ(start, end, ij))
        if _radii_differ(start, end, (i, j)) > _RADII_STEPS:
            raise DialectError(
                f"{self.post.name}: an arc's ends cannot be written on one circle about {arc.centre}"
            )
        code = "G2" if arc.clockwise else "G3"
        words = [f"X{self.number(end[0])}", f"Y{self.number(end[1])}"]
        words += self.words(Point(z=z))
        self.position.update(X=end[0], Y=end[1])
        words += [f"I{self.number(i)}", f"J{self.number(j)}", *self.changed_feed(self.feed_word(arc.rate))]
        yield " ".join((code, *words))

    def words(self, to: Point) -> list[str]:
        """Return the words of the axes that move, and keep where they move to."""
        words = []
        for axis, value in zip("XYZ", to, strict=True):
            if value is not None and self.position.get(axis) != (whole := self.whole(value)):
                self.position[axis] = whole
                words.append(f"{axis}{self.number(whole)}")
        return words

    def exact(self, point: tuple[float, float]) -> tuple[float, float]:
        step = self.scale * 10**self.places
        return point[0] * step, point[1] * step

    def whole(self, value: float) -> int:
        """Return a length as a whole number of the smallest steps that are written."""
        return round(value * self.scale * float(10**self.places))

    def number(self, whole: int) -> str:
        sign, digits = "-" if whole < 0 else "", str(abs(whole)).rjust(self.places + 1, "0")
        fraction = digits[-self.places :].rstrip("0")
        point = "." if fraction or self.post.always_point else ""
        return f"{sign}{digits[: -self.places]}{point}{fraction}"

    def feed_word(self, rate: float) -> str:
        """Round down, so that no feed is higher than it was meant to be."""
        tenths = 10 if self.units == "mm" else 100
        value = math.floor(rate * self.scale * tenths + 1e-6) / tenths
        text = f"{value:.2f}".rstrip("0")
        return "F" + (text if self.post.always_point else text.rstrip("."))

    def changed_feed(self, word: str) -> tuple[str, ...]:
        if not word or word == self.feed:
            return ()
        self.feed = word
        return (word,)


def _code(word: str) -> float:
    return float(word[1:])


def _radii_differ(start: tuple[int, int], end: tuple[int, int], ij: tuple[int, int]) -> float:
    """By how much an arc's radii at its two ends differ, in the smallest steps that are written."""
    centre = start[0] + ij[0], start[1] + ij[1]
    return abs(math.dist(start, centre) - math.dist(end, centre))


def posts() -> dict[str, Post]:
    """Return all installed posts by name."""
    found = {entry.name: entry.load()() for entry in entry_points(group="polypocket.posts")}
    return dict(sorted(found.items()))


def post_named(name: str) -> Post:
    """Return an installed post.

    Raises:
        InputError: none has that name.
    """
    entry = next(iter(entry_points(group="polypocket.posts", name=name)), None)
    if entry is None:
        known = ", ".join(sorted(entry_points(group="polypocket.posts").names))
        raise InputError(f"no dialect is called {shown(name)}; there are {known}")
    post = entry.load()()
    if not isinstance(post, Post):
        raise InputError(f"{entry.value} is not a post: it is no subclass of polypocket.post.Post")
    return post

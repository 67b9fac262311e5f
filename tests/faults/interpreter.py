"""A second, simpler interpreter of program text: only what our posts write, one pass, no mercy.

It shares no code with the reader. What it does not understand raises: ``Alarm`` where a control of the dialect stops
(NISTIR 6556, ISO 6983-1, from memory), ``Beyond`` where a control may well go on but nothing here can say how.
Lengths mm, feeds mm/min, speeds in turns a minute.
"""

from __future__ import annotations

import math
import re

from tests.faults.asks import ask_of, is_ask
from tests.faults.motions import Alarm, Beyond, Control, Hands, Reading, Step
from tests.faults.person import Person, fixed
from tests.faults.word_groups import BEYOND_G, GROUPS, M_GROUPS

__all__ = ["interpret"]

#: Exact since the international yard and pound agreement of 1959.
_INCH = 25.4
#: By how much an arc's radii may differ: 0.002 mm, 0.0002 in (NISTIR 6556, from memory).
_ARC_MM, _ARC_INCH = 0.002, 0.0002
#: Two lengths are alike, mm: sums of exactly written numbers.
_NOISE = 1e-9
_LONGEST_LINE = 256

_COMMENT = re.compile(r"\(([^()]*)\)")
_WORD = re.compile(r"([A-Z])([+-]?(?:\d+\.?\d*|\.\d+))")
_TOUCH = re.compile(r"TOUCH OFF Z0 WITH CUTTER ([1-9]\d*)")
_CUTTER = re.compile(r"CUTTER ([1-9]\d*) DIAMETER ([+-]?(?:\d+\.?\d*|\.\d+))")

_NO_HANDS = Hands()


def interpret(text: str, control: Control, hands: Hands = _NO_HANDS) -> Reading:
    """Carry out a program, and what it asks of a person where it stops.

    Raises:
        Alarm: a control stops.
        Beyond: what it does is not worked out here.
    """
    lines = [line.removesuffix("\r") for line in text.split("\n")]
    first = next((i for i, line in enumerate(lines) if line.strip(" \t")), 0)
    opened = lines[first].strip(" \t") == "%"
    machine = _Machine(control, hands)
    for number, line in enumerate(lines[first + opened :], first + opened + 1):
        bare = line.strip(" \t")
        if bare == "%":
            if not opened:
                raise Alarm("end", number, "a closing % without an opening one")
            if not (machine.ended or control.percent_ends):
                raise Alarm("end", number, "no M2 or M30 before the closing %")
            break
        if machine.ended:
            continue
        if control.numbered and opened and re.fullmatch(r":[ \t]*\d[\d \t]*", bare) and not machine.begun:
            machine.begun = True
            continue
        machine.begun = machine.begun or bool(bare)
        machine.line(line, number)
        if machine.ended and not opened:
            break
    else:
        raise Alarm("end", len(lines), "no end")
    machine.reading.spinning = (hands.spindle or not machine.ended) and machine.direction != 0
    return machine.reading


class _Machine(Person):
    def __init__(self, control: Control, hands: Hands) -> None:
        super().__init__(hands)
        self.control = control
        self.begun = self.ended = self.rounds = False
        self.scale: float | None = None
        self.mode: int | None = None
        self.plane: int | None = None
        self.absolute: bool | None = None
        self.feed = math.nan
        self.offset = "G54"
        self.selected: int | None = None
        self.asked = 0  # the line of a cutter that nobody has put in yet
        self.by_mill = False
        self.untouched = (
            False  # a cutter has been changed by hand for another, and nobody has been asked to touch off
        )

    def line(self, line: str, number: int) -> None:
        if len(line) > _LONGEST_LINE:
            raise Alarm("word", number, "too long a line")
        if line.lstrip(" \t").startswith("/"):
            raise Alarm("word", number, "a switch decides about this line")
        behind = self.hear_before(line, number)
        # A comment ends the word before it.
        bare = _COMMENT.sub("|", line).upper().replace(" ", "").replace("\t", "")
        if not bare.isascii() or any(sign in bare for sign in "()"):
            raise Alarm("word", number, "a comment that is not closed, or not opened")
        words: list[tuple[str, str]] = []
        for part in bare.split("|"):
            at = 0
            while at < len(part):
                found = _WORD.match(part, at)
                if found is None:
                    raise Alarm("word", number, f"{part[at:]} is no word")
                words.append((found[1], found[2]))
                at = found.end()
        self.block(words, number, bare.startswith("|"))
        for said in behind:
            self.hear(said, number)

    def hear_before(self, line: str, number: int) -> list[str]:
        """Hear the comments of a line, but return those behind its words: they are for later, if it does not stop."""
        first = re.search(r"[A-MO-Z]", _COMMENT.sub(lambda found: " " * len(found[0]), line.upper()))
        stops = re.search(r"M0*[01](?!\d)", _COMMENT.sub("", line.upper()).replace(" ", ""))
        behind: list[str] = []
        for found in _COMMENT.finditer(line):
            said = " ".join(found[1].upper().split())
            if first is None or stops is not None or found.start() < first.start():
                self.hear(said, number)
            else:
                behind.append(said)
        return behind

    def hear(self, said: str, number: int) -> None:
        if not is_ask(said):
            self.reading.remarks.append(said)
            return
        if (touched := _TOUCH.fullmatch(said)) is not None:
            self.untouched = self.untouched and int(touched[1]) != self.cutter
            self.lose(number)
            return
        found = _CUTTER.fullmatch(said)
        if found is None:
            self.wait(ask_of(said, number, self.scale, self.last_ask))
            return
        if self.scale is None:
            raise Alarm("units", number, "a diameter before the units")
        diameter = float(found[2]) * self.scale
        if diameter <= 0.0:
            raise Alarm("word", number, said)
        cutter = int(found[1])
        self.reading.cutters.append((cutter, diameter))
        if cutter != self.cutter or not self.by_mill:
            self.changing(number)
            self.untouched = self.cutter not in (0, cutter)
            self.by_mill = False
            self.lose(number)  # a person moves the axes
        self.cutter = cutter
        if cutter not in self.reading.changed:
            self.asked = number

    def block(self, words: list[tuple[str, str]], number: int, late: bool) -> None:
        numbered = bool(words) and words[0][0] == "N"
        if numbered:
            if late or not re.fullmatch(r"\d{1,5}", words[0][1]):
                raise Alarm("word", number, f"N{words[0][1]}")
            words = words[1:]
        if words and self.control.numbered and not numbered:
            raise Alarm("word", number, "a line without a number")
        codes: dict[str, float] = {}
        values: dict[str, float] = {}
        for letter, digits in words:
            value = float(digits)
            if letter in "GM":
                group = self.group(letter, digits, value, number)
                if group in codes:
                    raise Alarm("word", number, f"two words of the group {group}")
                codes[group] = value
            elif letter in values or letter not in "DFHIJKLPQRSTXYZ":
                raise Alarm("word", number, f"{letter}{digits}")
            elif self.control.point and letter in "XYZIJ" and "." not in digits:
                raise Alarm("word", number, f"{letter}{digits} without a point")
            else:
                values[letter] = value
        if codes or values:
            self.last_ask = None
        self.carry_out(codes, values, number)

    def group(self, letter: str, digits: str, value: float, number: int) -> str:
        if "-" in digits:
            raise Alarm("word", number, f"{letter}{digits}")
        if letter == "M":
            if value not in M_GROUPS:
                raise Alarm("word", number, f"M{digits}")
            return M_GROUPS[value]
        if value in (self.control.inch, self.control.millimetre):
            return "units"
        if value in BEYOND_G:
            raise Beyond(f"G{digits}")
        if value not in GROUPS:
            raise Alarm("word", number, f"G{digits}")
        return GROUPS[value]

    def carry_out(self, codes: dict[str, float], values: dict[str, float], number: int) -> None:
        if codes.get("compensation", 40) != 40:
            raise Alarm("compensation", number, "radius compensation")
        mode = int(codes["motion"]) if "motion" in codes else self.mode
        allowed = (
            set("FSTXYZ")
            | (set("IJ") if mode in (2, 3) else set())
            | (set("P") if "dwell" in codes else set())
        )
        if unused := values.keys() - allowed:
            if mode in (2, 3) and "R" in unused:
                raise Beyond("an arc by its radius")
            raise Alarm("word", number, f"nothing takes {sorted(unused)}")
        if any(values.get(letter, 0.0) < 0.0 for letter in "FSTP"):
            raise Alarm("word", number, "a negative feed, speed, number or time")
        if "F" in values:
            if self.scale is None:
                raise Alarm("units", number, "a feed before the units")
            self.feed = values["F"] * self.scale
        self.speed = values.get("S", self.speed)
        self.spindle_and_change(codes, values, number)
        if "dwell" in codes and ("P" not in values or values.keys() & set("XYZ")):
            raise Alarm("word", number, "a dwell without its time, or with axes")
        if "dwell" in codes:
            self.go_on()
        self.modes(codes, number)
        self.mode = mode
        axes = [axis for axis in "XYZ" if axis in values]
        if axes:
            self.move(values, number)
        elif codes.get("motion", 80) != 80 or values.keys() & {"I", "J"}:
            raise Alarm("word", number, "a motion without an axis")
        self.stop(codes, number)

    def spindle_and_change(self, codes: dict[str, float], values: dict[str, float], number: int) -> None:
        if "T" in values:
            if not values["T"].is_integer():
                raise Alarm("tool", number, "a cutter's number that is none")
            self.selected = int(values["T"])
        if "change" in codes:
            if self.selected is None:
                raise Alarm("tool", number, "M6 without T")
            self.reading.changed.append(self.selected)
            self.changing(number)
            self.cutter, self.by_mill = self.selected, True
            self.direction = 0
        if "spindle" in codes and self.hands.spindle:
            self.reading.switched.append(number)
        elif "spindle" in codes:
            self.spin({3: 1, 4: -1, 5: 0}[int(codes["spindle"])], number)
            if self.direction and self.asked:
                self.unattended()
            if self.direction:
                self.go_on()
        if self.direction:
            self.reading.speeds.append((self.rpm, self.cutter))

    def changing(self, number: int) -> None:
        if self.reading.steps:
            self.reading.changes.append((number, self.place[2]))

    def unattended(self) -> None:
        self.reading.unattended.append(self.asked)
        self.asked = 0

    def modes(self, codes: dict[str, float], number: int) -> None:
        if "plane" in codes:
            self.plane = int(codes["plane"])
        if "units" in codes:
            scale = _INCH if codes["units"] == self.control.inch else 1.0
            if self.scale not in (None, scale):
                raise Alarm("units", number, "other units than before")
            self.scale = scale
            self.reading.inch = scale != 1.0
        if "distance" in codes:
            self.absolute = codes["distance"] == 90
        if "offset" in codes and self.offset != (name := f"G{codes['offset']:g}"):
            self.offset, self.place = name, [None, None, None]
        if "path" in codes:
            self.rounds = codes["path"] == 64

    def move(self, values: dict[str, float], number: int) -> None:
        if self.mode is None or self.mode == 80 or self.absolute is None:
            raise Alarm("word", number, "axes, but no motion or no distance mode in force")
        if self.scale is None:
            raise Alarm("units", number, "a motion before the units")
        if self.mode != 0 and not self.feed > 0.0:
            raise Alarm("feed", number, "no feed")
        if any(letter in values and axis in self.hands.axes for axis, letter in enumerate("XYZ")):
            raise Alarm("undriven", number, "an axis without a drive")
        self.go_on()
        if self.asked:
            self.unattended()
        if self.untouched:
            self.reading.unattended.append(number)
            self.untouched = False
        start = list(self.place)
        for axis, letter in enumerate("XYZ"):
            if letter in values:
                length, here = values[letter] * self.scale, self.place[axis]
                if not self.absolute and here is None:
                    raise Alarm("word", number, "an incremental move from nowhere")
                self.place[axis] = length if self.absolute else length + (here or 0.0)
        centre = self.centre(values, start, number) if self.mode in (2, 3) else None
        if self.offset not in self.reading.offsets:
            self.reading.offsets.append(self.offset)
        self.moved = True
        self.reading.blends |= self.rounds and self.mode != 0
        if centre is None and start == self.place:
            return
        kind = ("rapid", "feed", "clockwise", "anticlockwise")[self.mode]
        feed = math.nan if self.mode == 0 else self.feed
        step = Step(number, kind, fixed(start), fixed(self.place), centre, feed, self.rpm, self.cutter)
        self.reading.steps.append(step)

    def centre(self, values: dict[str, float], start: list[float | None], number: int) -> tuple[float, float]:
        if self.plane != 17:
            raise Alarm("word", number, "an arc outside of the plane XY, or in none")
        if not values.keys() & {"X", "Y"} or not values.keys() & {"I", "J"}:
            raise Alarm("arc", number, "an arc without an end or a centre")
        if start[0] is None or start[1] is None or (start[2] is None and "Z" in values):
            raise Alarm("word", number, "an arc from nowhere")
        scale = self.scale or 1.0
        i, j = values.get("I", 0.0) * scale, values.get("J", 0.0) * scale
        centre = start[0] + i, start[1] + j
        end = self.place[0] or 0.0, self.place[1] or 0.0
        allowed = _ARC_MM if scale == 1.0 else _ARC_INCH * _INCH
        radii = math.hypot(i, j), math.dist(centre, end)
        if min(radii) <= _NOISE or abs(radii[0] - radii[1]) > allowed + _NOISE:
            raise Alarm("arc", number, f"radii {radii}")
        if _NOISE < math.dist((start[0], start[1]), end) <= allowed + _NOISE:
            raise Alarm("arc", number, "a full circle or nothing")
        return centre

    def stop(self, codes: dict[str, float], number: int) -> None:
        if (code := codes.get("stop")) is None:
            return
        if code in (2, 30):
            self.go_on()
            self.ended = True
            return
        if self.direction:
            self.reading.waits.append((len(self.reading.steps), number))
            if self.asked:
                self.reading.hands.append(number)
            if not self.hands.spindle:
                self.reading.turning.append(number)
        if code == 0:
            self.person()
            self.asked = 0

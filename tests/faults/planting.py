"""Faults of a person at a keypad, planted one at a time in a program's text; and changes that change nothing.

Each takes the good program and a source of chance and returns what becomes of it, or ``None`` where the program has
nothing of the kind. No source: the ways in which typing and editing go wrong are common knowledge.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from random import Random

from polypocket.model.job import BlockJob
from tests.faults.programs import Good

__all__ = ["FAULTS", "NOTHING", "Planted", "planted"]

_WORD = re.compile(r"([A-Z])([+-]?\d*\.?\d+\.?|[+-]?\d+\.?)")


@dataclass(frozen=True)
class Planted:
    """A changed text, and the job that it is run for."""

    text: str
    job: BlockJob


Plant = Callable[[Good, Random], str | Planted | None]


@dataclass(frozen=True)
class _Place:
    """One word outside of comments: the index of its line, where it begins and ends there, its letter and number."""

    line: int
    begin: int
    end: int
    letter: str
    number: str


def _places(text: str, letters: str, pattern: str = "") -> list[_Place]:
    found = []
    for index, line in enumerate(text.split("\n")):
        if line[:1] in ("%", ":"):
            continue
        bare = re.sub(r"\([^)]*\)", lambda comment: " " * len(comment[0]), line)
        for word in _WORD.finditer(bare):
            if word[1] in letters and (not pattern or re.fullmatch(pattern, word[0])):
                found.append(_Place(index, word.start(), word.end(), word[1], word[2]))
    return found


def _put(text: str, place: _Place, new: str) -> str:
    lines = text.split("\n")
    line = lines[place.line]
    lines[place.line] = line[: place.begin] + new + line[place.end :]
    return "\n".join(lines)


def _word(letters: str, change: Callable[[str, str, Random], str | None], pattern: str = "") -> Plant:
    """Return a fault that changes one word, given its letter and number."""

    def plant(good: Good, random: Random) -> str | None:
        places = _places(good.text, letters, pattern)
        if not places:
            return None
        place = random.choice(places)
        new = change(place.letter, place.number, random)
        return None if new is None else _put(good.text, place, new)

    return plant


def _code(old: str, *new: str) -> Plant:
    """Return a fault that puts another code in the place of one; ``old`` is a pattern."""
    return _word("GM", lambda letter, number, random: random.choice(new), old)


def _sign(letter: str, number: str, random: Random) -> str:
    return letter + (number[1:] if number[0] == "-" else f"-{number}")


def _digits(number: str) -> list[int]:
    return [i for i, sign in enumerate(number) if sign.isdigit()]


def _digit_dropped(letter: str, number: str, random: Random) -> str | None:
    digits = _digits(number)
    at = random.choice(digits)
    return letter + number[:at] + number[at + 1 :]


def _digit_changed(letter: str, number: str, random: Random) -> str:
    at = random.choice(_digits(number))
    return (
        letter + number[:at] + random.choice([d for d in "0123456789" if d != number[at]]) + number[at + 1 :]
    )


def _digit_doubled(letter: str, number: str, random: Random) -> str:
    at = random.choice(_digits(number))
    return letter + number[:at] + number[at] + number[at:]


def _digits_exchanged(letter: str, number: str, random: Random) -> str | None:
    pairs = [i for i in range(len(number) - 1) if number[i : i + 2].isdigit() and number[i] != number[i + 1]]
    if not pairs:
        return None
    at = random.choice(pairs)
    return letter + number[:at] + number[at + 1] + number[at] + number[at + 2 :]


def _point_lost(letter: str, number: str, random: Random) -> str | None:
    return letter + number.replace(".", "") if "." in number else None


def _point_moved(letter: str, number: str, random: Random) -> str:
    sign, digits = ("-", number[1:]) if number[0] == "-" else ("", number)
    at = digits.index(".") if "." in digits else len(digits)
    bare = digits.replace(".", "")
    to = max(0, min(len(bare), at + random.choice((-1, 1))))
    if to == at:
        to = at - 1
    return f"{letter}{sign}{bare[:to]}.{bare[to:]}" if bare[:to] or bare[to:] else f"{letter}{number}"


def _point_for_comma(letter: str, number: str, random: Random) -> str | None:
    return letter + number.replace(".", ",") if "." in number else None


def _two_points(letter: str, number: str, random: Random) -> str | None:
    return letter + number.replace(".", "..") if "." in number else None


def _letter_o(letter: str, number: str, random: Random) -> str | None:
    return letter + number.replace("0", random.choice("oO"), 1) if "0" in number else None


def _letter_l(letter: str, number: str, random: Random) -> str | None:
    return letter + number.replace("1", "l", 1) if "1" in number else None


def _other_letter(letter: str, number: str, random: Random) -> str:
    return random.choice([each for each in "XYZIJFSGM" if each != letter]) + number


def _times(factor: float) -> Callable[[str, str, Random], str]:
    def change(letter: str, number: str, random: Random) -> str:
        return letter + _number(float(number) * factor)

    return change


def _number(value: float) -> str:
    text = f"{value:.4f}".rstrip("0")
    return "0." if text in ("-0.", "0.") else text


def _nudged(by: float) -> Callable[[str, str, Random], str]:
    def change(letter: str, number: str, random: Random) -> str:
        return letter + _number(float(number) + random.choice((-by, by)))

    return change


def _axes_exchanged(good: Good, random: Random) -> str | None:
    lines = good.text.split("\n")
    at = [i for i, line in enumerate(lines) if _motion(line) and re.search(r"[XY]", line)]
    if not at:
        return None
    index = random.choice(at)
    lines[index] = lines[index].translate(str.maketrans("XY", "YX"))
    return "\n".join(lines)


def _centre_exchanged(good: Good, random: Random) -> str | None:
    lines = good.text.split("\n")
    at = [i for i, line in enumerate(lines) if _motion(line) and re.search(r"[IJ]", line)]
    if not at:
        return None
    index = random.choice(at)
    lines[index] = lines[index].translate(str.maketrans("IJ", "JI"))
    return "\n".join(lines)


def _motion(line: str) -> bool:
    return (
        not line.startswith(("(", "%", ":"))
        and re.search(r"G[0-3](?!\d)", re.sub(r"\(.*\)", "", line)) is not None
    )


def _blocks(text: str) -> list[int]:
    """Return the indices of lines that say something to the control."""
    lines = text.split("\n")
    return [
        i
        for i, line in enumerate(lines)
        if re.sub(r"^N\d+|\([^)]*\)", "", line).strip(" ") not in ("", "%", ":1")
    ]


def _line_missing(good: Good, random: Random) -> str:
    lines = good.text.split("\n")
    del lines[random.choice(_blocks(good.text))]
    return "\n".join(lines)


def _line_twice(good: Good, random: Random) -> str:
    lines = good.text.split("\n")
    at = random.choice(_blocks(good.text))
    return "\n".join([*lines[: at + 1], *lines[at:]])


def _lines_exchanged(good: Good, random: Random) -> str | None:
    lines = good.text.split("\n")
    at = random.choice([i for i in range(len(lines) - 1) if lines[i].strip() and lines[i + 1].strip()])
    if lines[at].startswith("(") and lines[at + 1].startswith("("):
        return None
    lines[at], lines[at + 1] = lines[at + 1], lines[at]
    return "\n".join(lines)


def _line_moved(good: Good, random: Random) -> str:
    """Put a line somewhere else."""
    lines = good.text.split("\n")
    blocks = _blocks(good.text)
    line = lines.pop(random.choice(blocks))
    lines.insert(random.choice(blocks[:-1]), line)
    return "\n".join(lines)


def _line_copied(good: Good, random: Random) -> str:
    """Put a copy of a line somewhere else."""
    lines = good.text.split("\n")
    blocks = _blocks(good.text)
    lines.insert(random.choice(blocks), lines[random.choice(blocks)])
    return "\n".join(lines)


def _lines_joined(good: Good, random: Random) -> str:
    lines = good.text.split("\n")
    at = random.choice(_blocks(good.text)[:-1])
    following = re.sub(r"^N\d+ ", "", lines[at + 1]) if random.random() < 0.5 else lines[at + 1]
    return "\n".join([*lines[:at], f"{lines[at]} {following}", *lines[at + 2 :]])


def _line_cut(good: Good, random: Random) -> str:
    """Lose the end of a line."""
    lines = good.text.split("\n")
    at = random.choice(_blocks(good.text))
    lines[at] = lines[at][: random.randrange(len(lines[at]))]
    return "\n".join(lines)


def _tail_lost(good: Good, random: Random) -> str:
    """Lose the rest of the program, as when a transfer breaks off."""
    lines = good.text.split("\n")
    return "\n".join(lines[: random.choice(_blocks(good.text))])


def _matching(pattern: str) -> Plant:
    """Return a fault that loses a line that fits a pattern."""

    def plant(good: Good, random: Random) -> str | None:
        lines = good.text.split("\n")
        found = [i for i, line in enumerate(lines) if re.fullmatch(rf"(?:N\d+ )?(?:{pattern})", line)]
        if not found:
            return None
        del lines[random.choice(found)]
        return "\n".join(lines)

    return plant


def _word_missing(letters: str, pattern: str = "") -> Plant:
    return _word(letters, lambda letter, number, random: "", pattern)


def _bare_letter(letter: str, number: str, random: Random) -> str:
    return letter


def _bare_number(letter: str, number: str, random: Random) -> str:
    return number


def _into_line(pattern: str, *new: str, before: bool = False) -> Plant:
    """Return a fault that puts words at the end (or before the first word) of a line that fits a pattern."""

    def plant(good: Good, random: Random) -> str | None:
        lines = good.text.split("\n")
        found = [i for i in _blocks(good.text) if re.search(pattern, re.sub(r"\([^)]*\)", "", lines[i]))]
        if not found:
            return None
        at = random.choice(found)
        number, rest = re.fullmatch(r"(N\d+ )?(.*)", lines[at]).groups()  # type: ignore[union-attr]
        word = random.choice(new)
        lines[at] = f"{number or ''}{word} {rest}" if before else f"{lines[at]} {word}"
        return "\n".join(lines)

    return plant


def _pass_ranges(text: str) -> list[tuple[int, int]]:
    lines = text.split("\n")
    heads = [i for i, line in enumerate(lines) if "(PASS " in line]
    lasts = [*heads[1:], max(i for i, line in enumerate(lines) if re.search(r"G0 Z", line)) if heads else 0]
    return [(begin, end) for begin, end in zip(heads, lasts, strict=True) if end > begin]


def _pass_missing(good: Good, random: Random) -> str | None:
    ranges = _pass_ranges(good.text)
    if not ranges:
        return None
    begin, end = random.choice(ranges)
    lines = good.text.split("\n")
    return "\n".join([*lines[:begin], *lines[end:]])


def _passes_exchanged(good: Good, random: Random) -> str | None:
    ranges = _pass_ranges(good.text)
    if len(ranges) < 2:
        return None
    at = random.randrange(len(ranges) - 1)
    (a, b), (_, c) = ranges[at], ranges[at + 1]
    lines = good.text.split("\n")
    return "\n".join([*lines[:a], *lines[b:c], *lines[a:b], *lines[c:]])


def _pass_reversed(good: Good, random: Random) -> str | None:
    """Go along one stroke the other way: first to its end, then back to its beginning."""
    strokes = [step for step in good.reading.steps if step.kind == "feed" and step.start[2] == step.end[2]]
    allowed = good.job.cut.feed * 1.01
    strokes = [step for step in strokes if step.feed <= allowed and None not in step.start]
    if not strokes:
        return None
    step = random.choice(strokes)
    lines = good.text.split("\n")
    line = lines[step.line - 1]
    number = (re.match(r"N\d+ ", line) or [""])[0]
    unit = 25.4 if good.job.units == "inch" else 1.0
    feed = (re.search(r"F[\d.]+", line) or [""])[0]
    there = f"{number}G1 X{_number(step.end[0] / unit)} Y{_number(step.end[1] / unit)} {feed}".rstrip()  # type: ignore[operator]
    back = f"{number}G1 X{_number(step.start[0] / unit)} Y{_number(step.start[1] / unit)}"  # type: ignore[operator]
    # The beginning is come to through the air, above the work.
    high = f"{number}G0 Z{_number((good.job.clamping.clamp_height + 2.0) / unit)}"
    low = f"{number}G0 Z{_number(step.start[2] / unit)}"  # type: ignore[operator]
    quick = there.replace("G1", "G0").split(" F")[0]
    return "\n".join(
        [*lines[: step.line - 1], high, quick, low, f"{back} {feed}".rstrip(), *lines[step.line :]]
    )


def _retract_missing(good: Good, random: Random) -> str | None:
    places = [place for place in _places(good.text, "Z") if not place.number.startswith("-")]
    if not places:
        return None
    lines = good.text.split("\n")
    del lines[random.choice(places).line]
    return "\n".join(lines)


def _depth(factor: float, *, everywhere: bool) -> Plant:
    def plant(good: Good, random: Random) -> str | None:
        places = [place for place in _places(good.text, "Z") if place.number.startswith("-")]
        if not places:
            return None
        text = good.text
        for place in reversed(places) if everywhere else [random.choice(places)]:
            text = _put(text, place, f"Z{_number(float(place.number) * factor)}")
        return text

    return plant


def _other_cutter(good: Good, random: Random) -> Planted:
    """Put another cutter in: the job says so and so does the program, but its path was made for the old one."""
    old = good.job.cutter.diameter
    unit = 25.4 if good.job.units == "inch" else 1.0
    new = round((old + random.choice((-2.0, -0.5, -0.1, 0.1, 0.5, 2.0))) / unit, 4) * unit
    job = good.job.model_copy(update={"cutter": good.job.cutter.model_copy(update={"diameter": new})})
    text = re.sub(r"DIAMETER [\d.]+\)", f"DIAMETER {new / unit:.4f})", good.text)
    return Planted(text, job)


def _cutter_said(good: Good, random: Random) -> str | None:
    """Change the cutter that a comment asks for."""
    found = list(re.finditer(r"\(CUTTER (\d+) DIAMETER ([\d.]+)\)", good.text))
    if not found:
        return None
    said = random.choice(found)
    number, diameter = int(said[1]), float(said[2])
    new = random.choice(
        (
            f"(CUTTER {number + 1} DIAMETER {diameter})",
            f"(CUTTER {number} DIAMETER {diameter * 1.1:.4f})",
            f"(CUTTER {number} DIAMETER {diameter * 10:.4f})",
            f"(CUTTER {number} DIAMETR {diameter})",
            f"(CUTTER {number})",
            f"(CUTTER DIAMETER {diameter})",
        )
    )
    return good.text[: said.start()] + new + good.text[said.end() :]


def _comment_open(good: Good, random: Random) -> str:
    ends = [found.start() for found in re.finditer(r"\)", good.text)]
    at = random.choice(ends)
    return good.text[:at] + good.text[at + 1 :]


def _comment_unbegun(good: Good, random: Random) -> str:
    begins = [found.start() for found in re.finditer(r"\(", good.text)]
    at = random.choice(begins)
    return good.text[:at] + good.text[at + 1 :]


def _commented_out(good: Good, random: Random) -> str:
    """Put a whole block in parentheses."""
    lines = good.text.split("\n")
    at = random.choice([i for i in _blocks(good.text) if "(" not in lines[i]])
    lines[at] = f"({lines[at]})"
    return "\n".join(lines)


def _stray(good: Good, random: Random) -> str:
    lines = good.text.split("\n")
    at = random.choice(_blocks(good.text))
    where = random.randrange(len(lines[at]) + 1)
    lines[at] = (
        lines[at][:where] + random.choice(";:#[]*=?!\"'&$@^~_-+.,0123456789GMXYZFIJ") + lines[at][where:]
    )
    return "\n".join(lines)


def _character_lost(good: Good, random: Random) -> str:
    lines = good.text.split("\n")
    at = random.choice(_blocks(good.text))
    where = random.randrange(len(lines[at]))
    lines[at] = lines[at][:where] + lines[at][where + 1 :]
    return "\n".join(lines)


def _percent_lost(good: Good, random: Random) -> str:
    lines = good.text.split("\n")
    del lines[random.choice([i for i, line in enumerate(lines) if line == "%"])]
    return "\n".join(lines)


_AXES, _LENGTHS = "XYZ", "XYZIJ"

#: What goes wrong, by name.
FAULTS: dict[str, Plant] = {
    "sign flipped": _word(_LENGTHS, _sign),
    "digit dropped": _word(_LENGTHS, _digit_dropped),
    "digit changed": _word(_LENGTHS, _digit_changed),
    "digit twice": _word(_LENGTHS, _digit_doubled),
    "digits exchanged": _word(_LENGTHS, _digits_exchanged),
    "point lost": _word(_LENGTHS, _point_lost),
    "point moved": _word(_LENGTHS, _point_moved),
    "comma for point": _word(_LENGTHS, _point_for_comma),
    "two points": _word(_LENGTHS, _two_points),
    "length nudged by 0.1": _word(_AXES, _nudged(0.1)),
    "length nudged by 0.02": _word(_AXES, _nudged(0.02)),
    "length nudged by 1": _word(_AXES, _nudged(1.0)),
    "X and Y exchanged": _axes_exchanged,
    "I and J exchanged": _centre_exchanged,
    "axis word missing": _word_missing("XYZ"),
    "centre word missing": _word_missing("IJ"),
    "centre moved": _word("IJ", _nudged(0.5)),
    "centre's sign flipped": _word("IJ", _sign),
    "number missing": _word("GMFSXYZIJ", _bare_letter),
    "letter missing": _word("GMFSXYZIJ", _bare_number),
    "other letter": _word("GMFSXYZIJ", _other_letter),
    "o for 0": _word("GMFSXYZIJ", _letter_o),
    "l for 1": _word("GMFSXYZIJ", _letter_l),
    "digit of a code changed": _word("GM", _digit_changed),
    "digit of a code dropped": _word("GM", _digit_dropped),
    "arc the other way": _code("G0?[23]", "G2", "G3"),
    "arc made straight": _code("G0?[23]", "G1"),
    "arc made rapid": _code("G0?[23]", "G0"),
    "line made an arc": _code("G0?1", "G2", "G3"),
    "rapid for feed": _code("G0?1", "G0"),
    "feed for rapid": _code("G0?0", "G1"),
    "G word missing": _word_missing("G"),
    "G91 for G90": _code("G90", "G91"),
    "G90 missing": _word_missing("G", "G90"),
    "other units": _code("G(20|21|70|71)", "G20", "G21", "G70", "G71"),
    "units missing": _word_missing("G", "G(20|21|70|71)"),
    "other plane": _code("G17", "G18", "G19"),
    "other work offset": _code(r"G5[4-9](\.\d)?", "G54", "G55", "G56", "G59", "G59.1"),
    "compensation on": _into_line(r"G[0-3](?!\d)", "G41 D1", "G42 D1", "G41", before=True),
    "compensation in the first line": _code("G40", "G41", "G42"),
    "incremental from here": _into_line(r"G[0-3](?!\d)", "G91", before=True),
    "exact path left": _code("G61", "G64"),
    "feed missing": _word_missing("F"),
    "feed ten times too high": _word("F", _times(10.0)),
    "feed ten times too low": _word("F", _times(0.1)),
    "feed's digit changed": _word("F", _digit_changed),
    "feed's digit dropped": _word("F", _digit_dropped),
    "feed zero": _word("F", lambda letter, number, random: "F0."),
    "feed negative": _word("F", _sign),
    "speed missing": _word_missing("S"),
    "speed's digit changed": _word("S", _digit_changed),
    "speed's digit dropped": _word("S", _digit_dropped),
    "speed's digit twice": _word("S", _digit_doubled),
    "speed negative": _word("S", _sign),
    "spindle not started": _word_missing("M", "M3"),
    "spindle the other way": _code("M3", "M4"),
    "spindle stopped on the way": _into_line(r"G1(?!\d)", "M5"),
    "spindle line missing": _matching(r"S\d+ M3"),
    "spindle stop missing": _matching("M5"),
    "stop missing": _matching("M0"),
    "stop made optional": _code("M0", "M1"),
    "end missing": _matching("M30"),
    "end early": _into_line(r"G1(?!\d)", "M30"),
    "percent lost": _percent_lost,
    "line missing": _line_missing,
    "line twice": _line_twice,
    "lines exchanged": _lines_exchanged,
    "line moved": _line_moved,
    "line copied elsewhere": _line_copied,
    "lines joined": _lines_joined,
    "line cut short": _line_cut,
    "rest lost": _tail_lost,
    "line made a comment": _commented_out,
    "comment left open": _comment_open,
    "comment not begun": _comment_unbegun,
    "pass missing": _pass_missing,
    "passes exchanged": _passes_exchanged,
    "stroke reversed": _pass_reversed,
    "retract missing": _retract_missing,
    "depth doubled": _depth(2.0, everywhere=True),
    "depth halved": _depth(0.5, everywhere=True),
    "one depth doubled": _depth(2.0, everywhere=False),
    "one depth halved": _depth(0.5, everywhere=False),
    "other cutter": _other_cutter,
    "other cutter asked for": _cutter_said,
    "cutter not asked for": _matching(r"\(CUTTER .*\)|T\d+ M6"),
    "stray character": _stray,
    "character lost": _character_lost,
    "switched line": _into_line(r"G[01](?!\d)", "/", before=True),
}


def _everywhere(change: Callable[[str, Random], str]) -> Plant:
    """Return a change of every line of the program but those that are no blocks."""

    def plant(good: Good, random: Random) -> str:
        lines = good.text.split("\n")
        for at in _blocks(good.text):
            if "(" not in lines[at]:
                lines[at] = change(lines[at], random)
        return "\n".join(lines)

    return plant


def _each_word(change: Callable[[str, str, Random], str]) -> Plant:
    return _everywhere(lambda line, random: _WORD.sub(lambda word: change(word[1], word[2], random), line))


def _leading_zeros(letter: str, number: str, random: Random) -> str:
    if letter == "N" or random.random() < 0.3:
        return letter + number
    sign, digits = ("-", number[1:]) if number[0] == "-" else ("", number)
    return f"{letter}{sign}{'0' * random.randint(1, 2)}{digits}"


def _trailing_zeros(letter: str, number: str, random: Random) -> str:
    if letter not in "XYZIJF":
        return letter + number
    return f"{letter}{number}{'' if '.' in number else '.'}{'0' * random.randint(1, 3)}"


def _plus(letter: str, number: str, random: Random) -> str:
    return f"{letter}+{number}" if letter in "XYZIJFS" and number[0] != "-" else letter + number


def _point_bare(letter: str, number: str, random: Random) -> str:
    """Leave out the zero before the point."""
    return letter + re.sub(r"^(-?)0\.(?=\d)", r"\1.", number)


def _blanks(line: str, random: Random) -> str:
    return "".join(sign + random.choice(("", "", "", " ", "\t", "  ")) for sign in line)


def _no_blanks(line: str, random: Random) -> str:
    return line.replace(" ", "")


def _shuffled(line: str, random: Random) -> str:
    words = line.split(" ")
    first = words[:1] if words[0].startswith("N") else []
    rest = words[len(first) :]
    random.shuffle(rest)
    return " ".join([*first, *rest])


def _any_case(line: str, random: Random) -> str:
    return "".join(random.choice((sign, sign.lower())) for sign in line)


def _comment_added(line: str, random: Random) -> str:
    return f"{line} ({random.choice(('SEE THE DRAWING', 'x', '', 'G0 Z-100', 'Setting 3', 'passed'))})"


def _numbered(good: Good, random: Random) -> str:
    """Number lines that need none, or number them anew; numbers need not be in order."""
    lines = good.text.split("\n")
    return "\n".join(
        re.sub(r"^(N\d+ )?(?=[^%:])", f"N{random.randint(0, 99999)} ", line) if line.strip() else line
        for line in lines
    )


def _blank_lines(good: Good, random: Random) -> str:
    return "\n".join(f"{line}\n" if random.random() < 0.3 else line for line in good.text.split("\n"))


def _line_ends(good: Good, random: Random) -> str:
    return good.text.replace("\n", "\r\n")


def _stroke_twice(good: Good, random: Random) -> str | None:
    """Say a straight motion twice: the second time it goes nowhere."""
    lines = good.text.split("\n")
    at = random.choice(
        [i for i, line in enumerate(lines) if re.search(r"G[01] [XYZ]", line) and "(" not in line]
    )
    return "\n".join([*lines[: at + 1], *lines[at:]])


#: What changes nothing, by name.
NOTHING: dict[str, Plant] = {
    "case": _everywhere(_any_case),
    "blanks put in": _everywhere(_blanks),
    "blanks left out": _everywhere(_no_blanks),
    "words in another order": _everywhere(_shuffled),
    "comments added": _everywhere(_comment_added),
    "lines numbered": _numbered,
    "plus signs": _each_word(_plus),
    "leading zeros": _each_word(_leading_zeros),
    "trailing zeros": _each_word(_trailing_zeros),
    "bare points": _each_word(_point_bare),
    "blank lines": _blank_lines,
    "line ends": _line_ends,
    "M2 for M30": _code("M30", "M2", "M02"),
    "motion said twice": _stroke_twice,
}


def planted(kind: str, good: Good, random: Random) -> Planted | None:
    """Plant a fault, or a change of nothing; ``None`` where the program has no place for it or stays as it is."""
    made = (FAULTS | NOTHING)[kind](good, random)
    if made is None:
        return None
    done = Planted(made, good.job) if isinstance(made, str) else made
    return None if done == Planted(good.text, good.job) else replace(done)

"""Faults in what comments ask of a person, and ways of writing them that change nothing."""

from __future__ import annotations

import re
from collections.abc import Callable
from random import Random

from tests.faults import words
from tests.faults.lines import matching
from tests.faults.places import Plant, number_text
from tests.faults.programs import Good

__all__ = ["ASK_FAULTS", "NOTHING_ASKED"]

#: A comment that asks for something: what stands in its parentheses.
_ASK = re.compile(r"\(((?:SET|START|STOP) [^()]*|[XYZ] \d+ TURNS [^()]*)\)")
_NUMBER = re.compile(r"-?\d+\.?\d*")
_SETS = r"SET [XYZ] "

#: What becomes of the text of an ask; ``None`` where it has nothing of the kind.
Change = Callable[[str, Random], str | None]


def _ask(change: Change, begins: str = "", *, everywhere: bool = False) -> Plant:
    """Return a fault that changes what stands in the parentheses of one ask, or all, that begins like a pattern."""

    def plant(good: Good, random: Random) -> str | None:
        found = [each for each in _ASK.finditer(good.text) if re.match(begins, each[1])]
        if not found:
            return None
        text = good.text
        for each in reversed(found) if everywhere else [random.choice(found)]:
            new = change(each[1], random)
            if new is None:
                return None
            text = text[: each.start(1)] + new + text[each.end(1) :]
        return text

    return plant


def _number(change: Callable[[str, str, Random], str | None]) -> Change:
    """Return a change of one of the numbers of an ask."""

    def changed(ask: str, random: Random) -> str | None:
        numbers = list(_NUMBER.finditer(ask))
        if not numbers:
            return None
        at = random.choice(numbers)
        new = change("", at[0], random)
        return None if new is None else ask[: at.start()] + new + ask[at.end() :]

    return changed


def _put(pattern: str, *new: str) -> Change:
    """Return a change that puts something in the place of what fits a pattern."""

    def changed(ask: str, random: Random) -> str | None:
        return re.sub(pattern, random.choice(new), ask, count=1) if re.search(pattern, ask) else None

    return changed


def _times(factor: float) -> Change:
    def changed(ask: str, random: Random) -> str | None:
        return _NUMBER.sub(lambda number: number_text(float(number[0]) * factor), ask, count=1)

    return changed


def _other_axis(ask: str, random: Random) -> str:
    return re.sub(r"[XYZ]", random.choice([axis for axis in "XYZ" if axis != ask[4]]), ask, count=1)


def _misspelt(ask: str, random: Random) -> str:
    at = random.choice([i for i, sign in enumerate(ask) if sign.isalpha()])
    return ask[:at] + random.choice(("", "O", "E", ask[at] * 2)) + ask[at + 1 :]


def _other_way(ask: str, random: Random) -> str:
    return ask.replace("MINUS", "PLUS") if "MINUS" in ask else ask.replace("PLUS", "MINUS")


def _from_exchanged(ask: str, random: Random) -> str | None:
    found = re.fullmatch(r"SET ([XY]) (\S+) FROM (\S+)", ask)
    return f"SET {found[1]} {found[3]} FROM {found[2]}" if found else None


def _values_exchanged(good: Good, random: Random) -> str | None:
    """Exchange what is asked for in one place and, of the same kind, in another."""
    found = [each for each in _ASK.finditer(good.text) if re.match(_SETS, each[1])]
    one = random.choice(found) if found else None
    others = [each for each in found if one is not None and each[1][:5] == one[1][:5] and each[1] != one[1]]
    if one is None or not others:
        return None
    first, second = sorted((one, random.choice(others)), key=lambda each: each.start())
    text = good.text[: second.start(1)] + first[1] + good.text[second.end(1) :]
    return text[: first.start(1)] + second[1] + text[first.end(1) :]


def _asks_in(lines: list[str]) -> list[int]:
    return [i for i, line in enumerate(lines) if _ASK.search(line)]


def _lines(change: Callable[[list[str], int, Random], None]) -> Plant:
    """Return a fault in the lines about an ask, given its index."""

    def plant(good: Good, random: Random) -> str | None:
        lines = good.text.split("\n")
        found = _asks_in(lines)
        if not found:
            return None
        change(lines, random.choice(found), random)
        return "\n".join(lines)

    return plant


def _twice(lines: list[str], at: int, random: Random) -> None:
    lines.insert(at, lines[at])


def _elsewhere(lines: list[str], at: int, random: Random) -> None:
    line = lines.pop(at)
    lines.insert(random.randrange(1, len(lines) - 2), line)


def _copied(lines: list[str], at: int, random: Random) -> None:
    lines.insert(random.randrange(1, len(lines) - 2), lines[at])


def _with_neighbour(lines: list[str], at: int, random: Random) -> None:
    other = at + random.choice((-1, 1))
    lines[at], lines[other] = lines[other], lines[at]


def _with_its_line(lines: list[str], at: int, random: Random) -> None:
    """Put the ask at the end of a line further down, often behind the stop itself."""
    found = _ASK.search(lines[at])
    assert found is not None
    other = min(at + random.randint(1, 3), len(lines) - 3)
    lines[other] += f" {found[0]}"
    del lines[at]


def _sign_of(sign: str) -> Plant:
    """Return a fault that loses one parenthesis of an ask."""

    def plant(good: Good, random: Random) -> str | None:
        found = list(_ASK.finditer(good.text))
        if not found:
            return None
        each = random.choice(found)
        at = each.start() if sign == "(" else each.end() - 1
        return good.text[:at] + good.text[at + 1 :]

    return plant


def _undriven(good: Good, random: Random) -> str | None:
    """Put a word of an axis without a drive into a motion."""
    lines = good.text.split("\n")
    found = [i for i, line in enumerate(lines) if re.search(r"G[01] ", line) and not line.startswith("(")]
    if not good.hands.axes or not found:
        return None
    lines[random.choice(found)] += f" {'XYZ'[random.choice(sorted(good.hands.axes))]}{random.randint(-9, 9)}."
    return "\n".join(lines)


#: What goes wrong, by name.
ASK_FAULTS: dict[str, Plant] = {
    "ask: digit dropped": _ask(_number(words.digit_dropped)),
    "ask: digit changed": _ask(_number(words.digit_changed)),
    "ask: digit twice": _ask(_number(words.digit_doubled)),
    "ask: digits exchanged": _ask(_number(words.digits_exchanged)),
    "ask: sign flipped": _ask(_number(words.sign)),
    "ask: point lost": _ask(_number(words.point_lost)),
    "ask: point moved": _ask(_number(words.point_moved)),
    "ask: comma for point": _ask(_number(words.point_for_comma)),
    "ask: o for 0": _ask(_number(words.letter_o)),
    "ask: nudged by 0.1": _ask(_number(words.nudged(0.1)), _SETS),
    "ask: nudged by 0.01": _ask(_number(words.nudged(0.01)), _SETS),
    "ask: nudged by 1": _ask(_number(words.nudged(1.0)), _SETS),
    "ask: number missing": _ask(_number(lambda letter, number, random: "")),
    "ask: doubled": _ask(_times(2.0), _SETS),
    "ask: halved": _ask(_times(0.5), _SETS),
    "ask: heights doubled": _ask(_times(2.0), "SET Z -", everywhere=True),
    "ask: heights halved": _ask(_times(0.5), "SET Z -", everywhere=True),
    "ask: other axis": _ask(_other_axis, _SETS),
    "ask: FROM left out": _ask(_put(r" FROM .*", "")),
    "ask: FROM exchanged": _ask(_from_exchanged),
    "ask: other swivel": _ask(_put(r"-?\d.*", "0", "60", "-60", "90", "45", "30"), "SET SWIVEL"),
    "ask: dial the other way": _ask(_other_way, "[XYZ] "),
    "ask: turned the other way": _ask(_put(" CLOCKWISE", " ANTICLOCKWISE")),
    "ask: other speed": _ask(_times(0.5), "START"),
    "ask: higher speed": _ask(_times(2.0), "START"),
    "ask: values exchanged": _values_exchanged,
    "ask: missing": _lines(lambda lines, at, random: lines.__delitem__(at)),
    "ask: height missing": matching(r"\(SET Z .*\)"),
    "ask: place missing": matching(r"\(SET [XY] .*\)"),
    "ask: swivel missing": matching(r"\(SET SWIVEL .*\)"),
    "ask: dial missing": matching(r"\([XYZ] \d+ TURNS .*\)"),
    "ask: start missing": matching(r"\(START SPINDLE .*\)"),
    "ask: halt missing": matching(r"\(STOP SPINDLE\)"),
    "ask: stop missing": matching("M0"),
    "ask: spindle stop missing": matching("M5"),
    "ask: spindle start missing": matching(r"S\d+ M3"),
    "ask: twice": _lines(_twice),
    "ask: elsewhere": _lines(_elsewhere),
    "ask: copied elsewhere": _lines(_copied),
    "ask: lines exchanged": _lines(_with_neighbour),
    "ask: behind another line": _lines(_with_its_line),
    "ask: comment left open": _sign_of(")"),
    "ask: comment not begun": _sign_of("("),
    "ask: misspelt": _ask(_misspelt),
    "ask: in other words": _ask(_put("SET ", "", "NOW SET ", "PUT ", "SET THE "), "SET"),
    "ask: word of an undriven axis": _undriven,
}


def _blanks(ask: str, random: Random) -> str:
    return f" {ask.replace(' ', random.choice(('  ', ' ', chr(9))))} "


def _zeros(ask: str, random: Random) -> str:
    return re.sub(r"(\d\.\d+)", r"\g<1>0", ask)


def _neighbours(good: Good, random: Random) -> str | None:
    """Exchange two lines of notes and asks at one stop that have nothing to do with each other."""
    lines = good.text.split("\n")
    found = [
        i for i in _asks_in(lines) if re.search(r"\(SET Z|\(START", lines[i]) and "(UNLOCK" in lines[i + 1]
    ]
    if not found:
        return None
    at = random.choice(found)
    lines[at], lines[at + 1] = lines[at + 1], lines[at]
    return "\n".join(lines)


#: What changes nothing, by name.
NOTHING_ASKED: dict[str, Plant] = {
    "ask: any case": _ask(
        lambda ask, random: "".join(random.choice((sign, sign.lower())) for sign in ask), everywhere=True
    ),
    "ask: blanks": _ask(_blanks, everywhere=True),
    "ask: trailing zeros": _ask(_zeros, "SET", everywhere=True),
    "ask: plus signs": _ask(_put(r"(?<= )(?=\d)", "+"), "SET", everywhere=True),
    "ask: note before it": _neighbours,
    "ask: said twice": _lines(_twice),
}

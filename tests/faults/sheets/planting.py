"""Faults of a person who copies or changes a sheet by hand, planted one at a time; and changes of nothing.

No source: the ways in which copying goes wrong are common knowledge.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from itertools import count
from random import Random

from tests.faults import words

__all__ = ["FAULTS", "NOTHING"]

Change = Callable[[str, Random], str | None]

_NUMBER = re.compile(r"(?<![\w.])-?\d+(?:\.\d+)?(?![\w.])")


def _said(lines: list[str]) -> list[int]:
    """Return the indices of the lines that say something."""
    return [i for i, line in enumerate(lines) if line.strip(" \f") and not line.strip(" \f").startswith("|")]


def _number(change: Callable[[str, str, Random], str | None]) -> Change:
    """Return a fault in one number."""

    def plant(text: str, random: Random) -> str | None:
        places = []
        begin = 0
        for line in text.split("\n"):
            if line.strip(" \f") and not line.strip(" \f").startswith("|"):
                places += [(begin + found.start(), begin + found.end()) for found in _NUMBER.finditer(line)]
            begin += len(line) + 1
        first, last = random.choice(places)
        new = change("", text[first:last], random)
        return None if new is None else text[:first] + new + text[last:]

    return plant


def _nudged(by: float) -> Callable[[str, str, Random], str]:
    def change(letter: str, number: str, random: Random) -> str:
        decimals = len(number.split(".")[1]) if "." in number else 0
        step = by if decimals else max(1.0, by)
        return f"{float(number) + random.choice((-step, step)):.{decimals}f}"

    return change


def _words(*pairs: tuple[str, str]) -> Change:
    """Return a fault that puts one word in the place of another, in one line."""

    def plant(text: str, random: Random) -> str | None:
        lines = text.split("\n")
        every = [pair for a, b in pairs for pair in ((a, b), (b, a))]
        places = [(i, old, new) for i in _said(lines) for old, new in every if re.search(old, lines[i])]
        if not places:
            return None
        at, old, new = random.choice(places)
        found = random.choice(list(re.finditer(old, lines[at])))
        lines[at] = lines[at][: found.start()] + new.replace("\\", "") + lines[at][found.end() :]
        return "\n".join(lines)

    return plant


def _lines(change: Callable[[list[str], list[int], Random], None]) -> Change:
    """Return a fault in whole lines, given all lines and the indices of those that say something."""

    def plant(text: str, random: Random) -> str | None:
        lines = text.split("\n")
        change(lines, _said(lines), random)
        return "\n".join(lines)

    return plant


def _missing(lines: list[str], said: list[int], random: Random) -> None:
    del lines[random.choice(said)]


def _twice(lines: list[str], said: list[int], random: Random) -> None:
    at = random.choice(said)
    lines.insert(at, lines[at])


def _exchanged(lines: list[str], said: list[int], random: Random) -> None:
    which = random.randrange(len(said) - 1)
    a, b = said[which], said[which + 1]
    lines[a], lines[b] = lines[b], lines[a]


def _moved(lines: list[str], said: list[int], random: Random) -> None:
    line = lines.pop(random.choice(said))
    lines.insert(random.choice(_said(lines)), line)


def _copied(lines: list[str], said: list[int], random: Random) -> None:
    lines.insert(random.choice(said), lines[random.choice(said)])


def _cut_short(lines: list[str], said: list[int], random: Random) -> None:
    at = random.choice(said)
    lines[at] = lines[at][: random.randrange(len(lines[at]))]


def _tail_lost(lines: list[str], said: list[int], random: Random) -> None:
    del lines[random.choice(said) :]


def _character_lost(lines: list[str], said: list[int], random: Random) -> None:
    at = random.choice(said)
    where = random.randrange(len(lines[at]))
    lines[at] = lines[at][:where] + lines[at][where + 1 :]


def _stray(lines: list[str], said: list[int], random: Random) -> None:
    at = random.choice(said)
    where = random.randrange(len(lines[at]) + 1)
    lines[at] = lines[at][:where] + random.choice("-.,0123456789XYZt+:[]x ") + lines[at][where:]


def _readings_exchanged(text: str, random: Random) -> str | None:
    """Exchange the readings of two passes, numbers and all else staying in place."""
    found = list(re.finditer(r"^( +PASS \d+ +\w+ +)(.+?)(?=  +\[)", text, re.MULTILINE))
    if len(found) < 2:
        return None
    which = random.randrange(len(found) - 1)
    a, b = found[which], found[which + 1]
    return text[: a.start(2)] + b[2] + text[a.end(2) : b.start(2)] + a[2] + text[b.end(2) :]


def _counted(text: str) -> str:
    """Number the passes anew."""
    numbers = count(1)
    return re.sub(r"(?m)^( +PASS )\d+( *)", lambda found: f"{found[1]}{next(numbers)}{found[2]}", text)


def _pass_missing(text: str, random: Random) -> str | None:
    """Leave a pass out, and number the rest anew."""
    lines = text.split("\n")
    del lines[random.choice([i for i, line in enumerate(lines) if re.match(r" +PASS ", line)])]
    return _counted("\n".join(lines))


def _pass_copied(text: str, random: Random) -> str | None:
    """Do a pass of one flat at another, and number all anew."""
    lines = text.split("\n")
    passes = [i for i, line in enumerate(lines) if re.match(r" +PASS ", line)]
    lines.insert(random.choice(passes), lines[random.choice(passes)])
    return _counted("\n".join(lines))


def _blocks(text: str) -> list[tuple[int, int]]:
    """Return where each flat's lines begin and end."""
    return [found.span() for found in re.finditer(r"(?ms)^FLAT .*?^STOP SPINDLE[^\n]*\n", text)]


def _flat_missing(text: str, random: Random) -> str | None:
    begin, end = random.choice(_blocks(text))
    return _counted(text[:begin] + text[end:])


def _flats_exchanged(text: str, random: Random) -> str | None:
    """Exchange two neighbouring flats; swivel and depth stay where they are told."""
    blocks = _blocks(text)
    if len(blocks) < 2:
        return None
    which = random.randrange(len(blocks) - 1)
    (a, b), (c, d) = blocks[which], blocks[which + 1]
    return _counted(text[:a] + text[c:d] + text[b:c] + text[a:b] + text[d:])


def _flat_twice(text: str, random: Random) -> str | None:
    begin, end = random.choice(_blocks(text))
    return _counted(text[:end] + text[begin:end] + text[end:])


def _setting_missing(text: str, random: Random) -> str | None:
    """Leave out that the depth or the swivel is set, with the boxes behind it."""
    found = list(re.finditer(r"(?m)^(DEPTH|SWIVEL) [^\n]*\n[^\n]*\n", text))
    one = random.choice(found)
    return text[: one.start()] + text[one.end() :]


def _depth(factor: float) -> Change:
    def plant(text: str, random: Random) -> str | None:
        found = random.choice(list(re.finditer(r"(?m)^DEPTH Z (-?\d+(?:\.\d+)?)", text)))
        word = found[1]
        new = f"{float(word) * factor:.{len(word.split('.')[1]) if '.' in word else 0}f}"
        return text[: found.start(1)] + new + text[found.end(1) :]

    return plant


#: What goes wrong, by name.
FAULTS: dict[str, Change] = {
    "sign flipped": _number(words.sign),
    "digit dropped": _number(
        lambda letter, number, random: words.digit_dropped(letter, number, random) or None
    ),
    "digit changed": _number(words.digit_changed),
    "digit twice": _number(words.digit_doubled),
    "digits exchanged": _number(words.digits_exchanged),
    "point lost": _number(words.point_lost),
    "point moved": _number(words.point_moved),
    "comma for point": _number(words.point_for_comma),
    "nudged by 0.1": _number(_nudged(0.1)),
    "nudged by 0.02": _number(_nudged(0.02)),
    "nudged by 1": _number(_nudged(1.0)),
    "axis exchanged": _words(("X", "Y")),
    "side exchanged": _words((r"\+X", "-X"), (r"\+Y", "-Y"), (r"\+X", r"\+Y")),
    "rough for finish": _words(("rough", "finish")),
    "table the other way": _words(("left", "right"), ("towards", "away from"), ("rises", "falls")),
    "edge for corner": _words(("EDGE", "CORNER")),
    "other units": _words(("UNITS mm", "UNITS inch")),
    "line missing": _lines(_missing),
    "line twice": _lines(_twice),
    "lines exchanged": _lines(_exchanged),
    "line moved": _lines(_moved),
    "line copied elsewhere": _lines(_copied),
    "line cut short": _lines(_cut_short),
    "rest lost": _lines(_tail_lost),
    "character lost": _lines(_character_lost),
    "stray character": _lines(_stray),
    "readings exchanged": _readings_exchanged,
    "pass missing": _pass_missing,
    "pass copied": _pass_copied,
    "flat missing": _flat_missing,
    "flats exchanged": _flats_exchanged,
    "flat twice": _flat_twice,
    "setting missing": _setting_missing,
    "depth doubled": _depth(2.0),
    "depth halved": _depth(0.5),
}


def _ticked(text: str, random: Random) -> str:
    return re.sub(r"\[ \]", lambda box: random.choice(("[ ]", "[x]", "[X]")), text)


def _blank_lines(text: str, random: Random) -> str:
    head, *rest = text.split("\n")
    return "\n".join([head, *(f"{line}\n" if random.random() < 0.2 else line for line in rest)])


def _bars_lost(text: str, random: Random) -> str:
    """Leave all out that is for the person alone."""
    return "\n".join(line for line in text.split("\n") if not line.strip(" \f").startswith("|"))


#: What changes nothing, by name.
NOTHING: dict[str, Change] = {
    "ticked": _ticked,
    "blank lines": _blank_lines,
    "bars lost": _bars_lost,
    "line ends": lambda text, random: text.replace("\n", "\r\n"),
    "blanks behind": lambda text, random: re.sub(r"(?m)$", "  ", text),
}

"""Changes that change nothing: ways of writing that every control reads alike."""

from __future__ import annotations

import re
from collections.abc import Callable
from random import Random

from tests.faults import words
from tests.faults.places import WORD, Plant, blocks_in
from tests.faults.programs import Good

__all__ = ["NOTHING"]


def _everywhere(change: Callable[[str, Random], str]) -> Plant:
    """Return a change of every line of the program but those that are no blocks."""

    def plant(good: Good, random: Random) -> str:
        lines = good.text.split("\n")
        for at in blocks_in(good.text):
            if "(" not in lines[at]:
                lines[at] = change(lines[at], random)
        return "\n".join(lines)

    return plant


def _each_word(change: Callable[[str, str, Random], str]) -> Plant:
    return _everywhere(lambda line, random: WORD.sub(lambda word: change(word[1], word[2], random), line))


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
    "M2 for M30": words.code("M30", "M2", "M02"),
    "motion said twice": _stroke_twice,
}

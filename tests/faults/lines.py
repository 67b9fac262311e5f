"""Faults in whole lines and in single characters, comments among them."""

from __future__ import annotations

import re
from random import Random

from tests.faults.places import Plant, blocks_in, is_motion
from tests.faults.programs import Good

__all__ = [
    "axes_exchanged",
    "centre_exchanged",
    "character_lost",
    "comment_open",
    "comment_unbegun",
    "commented_out",
    "into_line",
    "line_copied",
    "line_cut",
    "line_missing",
    "line_moved",
    "line_twice",
    "lines_exchanged",
    "lines_joined",
    "matching",
    "percent_lost",
    "stray",
    "tail_lost",
]


def axes_exchanged(good: Good, random: Random) -> str | None:
    lines = good.text.split("\n")
    at = [i for i, line in enumerate(lines) if is_motion(line) and re.search(r"[XY]", line)]
    if not at:
        return None
    index = random.choice(at)
    lines[index] = lines[index].translate(str.maketrans("XY", "YX"))
    return "\n".join(lines)


def centre_exchanged(good: Good, random: Random) -> str | None:
    lines = good.text.split("\n")
    at = [i for i, line in enumerate(lines) if is_motion(line) and re.search(r"[IJ]", line)]
    if not at:
        return None
    index = random.choice(at)
    lines[index] = lines[index].translate(str.maketrans("IJ", "JI"))
    return "\n".join(lines)


def line_missing(good: Good, random: Random) -> str:
    lines = good.text.split("\n")
    del lines[random.choice(blocks_in(good.text))]
    return "\n".join(lines)


def line_twice(good: Good, random: Random) -> str:
    lines = good.text.split("\n")
    at = random.choice(blocks_in(good.text))
    return "\n".join([*lines[: at + 1], *lines[at:]])


def lines_exchanged(good: Good, random: Random) -> str | None:
    lines = good.text.split("\n")
    at = random.choice([i for i in range(len(lines) - 1) if lines[i].strip() and lines[i + 1].strip()])
    if lines[at].startswith("(") and lines[at + 1].startswith("("):
        return None
    lines[at], lines[at + 1] = lines[at + 1], lines[at]
    return "\n".join(lines)


def line_moved(good: Good, random: Random) -> str:
    """Put a line somewhere else."""
    lines = good.text.split("\n")
    blocks = blocks_in(good.text)
    line = lines.pop(random.choice(blocks))
    lines.insert(random.choice(blocks[:-1]), line)
    return "\n".join(lines)


def line_copied(good: Good, random: Random) -> str:
    """Put a copy of a line somewhere else."""
    lines = good.text.split("\n")
    blocks = blocks_in(good.text)
    lines.insert(random.choice(blocks), lines[random.choice(blocks)])
    return "\n".join(lines)


def lines_joined(good: Good, random: Random) -> str:
    lines = good.text.split("\n")
    at = random.choice(blocks_in(good.text)[:-1])
    following = re.sub(r"^N\d+ ", "", lines[at + 1]) if random.random() < 0.5 else lines[at + 1]
    return "\n".join([*lines[:at], f"{lines[at]} {following}", *lines[at + 2 :]])


def line_cut(good: Good, random: Random) -> str:
    """Lose the end of a line."""
    lines = good.text.split("\n")
    at = random.choice(blocks_in(good.text))
    lines[at] = lines[at][: random.randrange(len(lines[at]))]
    return "\n".join(lines)


def tail_lost(good: Good, random: Random) -> str:
    """Lose the rest of the program, as when a transfer breaks off."""
    lines = good.text.split("\n")
    return "\n".join(lines[: random.choice(blocks_in(good.text))])


def matching(pattern: str) -> Plant:
    """Return a fault that loses a line that fits a pattern."""

    def plant(good: Good, random: Random) -> str | None:
        lines = good.text.split("\n")
        found = [i for i, line in enumerate(lines) if re.fullmatch(rf"(?:N\d+ )?(?:{pattern})", line)]
        if not found:
            return None
        del lines[random.choice(found)]
        return "\n".join(lines)

    return plant


def into_line(pattern: str, *new: str, before: bool = False) -> Plant:
    """Return a fault that puts words at the end (or before the first word) of a line that fits a pattern."""

    def plant(good: Good, random: Random) -> str | None:
        lines = good.text.split("\n")
        found = [i for i in blocks_in(good.text) if re.search(pattern, re.sub(r"\([^)]*\)", "", lines[i]))]
        if not found:
            return None
        at = random.choice(found)
        number, rest = re.fullmatch(r"(N\d+ )?(.*)", lines[at]).groups()  # type: ignore[union-attr]
        word = random.choice(new)
        lines[at] = f"{number or ''}{word} {rest}" if before else f"{lines[at]} {word}"
        return "\n".join(lines)

    return plant


def comment_open(good: Good, random: Random) -> str:
    ends = [found.start() for found in re.finditer(r"\)", good.text)]
    at = random.choice(ends)
    return good.text[:at] + good.text[at + 1 :]


def comment_unbegun(good: Good, random: Random) -> str:
    begins = [found.start() for found in re.finditer(r"\(", good.text)]
    at = random.choice(begins)
    return good.text[:at] + good.text[at + 1 :]


def commented_out(good: Good, random: Random) -> str:
    """Put a whole block in parentheses."""
    lines = good.text.split("\n")
    at = random.choice([i for i in blocks_in(good.text) if "(" not in lines[i]])
    lines[at] = f"({lines[at]})"
    return "\n".join(lines)


def stray(good: Good, random: Random) -> str:
    lines = good.text.split("\n")
    at = random.choice(blocks_in(good.text))
    where = random.randrange(len(lines[at]) + 1)
    lines[at] = (
        lines[at][:where] + random.choice(";:#[]*=?!\"'&$@^~_-+.,0123456789GMXYZFIJ") + lines[at][where:]
    )
    return "\n".join(lines)


def character_lost(good: Good, random: Random) -> str:
    lines = good.text.split("\n")
    at = random.choice(blocks_in(good.text))
    where = random.randrange(len(lines[at]))
    lines[at] = lines[at][:where] + lines[at][where + 1 :]
    return "\n".join(lines)


def percent_lost(good: Good, random: Random) -> str:
    lines = good.text.split("\n")
    del lines[random.choice([i for i, line in enumerate(lines) if line == "%"])]
    return "\n".join(lines)


_AXES, _LENGTHS = "XYZ", "XYZIJ"

"""Words and lines of a program's text, found so that a fault can be planted there."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from random import Random

from polypocket.model.job import BlockJob
from tests.faults.programs import Good

__all__ = ["WORD", "Place", "Plant", "Planted", "blocks_in", "is_motion", "number_text", "put", "words_in"]

WORD = re.compile(r"([A-Z])([+-]?\d*\.?\d+\.?|[+-]?\d+\.?)")


@dataclass(frozen=True)
class Planted:
    """A changed text, and the job that it is run for."""

    text: str
    job: BlockJob


Plant = Callable[[Good, Random], str | Planted | None]


@dataclass(frozen=True)
class Place:
    """One word outside of comments: the index of its line, where it begins and ends there, its letter and number."""

    line: int
    begin: int
    end: int
    letter: str
    number: str


def words_in(text: str, letters: str, pattern: str = "") -> list[Place]:
    found = []
    for index, line in enumerate(text.split("\n")):
        if line[:1] in ("%", ":"):
            continue
        bare = re.sub(r"\([^)]*\)", lambda comment: " " * len(comment[0]), line)
        for word in WORD.finditer(bare):
            if word[1] in letters and (not pattern or re.fullmatch(pattern, word[0])):
                found.append(Place(index, word.start(), word.end(), word[1], word[2]))
    return found


def put(text: str, place: Place, new: str) -> str:
    lines = text.split("\n")
    line = lines[place.line]
    lines[place.line] = line[: place.begin] + new + line[place.end :]
    return "\n".join(lines)


def number_text(value: float) -> str:
    text = f"{value:.4f}".rstrip("0")
    return "0." if text in ("-0.", "0.") else text


def is_motion(line: str) -> bool:
    return (
        not line.startswith(("(", "%", ":"))
        and re.search(r"G[0-3](?!\d)", re.sub(r"\(.*\)", "", line)) is not None
    )


def blocks_in(text: str) -> list[int]:
    """Return the indices of lines that say something to the control."""
    lines = text.split("\n")
    return [
        i
        for i, line in enumerate(lines)
        if re.sub(r"^N\d+|\([^)]*\)", "", line).strip(" ") not in ("", "%", ":1")
    ]

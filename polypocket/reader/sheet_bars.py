"""What stands behind the bars of a sheet: for the person alone, unless it tells hands to do what no line asks for.

What a sheet says there of itself is known, sentence by sentence. Before the units stands its head, which tells of the
job by its names, whatever these are.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from polypocket.reader.spoken import spoken_of

__all__ = ["doubtful_bars"]

_LENGTH = r"-?\d+(?:\.\d+)?"
_KNOWN = tuple(
    re.compile(re.sub(r" ", r"\\s+", each))
    for each in (
        r"OUTSIDE is where the cutter's axis is at least so far from the block's centre, along X or along Y\. Go there "
        r"before depth or swivel are set, and round there from flat to flat\.",
        rf"THE DEPTH CHANGES HERE: {_LENGTH} below the stock's top, where Z reads 0 with the cutter on it\.",
        r"The part's centre moves as it turns: no reading from before holds\.",
        r"[XY] cuts(?:, with its power feed)?; [XY] is set for each pass and locked\.",
        r"Touch the edge with the cutter, set the readout to zero:",
        r"[XY]: a corner or a curve, no edge\. Go along [XY] in small steps and touch again and again: zero is where "
        r"[XY] stands furthest out\. Beside that place the zero, and every pass, would be too deep\.",
        r"[XY] in from outside, lock; cut; unlock, [XY] back, [XY] back\.",
        r"So far the edge stands outside the scribed line\. If not, do not go on: look at edge, stock and swivel, and "
        r"touch off again\. Then the last reading:",
        r"\bpage \d+\b",
    )
)


def doubtful_bars(text: str) -> Iterator[tuple[int, str]]:
    """Yield what stands behind bars in a sheet and tells a person to do something, each with its first line."""
    begins, said = 0, ""
    below = False
    for number, written in enumerate([*text.split("\n"), "END"], start=1):
        line = written.strip(" \f\r")
        below = below or line.startswith("UNITS")
        if not below or not line:  # a blank line does not end a sentence
            continue
        if line.startswith("|"):
            begins, said = begins or number, f"{said} {line.removeprefix('|')}"
            continue
        if said:
            for known in _KNOWN:
                said = known.sub(" ", said)
            if spoken_of(said):
                yield begins, said.strip()
        begins, said = 0, ""

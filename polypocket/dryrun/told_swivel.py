"""Whether the head of a program tells the same setting of the swivel base as is asked for: a person goes by either."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator

from polypocket.dryrun.findings import Fault
from polypocket.model.settings import degrees_text
from polypocket.reader.folded import whole_comments
from polypocket.reader.track import Track

__all__ = ["told_swivel_faults"]

_TOLD = re.compile(
    r"\bSWIVEL BASE AT ([-+]?(?:\d+\.?\d*|\.\d+)) ?DEG(?:REES)?\b(?: (ANTI)?(CLOCKWISE))?",
    re.IGNORECASE | re.ASCII,
)
#: Settings nearer than this are one, degrees: the text tells millionths.
_SAME = 1e-5


def told_swivel_faults(track: Track) -> Iterator[Fault]:
    """Yield a fault for each comment that tells another setting than the program asks for, or turns the other way."""
    asked = [math.degrees(each.value) for each in track.asks if each.kind == "swivel"]
    stands = asked[-1] if asked else 0.0
    for _, comment in whole_comments(track.comments):
        if (told := _TOLD.search(comment.text)) is None:
            continue
        degrees = float(told[1]) * (-1.0 if told[3] and not told[2] else 1.0)
        if not abs(degrees - stands) <= _SAME:
            yield Fault(
                "swivel", track.name, comment.line,
                f"the comment tells of {told[0][len('SWIVEL BASE AT ') :].lower()}, and the program runs at "
                f"{degrees_text(math.radians(stands))}°, positive anticlockwise seen from above",
                "let both tell the same", key=f"told {comment.line}", column=comment.column,
            )  # fmt: skip

"""A hole as the strokes that drill it."""

from __future__ import annotations

from collections.abc import Iterator

from polypocket.program.moves import Drill, Dwell, Feed, Move, Point, Rapid

__all__ = ["hole_strokes"]

#: How far above the last depth a peck's rapid ends, mm: 0.010 in, NISTIR 6556 (from memory).
_ABOVE_LAST_DEPTH = 0.254


def hole_strokes(drill: Drill) -> Iterator[Move]:
    """Yield a hole's motions, those of the cycles G81, G82 and G83 of NISTIR 6556: feeds down, rapids back up."""
    x, y = drill.at
    yield Rapid(Point(x, y))
    yield Rapid(Point(z=drill.clear))
    depth = drill.clear
    while depth > drill.bottom:
        if depth < drill.clear:
            yield Rapid(Point(z=depth + _ABOVE_LAST_DEPTH))
        depth = max(drill.bottom, depth - drill.peck) if drill.peck > 0.0 else drill.bottom
        yield Feed(Point(z=depth), drill.rate)
        if drill.dwell > 0.0 and depth == drill.bottom:
            yield Dwell(drill.dwell)
        yield Rapid(Point(z=drill.clear))

"""The passes of a program on the screen."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from polypocket.plan.tally import Tally
from polypocket.screen.columns import columns
from polypocket.screen.lengths import Lengths
from polypocket.units import Units

__all__ = ["passes_lines"]


def passes_lines(tallies: Sequence[Tally], units: Units) -> Iterator[str]:
    """Yield the passes by section and role, in the order in which they are cut."""
    lengths = Lengths(units)
    rows = [
        [
            "in this order",
            "",
            "passes",
            "numbers",
            f"levels at depth, {lengths.unit}",
            f"cutting, {lengths.unit}",
        ]
    ]
    for tally in tallies:
        levels = ", ".join(lengths.text(depth) for depth in tally.levels)
        numbers = f"{tally.first} to {tally.last}" if tally.last > tally.first else str(tally.first)
        length = lengths.whole(tally.cut_length)
        rows.append([tally.feature, tally.role, str(tally.passes), numbers, levels, length])
    yield from columns(rows)

"""The passes of a program on the screen."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from polypocket.plan.tally import Tally
from polypocket.screen.columns import columns
from polypocket.screen.lengths import Lengths
from polypocket.units import Units

__all__ = ["numbers_text", "passes_lines"]

#: Runs of numbers that are told one by one; where there are more, only among which they are. No source.
_MOST_RUNS = 3


def passes_lines(tallies: Sequence[Tally], units: Units) -> Iterator[str]:
    """Yield the passes by section and role, in the order in which they are cut."""
    lengths = Lengths(units)
    rows = [
        [
            "in this order" if all(len(tally.runs) == 1 for tally in tallies) else "taking turns",
            "",
            "passes",
            "numbers",
            f"levels at depth, {lengths.unit}",
            f"cutting, {lengths.unit}",
        ]
    ]
    for tally in tallies:
        levels = ", ".join(lengths.text(depth) for depth in tally.levels)
        length = lengths.whole(tally.cut_length)
        rows.append([tally.feature, tally.role, str(tally.passes), numbers_text(tally), levels, length])
    yield from columns(rows)


def numbers_text(tally: Tally) -> str:
    """Return the numbers of passes, of which others' may lie in between: ``1 to 12, 15``, or ``among 1 to 47``."""
    if len(tally.runs) > _MOST_RUNS:
        return f"among {tally.first} to {tally.last}"
    return ", ".join(f"{first} to {last}" if last > first else str(first) for first, last in tally.runs)

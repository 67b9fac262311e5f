"""Rows of text in columns."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

__all__ = ["columns", "duration"]


def columns(rows: Sequence[Sequence[str]], indent: str = "  ", *, head: bool = True) -> Iterator[str]:
    """Yield rows with their cells aligned: numbers to the right, words to the left, two blanks between.

    The first row is the columns' heads, unless there are none.
    """
    if not rows:
        return
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
    right = [all(_is_number(row[i]) for row in rows[int(head) :]) for i in range(len(rows[0]))]
    for row in rows:
        cells = (
            cell.rjust(width) if to_right else cell.ljust(width)
            for cell, width, to_right in zip(row, widths, right, strict=True)
        )
        yield (indent + "  ".join(cells)).rstrip()


def duration(seconds: float) -> str:
    """Return a time as a person reads it, such as ``23 min 12 s``."""
    minutes, rest = divmod(round(seconds), 60)
    hours, minutes = divmod(minutes, 60)
    if hours:
        return f"{hours} h {minutes:02d} min"
    return f"{minutes} min {rest:02d} s" if minutes else f"{rest} s"


def _is_number(cell: str) -> bool:
    try:
        float(cell)
    except ValueError:
        return cell in ("", "–")
    return True

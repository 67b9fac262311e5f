"""Programs longer than a control's memory, in parts that each start and end above the work."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from polypocket.errors import DialectError

__all__ = ["parts_of"]


def parts_of(passes: range, memory: float | None, size: Callable[[range], int]) -> Iterator[range]:
    """Yield the passes of each part, in order: as many as fit.

    Args:
        passes: the numbers of all, one after another.
        memory: bytes that a program may have; ``None`` where there is no limit.
        size: of the program with the given passes, bytes; it grows with their number.

    Raises:
        DialectError: a single pass does not fit.
    """
    first = passes.start
    while first < passes.stop:
        stop = passes.stop
        if memory is not None and size(range(first, stop)) > memory:
            stop = _most_that_fit(first, stop, memory, size)
        yield range(first, stop)
        first = stop


def _most_that_fit(first: int, stop: int, memory: float, size: Callable[[range], int]) -> int:
    """Return where the largest part that fits stops, by halving; ``stop`` itself does not fit."""
    fits, too_many = first, stop
    while too_many - fits > 1:
        middle = (fits + too_many) // 2
        if size(range(first, middle)) <= memory:
            fits = middle
        else:
            too_many = middle
    if fits == first:
        least = size(range(first, first + 1))
        raise DialectError(
            f"the control's memory takes {memory:.0f} bytes, and a program of pass {first} alone has {least}"
        )
    return fits

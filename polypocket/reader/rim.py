"""The way round the work along the rim of a square, the shorter of the two."""

from __future__ import annotations

__all__ = ["round_rim"]

_SAME = 1e-9


def round_rim(
    half: float, start: tuple[float, float], goal: tuple[float, float]
) -> list[tuple[float, float]]:
    """Return the places to go to along the rim of a square of twice ``half``, the shorter way round, the goal last."""
    corners = [(half, -half), (half, half), (-half, half), (-half, -half)]
    begin, end = _along(half, start), _along(half, goal)
    ahead = (end - begin) % (8.0 * half)
    if ahead <= 4.0 * half:
        passed = sorted(((2.0 * half * k - begin) % (8.0 * half), corner) for k, corner in enumerate(corners))
        length = ahead
    else:
        passed = sorted(((begin - 2.0 * half * k) % (8.0 * half), corner) for k, corner in enumerate(corners))
        length = 8.0 * half - ahead
    return [*(corner for at, corner in passed if 0.0 < at < length), goal]


def _along(half: float, place: tuple[float, float]) -> float:
    """Return how far along the rim of the square a place is, from its corner at +X and -Y anticlockwise."""
    x, y = place
    if abs(x - half) <= _SAME:
        return y + half
    if abs(y - half) <= _SAME:
        return 2.0 * half + half - x
    if abs(x + half) <= _SAME:
        return 4.0 * half + half - y
    return 6.0 * half + x + half

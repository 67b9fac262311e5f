"""Scales that a drawing may have."""

from __future__ import annotations

__all__ = ["scale_text", "scale_that_fits"]

#: ISO 5455 recommends 1, 2 and 5 and their tenfolds, either way (from memory).
_STEPS = tuple(step * 10.0**power for power in (-3, -2, -1, 0, 1, 2) for step in (1.0, 2.0, 5.0))


def scale_that_fits(width: float, height: float, room_width: float, room_height: float) -> float:
    """Return the largest scale of ISO 5455 at which a view fits into its room on paper, all in mm."""
    largest = min(room_width / width, room_height / height)
    return max((step for step in _STEPS if step <= largest * (1.0 + 1e-9)), default=_STEPS[0])


def scale_text(scale: float) -> str:
    """Return a scale as drawings state it, such as ``1 : 2``."""
    return f"{scale:.6g} : 1" if scale > 1.0 else f"1 : {1.0 / scale:.6g}"

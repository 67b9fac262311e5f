"""The known name that a person most likely meant."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

__all__ = ["nearest"]


def nearest(name: str, known: Iterable[str]) -> str:
    """Return ``; nearest is "…"``, or all that are known where none is near, as the end of a message."""
    names = sorted(known)
    close = get_close_matches(name, names, n=1)
    if not close:  # perhaps its words are in another order
        close = [other for other in names if sorted(other.split("_")) == sorted(name.split("_"))]
    if close:
        return f'; nearest is "{close[0]}"'
    return f"; known are {', '.join(names)}" if names else ""

"""Who looks on while programs run through the stock, such as what draws the part after each pass.

Materials are never changed, so that one can be kept as it was; where nobody looks on, it costs nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from polypocket.reader.track import Track

if TYPE_CHECKING:  # the geometry is heavy
    from polypocket.dryrun.material import Material
    from polypocket.dryrun.motions import Motion

__all__ = ["Watcher"]


class Watcher(Protocol):
    """Is told of every motion that a dry run against a job makes, in order."""

    def begins(self, track: Track, material: Material) -> None:
        """Be told that a program begins, and what stands before its first motion."""

    def moved(self, motion: Motion, material: Material) -> None:
        """Be told of a motion, and what stands after it."""

"""What the dry run saw, pass by pass: the motions of each, and what stands when it is over.

Passes are those of the text as the reader read it. Materials share what no motion has changed, so that to keep one
for each pass takes little room.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from polypocket.dryrun.material import Material
from polypocket.dryrun.motions import Motion
from polypocket.reader.track import Track

__all__ = ["Recorder", "SeenPass"]


@dataclass(slots=True)
class SeenPass:
    """One pass as the dry run saw it.

    Attributes:
        number: in its PASS comment; 0 before the first of a program.
        track: the program that it stands in.
        motions: those up to the next pass, with the way there.
        before, after: what stands at its beginning and end.
    """

    number: int
    track: Track
    before: Material
    after: Material
    motions: list[Motion] = field(default_factory=list)


class Recorder:
    """Looks on at a dry run (``polypocket.dryrun.Watcher``) and keeps what drawings need.

    With ``program`` only the one of that name is kept.
    """

    def __init__(self, program: str | None = None) -> None:
        self._program = program
        self._looks = True
        self.tracks: list[Track] = []
        self.passes: list[SeenPass] = []
        self._numbers: list[int] = []

    def begins(self, track: Track, material: Material) -> None:
        """Begin with a program's motions."""
        self._looks = self._program in (None, track.name)
        if not self._looks:
            return
        self.tracks.append(track)
        self._numbers = track.pass_number.tolist()
        self.passes.append(SeenPass(0, track, material, material))

    def moved(self, motion: Motion, material: Material) -> None:
        """Add a motion to its pass."""
        if not self._looks:
            return
        now = self.passes[-1]
        number = self._numbers[motion.row]
        if number != now.number:
            now = SeenPass(number, now.track, now.after, now.after)
            self.passes.append(now)
        now.motions.append(motion)
        now.after = material

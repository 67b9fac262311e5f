"""Harms: those that are sure, and those that may be.

Every measure has two limits. Within the lower one it is no harm; beyond the upper one it is one for sure; between the
two either answer is right: what the dry run lets pass as rounding is about 0.005 mm, and the second judge's circles are
out by 0.001 mm themselves. The limits are this harness's own.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

__all__ = ["CODES", "Harms"]

#: The dry run's codes that say each harm. A rapid, a stroke or a passage gone wrong may show in what it leaves behind.
CODES: dict[str, frozenset[str]] = {
    "gouge": frozenset({"gouge", "size", "angle"}),
    "left standing": frozenset({"left-standing", "size", "angle"}),
    "rapid contact": frozenset({"rapid-contact"}),
    "from nowhere": frozenset({"rapid-contact"}),
    "plunge": frozenset({"plunge"}),
    "fixture": frozenset({"fixture-contact", "keep-out"}),
    "holder": frozenset({"holder-contact", "fixture-contact"}),
    "flutes": frozenset({"flute-length"}),
    "travel": frozenset({"travel"}),
    "spindle": frozenset({"spindle-stopped", "direction"}),
    "speed": frozenset({"over-speed"}),
    "chip load": frozenset({"feed-limit", "over-speed", "over-power"}),
    "feed": frozenset({"feed-limit"}),
    "direction": frozenset({"direction"}),
    "width": frozenset({"engagement"}),
    "depth": frozenset({"depth-of-cut"}),
    "cutter": frozenset({"tool"}),
    "cutter not said": frozenset({"tool", "tool?"}),  # of which the dry run only warns
    "no stop": frozenset({"tool"}),
    "play": frozenset({"backlash"}),
    "in the cut": frozenset({"spindle-stopped"}),
    "turning stop": frozenset({"spindle-stopped"}),  # on some controls it stands from there on
    "asked early": frozenset({"tool"}),  # block by block, hands are at it before the spindle is stopped
    "not waited for": frozenset({"unread", "end"}),
    "disputed": frozenset({"unread"}),
    "turned late": frozenset({"unread", "swivel"}),
    "doubtful": frozenset({"unread"}),  # a person may do what a comment says, or not
    "swivel": frozenset({"swivel"}),
    "switched": frozenset({"spindle-stopped"}),
    "unsettable": frozenset({"size"}),
    "dial": frozenset({"size"}),
    "corners": frozenset({"corner-rounding?"}),  # how far off is the control's own affair: a warning
    "turned low": frozenset({"rapid-contact"}),
    "corner": frozenset({"size"}),
    "edge": frozenset({"size"}),
    "scale": frozenset({"units"}),
    "name": frozenset({"unread"}),
    "spinning end": frozenset({"end", "spindle-stopped"}),
}


@dataclass
class Harms:
    """Names of harms (keys of ``CODES``) with the line and size of the worst of each."""

    sure: dict[str, tuple[float, int]] = field(default_factory=dict)
    maybe: dict[str, tuple[float, int]] = field(default_factory=dict)

    def measure(self, name: str, value: float, none: float, sure: float, line: int) -> None:
        """Keep a harm whose measure is beyond ``none``, as a sure one if it is beyond ``sure``."""
        if value <= none:
            return
        kept = self.sure if value > sure else self.maybe
        if value > kept.get(name, (0.0, 0))[0]:
            kept[name] = value, line

    def doubt(self, *names: str) -> None:
        """Take sure harms for such as may be: what they come of is told."""
        for name in self.sure.keys() & set(names):
            self.maybe[name] = self.sure.pop(name)

    def certain(self, name: str, line: int) -> None:
        """Keep a harm that has no measure."""
        self.sure.setdefault(name, (math.inf, line))

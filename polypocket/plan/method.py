"""What the planner needs of job, cutter and mill, gathered once a cutter."""

from __future__ import annotations

from typing import Literal, NamedTuple

from polypocket.cutting.time import Kinematics
from polypocket.model.cutter import Cutter
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.plan.changes import highest_tip
from polypocket.plan.clearances import ABOVE, SAFE

__all__ = ["Method"]

#: Most backlash with which the cutter may roll round the corners of a finished section, mm. Common practice, no source.
ROLLING_BACKLASH = 0.01


class Method(NamedTuple):
    """How to cut, and on what.

    Attributes:
        cutter: its number.
        radius: of the cutter for which the path is made, mm.
        size_register: where the control keeps what the cutter is larger than that; ``None`` where it does not.
        stepover: widest strip, mm.
        stepdown: deepest level, mm; ``None`` for a section's whole height.
        allowance: left on the flats for finishing, mm.
        climb: cut with the material on the right.
        feed: working feed, mm/min.
        feed_max: feed of moves outside the material, mm/min.
        backlash: of X and Y, mm.
        crossing: Z at which the cutter crosses over the work, mm.
        safe: Z at the start and at the end, mm.
        kinematics: of the mill.
    """

    cutter: int
    radius: float
    size_register: int | None
    stepover: float
    stepdown: float | None
    allowance: float
    climb: bool
    feed: float
    feed_max: float
    backlash: tuple[float, float]
    crossing: float
    safe: float
    kinematics: Kinematics

    @classmethod
    def of(cls, job: BlockJob, cutter: Cutter, mill: Mill) -> Method:
        """Gather it from a job, one of its cutters and a mill that fit each other."""
        cut, crossing = cutter.cut, ABOVE + job.clamping.clamp_height
        room = highest_tip(job, cutter, mill)
        return cls(
            cutter=cutter.number,
            radius=cutter.path_radius,
            size_register=cutter.number if cut.size_from_control else None,
            stepover=cut.stepover,
            stepdown=cut.stepdown,
            allowance=cut.finish_allowance,
            climb=cut.direction == "climb",
            feed=cut.feed,
            feed_max=mill.feed_max,
            backlash=(mill.axes.x.backlash, mill.axes.y.backlash),
            crossing=crossing,
            safe=max(crossing, min(SAFE + job.clamping.clamp_height, room)),
            kinematics=Kinematics.of(mill),
        )

    @property
    def rolls_to_size(self) -> bool:
        """Whether the cutter may go round finished corners on arcs: both screws are tight enough."""
        return max(self.backlash) <= ROLLING_BACKLASH

    @property
    def rolls_to_allowance(self) -> bool:
        """Whether roughing may go round corners: what the screws may be out stays within the allowance."""
        return self.rolls_to_size or self.allowance >= 2.0 * max(self.backlash)

    def backlash_to_take_up(self, role: Literal["rough", "finish"]) -> tuple[float, float] | None:
        """Backlash that a stroke of this role must have taken up at contact; ``None`` where it does not matter."""
        rolls = self.rolls_to_size if role == "finish" else self.rolls_to_allowance
        return None if rolls else self.backlash

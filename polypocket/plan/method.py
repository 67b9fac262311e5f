"""What the planner needs of job, cutter and mill, gathered once a cutter."""

from __future__ import annotations

from typing import Literal, NamedTuple

from polypocket.cutting.time import Kinematics
from polypocket.model.cutter import Cutter
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.model.settable import step_of
from polypocket.plan.changes import highest_tip
from polypocket.plan.clearances import ABOVE, SAFE, SIDE
from polypocket.plan.room import EVERYWHERE, Room, room_of
from polypocket.program.scale import Scale
from polypocket.units import Units

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
        beside: what the cutter keeps from the material beside it, between passes and where it comes down, mm.
        only_over: ways between passes go over the top, never round the outside.
        height_by_hand: a person sets the height while the program stops; Z has no drive.
        spindle_by_hand: likewise a person starts and stops the spindle.
        axis_by_hand: which of X (0) and Y (1) a person sets while the program stops; ``None`` for neither.
        scale: on which a person reads it.
        room: where the cutter may go at depth; looked at only where the height is set by hand.
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
    beside: float = SIDE
    only_over: bool = False
    height_by_hand: bool = False
    height_step: float | None = None
    spindle_by_hand: bool = False
    axis_by_hand: int | None = None
    scale: Scale = Scale(0.0)
    room: Room = EVERYWHERE

    @classmethod
    def of(cls, job: BlockJob, cutter: Cutter, mill: Mill) -> Method:
        """Gather it from a job, one of its cutters and a mill that fit each other."""
        cut, crossing = cutter.cut, ABOVE + job.clamping.clamp_height
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
            safe=max(crossing, min(SAFE + job.clamping.clamp_height, highest_tip(job, cutter, mill))),
            kinematics=Kinematics.of(mill),
            beside=cut.clearance,
            only_over=cut.approach == "above",
            height_by_hand=not mill.axes.z.driven,
            height_step=None if mill.axes.z.driven else step_of(mill.axes.z, mill, job.units),
            spindle_by_hand=not mill.spindle.controlled,
            axis_by_hand=mill.axis_by_hand,
            scale=Scale(0.0) if mill.axis_by_hand is None else _scale(mill, mill.axis_by_hand, job.units),
            room=EVERYWHERE if mill.axes.z.driven else room_of(cutter, mill),
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


def _scale(mill: Mill, axis: int, units: Units) -> Scale:
    on = (mill.axes.x, mill.axes.y)[axis]
    return Scale(step_of(on, mill, units), on.dial_turn, on.dial_divisions)

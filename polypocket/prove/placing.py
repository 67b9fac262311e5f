"""At which setting, and with the work zero where, a job is planned and judged on a mill."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.progress import Progress, silent

if TYPE_CHECKING:  # late: most mill files leave no choice
    from polypocket.plan.place import Place

__all__ = ["Placed", "every_place", "placed_at", "placed_on"]


class Placed(NamedTuple):
    """What a proof goes by.

    Attributes:
        mill: with the work zero in, chosen or set; as it is where it is not homed.
        swivel: setting of the vise's swivel base, radians.
        place: what was looked at to choose; ``None`` where the mill file and the job leave no choice.
        chosen: whether the zero was chosen here, so that a person has to be told where to put it.
    """

    mill: Mill
    swivel: float
    place: Place | None
    chosen: bool


def placed_on(job: BlockJob, mill: Mill, progress: Progress = silent) -> Placed:
    """Choose what the files leave open.

    A zero that is set stays, and of several settings the one nearest to 0 is taken with which it fits, or the one
    nearest to 0 if none does: the dry run then tells what is lacking. Otherwise the best place of all is taken; where
    there is none at all, the one where least is lacking.
    """
    settings = sorted(job.clamping.swivel_settings, key=lambda setting: (abs(setting), setting))
    is_set = mill.homed and mill.work_offset in mill.work_offsets
    if len(settings) == 1 and is_set:
        return Placed(mill, settings[0], None, chosen=False)
    if is_set:
        return _at_zero(job, mill, settings)
    from polypocket.plan.place import best_place

    return placed_at(mill, best_place(tuple(every_place(job, mill, progress))))


def placed_at(mill: Mill, place: Place) -> Placed:
    """Return what it means to take a place: its zero in the mill, or the middle of what is lacking."""
    if not mill.homed:
        return Placed(mill, place.swivel, place, chosen=False)
    from polypocket.plan.place import middle_of

    zero = place.zero or middle_of(place.box)
    offsets = {**mill.work_offsets, mill.work_offset: zero}
    return Placed(mill.model_copy(update={"work_offsets": offsets}), place.swivel, place, chosen=True)


def every_place(job: BlockJob, mill: Mill, progress: Progress = silent) -> Iterator[Place]:
    """Yield the place of each setting, telling how far it has come."""
    from polypocket.plan.place import places_of

    count = len(job.clamping.swivel_settings)
    for number, place in enumerate(places_of(job, mill)):
        progress("planning at every setting", (number + 1) / count)
        yield place


def _at_zero(job: BlockJob, mill: Mill, settings: list[float]) -> Placed:
    from polypocket.plan.place import place_at

    zero = mill.work_offsets[mill.work_offset]
    first: Place | None = None
    for setting in settings:
        place = place_at(job, mill, setting)
        first = first or place
        if place.fits and place.region.holds(zero):
            return Placed(mill, setting, place, chosen=False)
    assert first is not None  # a job has at least one setting
    return Placed(mill, first.swivel, first, chosen=False)

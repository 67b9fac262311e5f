"""Whether a job fits a mill, where, and what to do if it does not."""

from __future__ import annotations

from typing import NamedTuple

from polypocket.dryrun import DryRun
from polypocket.model.grip import swivel_base_needed
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.plan.place import Place, best_place, place_at
from polypocket.post import Post
from polypocket.progress import Progress, silent
from polypocket.prove.line import prove
from polypocket.prove.placing import Placed, every_place, placed_at
from polypocket.prove.remedies import Remedies, remedies_for

__all__ = ["Fitting", "fitting_of"]

Triple = tuple[float, float, float]


class Fitting(NamedTuple):
    """What is known of a job on a mill before the vise is bolted down.

    Attributes:
        job, mill: as the files have them.
        places: of every setting, in the job's order.
        best: the one with the most margin, and the mill with its zero in; ``None`` where nothing fits.
        verdict: of the program there; ``None`` where nothing fits.
        set_zero: the work zero that the mill file sets, if it does.
        fits_set: the settings with which the program fits at that zero, radians.
        remedies: where nothing fits.
        swivel_base: what to say where the vise would do as well without it, or ``None``.
    """

    job: BlockJob
    mill: Mill
    places: tuple[Place, ...]
    best: Placed | None
    verdict: DryRun | None
    set_zero: Triple | None
    fits_set: tuple[float, ...]
    remedies: Remedies
    swivel_base: str | None

    @property
    def ok(self) -> bool:
        """Whether there is a place in which the dry run finds no error."""
        return self.verdict is not None and self.verdict.ok


def fitting_of(job: BlockJob, mill: Mill, post: Post, progress: Progress = silent) -> Fitting:
    """Look at every setting; dry-run the program at the best place, or try what helps."""
    places = tuple(every_place(job, mill, progress))
    set_zero = mill.work_offsets.get(mill.work_offset) if mill.homed else None
    fits_set = tuple(
        place.swivel
        for place in places
        if set_zero is not None and place.fits and place.region.holds(set_zero)
    )
    best = best_place(places)
    if not best.fits:
        remedies = remedies_for(job, mill, post, places, progress)
        return Fitting(job, mill, places, None, None, set_zero, fits_set, remedies, None)
    placed = placed_at(mill, best)
    verdict = prove(job, mill, post, "program", progress=progress, placed=placed).verdict
    needless = swivel_base_needed(mill, _fits_at_0(job, mill, places), job.units)
    return Fitting(job, mill, places, placed, verdict, set_zero, fits_set, Remedies((), ()), needless)


def _fits_at_0(job: BlockJob, mill: Mill, places: tuple[Place, ...]) -> bool:
    """Whether the job fits with the vise as it would stand without a swivel base."""
    straight = next((place for place in places if place.swivel == 0.0), None)
    if straight is None and job.clamping.grip == "vise":
        unset = {word: zero for word, zero in mill.work_offsets.items() if word != mill.work_offset}
        straight = place_at(job, mill.model_copy(update={"work_offsets": unset}), 0.0)
    return job.clamping.grip == "vise" and straight is not None and straight.fits

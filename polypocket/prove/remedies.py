"""What to do where a job does not fit a mill: each remedy was planned and dry-run before it is offered."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from polypocket.model.fits import mistakes_of_fit, mistakes_on_mill
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.plan.place import Place, best_place, place_at
from polypocket.post import Post
from polypocket.progress import Progress, silent
from polypocket.prove.changes import Change, approaches, clearances, cutters, settings, together
from polypocket.prove.indicator import Indicator, indicator_for
from polypocket.prove.line import prove
from polypocket.prove.placing import placed_at
from polypocket.prove.several import proof_in_clampings
from polypocket.units import format_length

__all__ = ["Remedies", "Remedy", "Tried", "remedies_for"]


class Remedy(NamedTuple):
    """Something that was tried and helps.

    Attributes:
        change: what to do.
        place: where it then fits.
        seconds: at the mill.
        indicator: how to set the swivel base; ``None`` where it stays at 0.
    """

    change: Change
    place: Place
    seconds: float
    indicator: Indicator | None


class Tried(NamedTuple):
    """Something that was tried and does not help.

    Attributes:
        change: what was tried.
        why: what is still in the way.
    """

    change: Change
    why: str


class Remedies(NamedTuple):
    """What helps, and what does not.

    Attributes:
        found: most useful first.
        tried: in vain.
        clampings: in how many the job as it is can be made, each dry-run; ``None`` where in none that were found.
    """

    found: tuple[Remedy, ...]
    tried: tuple[Tried, ...]
    clampings: int | None = None


def remedies_for(
    job: BlockJob, mill: Mill, post: Post, places: Sequence[Place], progress: Progress = silent
) -> Remedies:
    """Return what helps and what does not: another setting, another approach, a smaller cutter, a smaller clearance.

    Where none of them helps by itself, all but another setting are tried together. Besides, the flats are shared out
    over several clampings.

    Args:
        job: that does not fit.
        mill: a zero that it sets is not looked at.
        post: the dialect.
        places: of the settings that the job allows; none of them fits.
        progress: told how far it has come.
    """
    unset = {word: zero for word, zero in mill.work_offsets.items() if word != mill.work_offset}
    free = mill.model_copy(update={"work_offsets": unset})
    nearest = best_place(tuple(places))
    ladders: tuple[Iterable[Change], ...] = (
        settings(job, free, nearest),
        approaches(job, nearest.swivel),
        cutters(job, nearest.swivel),
        clearances(job, nearest.swivel),
    )
    outcomes: list[Remedy | Tried] = []
    for number, ladder in enumerate(ladders):
        progress("trying remedies", number / len(ladders))
        outcomes += _first_that_helps(ladder, free, post)
    if not any(isinstance(each, Remedy) for each in outcomes):
        outcomes += _first_that_helps(together(job, nearest.swivel), free, post)
    return Remedies(
        tuple(each for each in outcomes if isinstance(each, Remedy)),
        tuple(each for each in outcomes if isinstance(each, Tried)),
        _clampings(job, free, post),
    )


def _clampings(job: BlockJob, mill: Mill, post: Post) -> int | None:
    proof = proof_in_clampings(job, mill, post, "clamping")
    return (len(proof.clampings) or None) if proof is not None and proof.verdict.ok else None


def _first_that_helps(ladder: Iterable[Change], mill: Mill, post: Post) -> list[Remedy | Tried]:
    """Return the first of some changes, the mildest first, that helps; else the last and why it does not."""
    last: list[Remedy | Tried] = []
    for change in ladder:
        last = [_outcome(change, mill, post)]
        if isinstance(last[0], Remedy):
            break
    return last


def _outcome(change: Change, mill: Mill, post: Post) -> Remedy | Tried:
    """Plan a changed job and dry-run the very text that would be written."""
    mistakes = (*mistakes_of_fit(change.job), *mistakes_on_mill(change.job, mill))
    if mistakes:
        return Tried(change, f"{mistakes[0].place}: {mistakes[0].message}")
    (swivel,) = change.job.clamping.swivel_settings
    place = place_at(change.job, mill, swivel)
    if not place.fits:
        worst = max(place.misfits, key=lambda misfit: misfit.over)
        return Tried(
            change, f"{worst.axis.upper()} still lacks {format_length(worst.over, change.job.units)}"
        )
    proof = prove(change.job, mill, post, "remedy", placed=placed_at(mill, place))
    if not proof.verdict.ok:
        first = next(each for each in proof.verdict.findings if each.severity == "error")
        return Tried(change, f"the dry run finds: {first.message}")
    indicator = indicator_for(swivel, change.job.clamping.jaws_along, mill)
    return Remedy(change, place, proof.verdict.seconds, indicator)

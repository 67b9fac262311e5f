"""A job in several clampings: one program each, all of them dry-run one after another on the same block."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from polypocket.errors import DialectError
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.plan import program_of
from polypocket.plan.clampings import Clamping, fewest_clampings
from polypocket.plan.zero_again import touches
from polypocket.post import Post
from polypocket.progress import Progress, silent
from polypocket.prove.header import header_of
from polypocket.prove.line import Proof, Written, dry_run_of_text, part_name, resolution_of
from polypocket.prove.placing import Placed, placed_at
from polypocket.prove.words import lengths_in

__all__ = ["proof_in_clampings"]

_SIDES = ("+X", "+Y", "-X", "-Y")


def proof_in_clampings(
    job: BlockJob, mill: Mill, post: Post, name: str, progress: Progress = silent
) -> Proof | None:
    """Plan a job in the fewest clampings that reach all of it, and prove it; ``None`` where none will do.

    All ways between passes go over the top, which takes the least room. A job with several cutters is not shared out.

    Raises:
        DialectError: one of the programs is too large for the control's memory.
        InputError: only one of X and Y is driven, and no setting brings one of the flats parallel to it.
    """
    if len(job.cutters) > 1:
        return None
    above = job.model_copy(update={"cutters": (job.only_cutter.cutting(approach="above"),)})
    clampings = fewest_clampings(above, mill)
    if clampings is None:
        return None
    places = [_placed(mill, clamping) for clamping in clampings]
    strokes = tuple(stroke for clamping in clampings for stroke in clamping.place.strokes)
    parts: list[Written] = []
    first = 1
    for number, (clamping, placed) in enumerate(zip(clampings, places, strict=True)):
        passes = range(first, first + len(clamping.place.strokes))
        program = program_of(above, placed.mill, strokes, passes, clamping.swivel)
        header = (*_clamping_in_words(job, clampings, number, placed), *header_of(above, placed, post.title))
        text = post.write(program, header, resolution_of(job))
        if mill.program_memory is not None and len(text) > mill.program_memory:
            raise DialectError(
                f"the control's memory takes {mill.program_memory:.0f} bytes, and the program of clamping {number + 1} "
                f"has {len(text)}; programs of several clampings are not split further"
            )
        parts.append(Written(part_name(name, number + 1, len(clampings)), program, text))
        first = passes.stop
    verdict = dry_run_of_text(
        [(part.name, part.text) for part in parts],
        mill,
        job,
        post,
        progress=progress,
        mills=[placed.mill for placed in places],
    )
    several = tuple(places) if len(places) > 1 else ()
    stages = tuple(stage for clamping in clampings for stage in clamping.place.stages)
    return Proof((), tuple(parts), verdict, places[0], stages, clampings=several)


def _placed(mill: Mill, clamping: Clamping) -> Placed:
    if mill.homed and mill.work_offset in mill.work_offsets:
        return Placed(mill, clamping.swivel, clamping.place, chosen=False)
    return placed_at(mill, clamping.place)


def _clamping_in_words(
    job: BlockJob, clampings: Sequence[Clamping], number: int, placed: Placed
) -> tuple[str, ...]:
    """Return what stands at the head of the program of one of several clampings, counted from 0."""
    over = _ways_in_words(placed.mill)
    if len(clampings) == 1:
        return over
    clamping = clampings[number]
    flats = (
        f"section {section} {_flats_in_words(job, section, some)}"
        for section, some in sorted(clamping.flats.items())
    )
    lines = [
        f"Clamping {number + 1} of {len(clampings)}, one program each, to be run in their order: "
        f"{'; '.join(flats)}",
        *over,
    ]
    if number:
        lines.append(_before_in_words(placed.mill))
    return (*lines, *_zero_again(job, placed, _done(clampings[:number])))


def _ways_in_words(mill: Mill) -> tuple[str, ...]:
    if mill.axis_by_hand is None:
        return (
            "Between passes the cutter goes over the top, since the travel leaves no room round the block",
        )
    if mill.axes.z.driven:
        return ("Between passes the cutter stands above everything while the next is set by hand",)
    return ()


def _before_in_words(mill: Mill) -> str:
    clean = "Before this clamping: spindle stopped, chips off with a brush, edges that were cut deburred"
    if mill.axis_by_hand is None:
        return (
            f"{clean}, jaws, seat and faces wiped clean; then turn or move the vise, lock it, indicate the fixed jaw "
            "anew, and look that the block still sits as it sat"
        )
    return (
        f"{clean}; leave the block in the jaws, turn the swivel base with its scale wiped clean, lock it, and look "
        "that the block still sits as it sat: each flat is as true as this setting"
    )


def _flats_in_words(job: BlockJob, section: int, flats: frozenset[int]) -> str:
    if len(flats) == job.sections[section - 1].sides:
        return "whole"
    return f"flats {', '.join(map(str, sorted(flats)))}"


def _done(clampings: Sequence[Clamping]) -> dict[int, frozenset[int]]:
    done: dict[int, frozenset[int]] = {}
    for clamping in clampings:
        for section, flats in clamping.flats.items():
            done[section] = done.get(section, frozenset()) | flats
    return done


def _zero_again(job: BlockJob, placed: Placed, done: Mapping[int, frozenset[int]]) -> Iterator[str]:
    """Yield from what the zero is found again: flats that were cut, whose distance is known, else the stock."""
    length = lengths_in(job.units)
    zero = placed.mill.work_offsets.get(placed.mill.work_offset) if placed.mill.homed else None
    every = list(touches(job, placed.mill, placed.swivel, zero, done))
    for axis, name in enumerate("XY"):
        ways = [touch for touch in every if touch.axis == axis]
        flats = [touch for touch in ways if touch.flat is not None]
        if flats:
            told = "; or ".join(
                f"flat {touch.flat} of section {touch.section}, {length(touch.distance)} from the centre towards "
                f"{_SIDES[touch.side]}"
                for touch in flats
            )
            yield f"Zero of {name}: touch a flat that was cut: {told}"
        elif len({touch.side for touch in ways}) == 2:
            what = "the stock's corners" if any(touch.is_corner for touch in ways) else "the stock"
            yield f"Zero of {name}: touch {what} below the flats on both sides, and halve"
        elif not ways:
            yield f"Zero of {name}: nothing flat can be touched along it; pick up the middle with an indicator"
        else:
            yield (
                f"Zero of {name}: measure the stock below the flats, then touch it on its side towards "
                f"{_SIDES[ways[0].side]}: that is half of what it measures, nominally {length(ways[0].distance)}, "
                "from the centre"
            )

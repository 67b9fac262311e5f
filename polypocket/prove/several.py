"""A job in several clampings: one program each, all of them dry-run one after another on the same block."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.plan import program_of
from polypocket.plan.clampings import Clamping, fewest_clampings
from polypocket.plan.zero_again import touches
from polypocket.post import Post
from polypocket.progress import Progress, silent
from polypocket.prove.header import header_of, part_in_words
from polypocket.prove.parts import parts_of
from polypocket.prove.placing import Placed, placed_at
from polypocket.prove.proof import Proof, Written, dry_run_of_text, part_name, require_pass, resolution_of
from polypocket.prove.words import lengths_in

__all__ = ["proof_in_clampings"]

_SIDES = ("+X", "+Y", "-X", "-Y")


class _Turn(NamedTuple):
    """One clamping and the passes that are made in it, numbered through all of them."""

    clamping: Clamping
    placed: Placed
    passes: range


def proof_in_clampings(
    job: BlockJob, mill: Mill, post: Post, name: str, from_pass: int = 1, progress: Progress = silent
) -> Proof | None:
    """Plan a job in the fewest clampings that reach all of it, and prove it; ``None`` where none will do.

    All ways between passes go over the top, which takes the least room. A job with several cutters is not shared out.
    Arguments are as for ``prove``.

    Raises:
        DialectError: a program of one pass is too large for the control's memory.
        InputError: there is no such pass; or only one of X and Y is driven, and no setting brings one of the flats
            parallel to it.
    """
    if len(job.cutters) > 1:
        return None
    above = job.model_copy(update={"cutters": (job.only_cutter.cutting(approach="above"),)})
    clampings = fewest_clampings(above, mill)
    if clampings is None:
        return None
    strokes = tuple(stroke for clamping in clampings for stroke in clamping.place.strokes)
    require_pass(from_pass, len(strokes))
    turns = list(_turns(mill, clampings))

    def written(number: int, passes: range, name: str, part: str = "") -> Written:
        clamping, placed, _ = turns[number]
        program = program_of(above, placed.mill, strokes, passes, clamping.swivel)
        words = _clamping_in_words(job, clampings, number, placed)
        header = (
            *words,
            *header_of(above, placed, post.title),
            *part_in_words(part, passes, len(strokes), turns[number].passes.start),
        )
        return Written(name, program, post.write(program, header, resolution_of(job)), words)

    def shared_out(number: int) -> list[range]:
        """Return the passes of each part of a clamping: several where the control's memory is too small for all."""
        passes = turns[number].passes
        wanted = range(max(passes.start, from_pass), passes.stop)
        longest = _part(999, 999, number)
        return list(
            parts_of(wanted, mill.program_memory, lambda some: len(written(number, some, name, longest).text))
        )

    done = [(i, range(turn.passes.start, min(turn.passes.stop, from_pass))) for i, turn in enumerate(turns)]
    before = [
        written(i, passes, f"passes before {from_pass}, clamping {i + 1}") for i, passes in done if passes
    ]
    shared = [(i, shared_out(i)) for i in range(len(turns))]
    todo = [
        (i, passes, _part(part, len(ranges), i))
        for i, ranges in shared
        for part, passes in enumerate(ranges, start=1)
    ]
    parts = [
        written(i, passes, part_name(name, number, len(todo)), part)
        for number, (i, passes, part) in enumerate(todo, start=1)
    ]
    mills = [turns[i].placed.mill for i, passes in done if passes] + [
        turns[i].placed.mill for i, _, _ in todo
    ]
    texts = [(each.name, each.text) for each in (*before, *parts)]
    verdict = dry_run_of_text(texts, mill, job, post, len(before), progress, mills)
    several = tuple(turns[i].placed for i, _, _ in todo) if len(turns) > 1 else ()
    stages = tuple(stage for clamping in clampings for stage in clamping.place.stages)
    return Proof(tuple(before), tuple(parts), verdict, turns[todo[0][0]].placed, stages, clampings=several)


def _turns(mill: Mill, clampings: Sequence[Clamping]) -> Iterator[_Turn]:
    first = 1
    for clamping in clampings:
        passes = range(first, first + len(clamping.place.strokes))
        yield _Turn(clamping, _placed(mill, clamping), passes)
        first = passes.stop


def _part(part: int, parts: int, clamping: int) -> str:
    """Return what a part of one of the clampings (counted from 0) is called; nothing where it has no other."""
    return f"part {part} of {parts} of clamping {clamping + 1}" if parts > 1 else ""


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
    if not mill.axes.z.driven:
        return ()
    if mill.axis_by_hand is None:
        return (
            "Between passes the cutter goes over the top, since the travel leaves no room round the block",
        )
    return ("Between passes the cutter stands above everything while the next is set by hand",)


def _before_in_words(mill: Mill) -> str:
    clean = "Before this clamping: spindle stopped, chips off with a brush, edges that were cut deburred"
    if mill.axis_by_hand is None:
        return (
            f"{clean}, jaws, seat and faces wiped clean; then turn or move the vise, lock it, indicate the fixed jaw "
            "anew, and look that the block still sits as it sat"
        )
    return (
        f"{clean}; the block stays in the jaws; then the setting of the swivel base asked for below, its scale wiped "
        "clean, locked, and the block sitting as it sat: each flat is as true as this setting"
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
            corners = any(touch.is_corner for touch in ways)
            what = "the stock's corners" if corners else "the stock"
            where = "each where it stands furthest out" if corners else "where it is left as it was"
            yield f"Zero of {name}: touch {what} on both sides, {where}, and halve"
        elif not ways:
            yield f"Zero of {name}: nothing flat can be touched along it; pick up the middle with an indicator"
        else:
            yield (
                f"Zero of {name}: measure the stock where it is left as it was, then touch it on its side towards "
                f"{_SIDES[ways[0].side]}: that is half of what it measures, nominally {length(ways[0].distance)}, "
                "from the centre"
            )

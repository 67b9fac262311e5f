"""How a feed motion cuts: side, width, depth, flutes, feed, speed and what stands in the spindle's way."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from polypocket.dryrun.bite import Bite, bite_of
from polypocket.dryrun.context import Context
from polypocket.dryrun.findings import Fault, rate_text
from polypocket.dryrun.material import Piece
from polypocket.dryrun.motions import Motion
from polypocket.dryrun.sweeps import Sweeper
from polypocket.dryrun.tolerances import ENGAGEMENT, FEED_RATIO, HEIGHT

__all__ = ["cutting_faults", "flute_faults"]


def cutting_faults(
    context: Context, motion: Motion, swept: Sweeper, met: Sequence[Piece], removed: Sequence[Piece]
) -> Iterator[Fault]:
    """Yield what is wrong with a feed motion that meets material.

    Args:
        context: program, mill and job.
        motion: the motion.
        swept: the cutter's swept areas.
        met: what it may meet.
        removed: what it surely removes: side, width and depth are judged by this.
    """
    yield from _spindle(context, motion)
    yield from _feed(context, motion)
    yield from _plunge(context, motion, met)
    if removed and motion.moves_across:
        bite = bite_of(swept, removed)
        yield from _side(context, motion, bite)
        yield from _width(context, motion, bite)
        yield from _depth(context, motion, bite)


def flute_faults(context: Context, motion: Motion, above: Sequence[Piece]) -> Iterator[Fault]:
    """Yield a fault where the cutter touches material above its flutes; ``above`` is what it touches."""
    if not above:
        return
    length = context.job.cutter(motion.tool).flute_length
    over = max(piece.high for piece in above) - motion.lowest - length
    yield context.fault(
        "flute-length",
        motion.line,
        f"touches material {context.text(over)} above its flutes, which are {context.text(length)} long",
        "take longer flutes, or clear the wall above them first",
        amount=over,
    )


def _spindle(context: Context, motion: Motion) -> Iterator[Fault]:
    if motion.rpm > 0.0:
        return
    if math.isnan(motion.rpm):
        state = "turns at a speed that the program never says"
    else:
        state = "stands still" if motion.rpm == 0.0 else "turns anticlockwise"
    yield context.fault(
        "spindle-stopped",
        motion.line,
        f"cuts while the spindle {state}",
        f"start it clockwise at {context.job.cutter(motion.tool).cut.spindle_rpm:.0f} rpm before this line",
        key=state,
    )


def _feed(context: Context, motion: Motion) -> Iterator[Fault]:
    allowed = context.job.cutter(motion.tool).cut.feed
    if motion.rate > allowed * (1.0 + FEED_RATIO):
        yield context.fault(
            "feed-limit",
            motion.line,
            f"cuts at {rate_text(motion.rate, context.units)}; "
            f"the job's feed is {rate_text(allowed, context.units)}",
            "cut at the job's feed",
            key="job",
            amount=motion.rate,
        )
    else:
        yield from _chip_load(context, motion)


def _chip_load(context: Context, motion: Motion) -> Iterator[Fault]:
    """Yield a fault where the spindle turns too slowly for the feed: each tooth takes more than the job's chip."""
    cutter, rpm = context.job.cutter(motion.tool), abs(motion.rpm)
    cut, flutes = cutter.cut, cutter.flutes
    # S words are rounded down to whole turns, F words as FEED_RATIO tells.
    if rpm > 0.0 and motion.rate * cut.spindle_rpm > cut.feed * (rpm + 1.0) * (1.0 + FEED_RATIO):
        chip = motion.rate / rpm / flutes
        yield context.fault(
            "feed-limit",
            motion.line,
            f"cuts {context.text(chip)} a tooth at {rpm:.0f} rpm; the job's feed and speed make "
            f"{context.text(cut.feed / cut.spindle_rpm / flutes)}",
            "turn at the job's speed, or feed more slowly",
            key="tooth",
            amount=chip,
        )


def _plunge(context: Context, motion: Motion, met: Sequence[Piece]) -> Iterator[Fault]:
    if not motion.descends:
        return
    below = [piece for piece in met if piece.low < motion.start[2] - HEIGHT]
    if below:
        top = min(max(piece.high for piece in below), motion.start[2])
        yield context.fault(
            "plunge",
            motion.line,
            f"goes down into material with the cutter's end, from Z {context.text(top)}",
            "go down outside the material, or onto a floor that has been cut",
            amount=top - motion.end[2],
        )


def _side(context: Context, motion: Motion, bite: Bite) -> Iterator[Fault]:
    direction = context.job.cutter(motion.tool).cut.direction
    wants_left = (direction == "conventional") == (not motion.rpm < 0.0)
    if bite.is_left == wants_left:
        return
    stands, should = ("left", "right") if bite.is_left else ("right", "left")
    turning = "anticlockwise" if motion.rpm < 0.0 else "clockwise"
    yield context.fault(
        "direction",
        motion.line,
        f"material stands on the {stands} of the travel; {direction} cutting with the spindle {turning} "
        f"wants it on the {should}",
        "go the other way along this path",
        amount=max(bite.left, bite.right),
    )


def _width(context: Context, motion: Motion, bite: Bite) -> Iterator[Fault]:
    allowed = context.job.cutter(motion.tool).cut.stepover
    if bite.width > allowed + ENGAGEMENT:
        yield context.fault(
            "engagement",
            motion.line,
            f"cuts {context.text(bite.width)} wide; the job's stepover is {context.text(allowed)}",
            "take more passes, or come in along the path instead of across it",
            amount=bite.width,
        )


def _depth(context: Context, motion: Motion, bite: Bite) -> Iterator[Fault]:
    cutter = context.job.cutter(motion.tool)
    cut = cutter.cut
    level = context.level_at(motion.lowest)
    section = context.job.sections[(level.section or _deepest(context)) - 1]
    allowed = section.depth if cut.stepdown is None else cut.stepdown
    if bite.height <= allowed + HEIGHT:
        return
    corner = math.cos(math.pi / section.sides) if motion.is_arc else 1.0
    finishes = bite.width <= cut.finish_allowance / corner + ENGAGEMENT and cut.finish_allowance > 0.0
    if finishes and bite.height <= cutter.flute_length + HEIGHT:
        return
    yield context.fault(
        "depth-of-cut",
        motion.line,
        f"cuts {context.text(bite.height)} deep and {context.text(bite.width)} wide; "
        f"the job's stepdown is {context.text(allowed)}",
        "take more levels, or leave no more than the finish allowance",
        amount=bite.height,
    )


def _deepest(context: Context) -> int:
    return max(range(len(context.job.sections)), key=lambda index: context.job.sections[index].depth) + 1

"""Reader and second interpreter agree on changed texts: what a control refuses, and every motion of what it does not.

Cheap, as no work is looked at, so that far more texts are tried than in the big run.
"""

from __future__ import annotations

import math
from random import Random

import pytest

from polypocket.dryrun.motions import Motion, motions_of
from polypocket.dryrun.paths import paths_of
from polypocket.reader import Kind, read
from tests.faults.interpreter import interpret
from tests.faults.motions import CONTROLS, Alarm, Beyond, Place, Step
from tests.faults.nothing import NOTHING
from tests.faults.planting import FAULTS, planted
from tests.faults.programs import Good, program

#: Short programs of both dialects.
SEEDS = (23, 43, 25, 4)
TEXTS = 150

_KINDS = {
    Kind.RAPID: "rapid",
    Kind.FEED: "feed",
    Kind.ARC_CLOCKWISE: "clockwise",
    Kind.ARC_ANTICLOCKWISE: "anticlockwise",
}


@pytest.mark.parametrize("seed", SEEDS)
def test_two_ways_of_reading_agree(seed: int) -> None:
    good = program(seed)
    assert good is not None, f"seed {seed} has no good program any more; take another"
    compared = 0
    for turn in range(TEXTS):
        random = Random(f"reading {seed}/{turn}")
        kind = random.choice([*FAULTS, *NOTHING])
        if (change := planted(kind, good, random)) is not None:
            disagreement = _disagreement(good, change.text)
            assert not disagreement, f"{kind}, turn {turn}: {disagreement}\n{change.text}"
            compared += 1
    assert compared > TEXTS / 2


def _disagreement(good: Good, text: str) -> str:
    """Say where the two ways disagree about a text; nothing where they agree."""
    track = read(text, good.post.dialect)
    refused = bool(track.complaints) or bool(
        track.optional.any()
    )  # the dry run refuses lines that a switch skips
    try:
        reading = interpret(text, CONTROLS[good.post.name])
    except Alarm as alarm:
        return "" if refused else f"the reader is silent; {alarm}"
    except Beyond:
        return ""
    if refused:
        return f"the reader refuses what the second way takes: {track.complaints}"
    zero = reading.offsets[0] if reading.offsets else good.mill.work_offset
    if len(reading.offsets) > 1:
        return ""
    motions = [
        motion
        for motion in motions_of(paths_of(track, zero, {}))
        if motion.is_arc or repr(motion.start) != repr(motion.end)  # NaN is no other place than NaN
    ]
    if len(motions) != len(reading.steps):
        return f"{len(motions)} motions, and {len(reading.steps)} by the second way"
    pairs = zip(motions, reading.steps, strict=True)
    return next((f"{motion}\n{step}" for motion, step in pairs if not _alike(motion, step)), "")


def _alike(motion: Motion, step: Step) -> bool:
    states = (
        [(motion.rpm, step.rpm)] if motion.is_rapid else [(motion.rpm, step.rpm), (motion.rate, step.feed)]
    )
    if step.centre is not None:
        states += zip(motion.centre, step.centre, strict=True)
    states += zip((*motion.start, *motion.end), (*_known(step.start), *_known(step.end)), strict=True)
    near = all(math.isclose(a, b, abs_tol=1e-9) or (math.isnan(a) and math.isnan(b)) for a, b in states)
    return near and motion.line == step.line and _KINDS[motion.kind] == step.kind


def _known(place: Place) -> tuple[float, ...]:
    return tuple(math.nan if value is None else value for value in place)

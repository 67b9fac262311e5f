"""Faults in sheets for a mill worked by hand, each judged by the second way and by the dry run."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from random import Random

from polypocket_posts.handwheel import Handwheel

from polypocket.errors import InputError, MistakesError
from polypocket.model.files import job_of_text, load_mill
from polypocket.model.job import BlockJob, flats_left
from polypocket.model.mill import Mill
from polypocket.post import Post
from polypocket.prove import dry_run_of_text, prove, require_fit
from polypocket.prove.dialect import scales_of
from tests.faults.hands import SPEED, short
from tests.faults.motions import Alarm
from tests.faults.sheets.person import judge_sheet
from tests.faults.sheets.planting import FAULTS, NOTHING
from tests.faults.sheets.reading import read
from tests.faults.trial import Trial, alarm, difference, find, harm, outcome_of
from tests.generation.by_hand import for_a_sheet

__all__ = ["SHEET", "sheet_run", "sheet_trials"]

#: The name of these among the kinds of mills.
SHEET = "sheet"
_NOTHING_SHARE = 0.1
_TRIES = 20
_MOST_LINES = 170


@dataclass(frozen=True)
class Good:
    """A sheet in which nothing is wrong."""

    text: str
    job: BlockJob
    mill: Mill
    post: Post


@lru_cache(maxsize=4)
def sheet(seed: int) -> Good | None:
    """Return the sheet of a seed; ``None`` where there is none, or only a long one."""
    random = Random(f"sheet {seed}")
    try:
        job = short(random, job_of_text(for_a_sheet(seed).job_text, "job.toml"))
        if job.clamping.grip == "plate" or not _cuts(job):
            return None
        mill = _drawn(random)
        job = _turning(job)
        require_fit(job, mill, "job.toml")
        post = Handwheel().for_scales(scales_of(mill))
        proof = prove(job, mill, post, "sheet.txt")
    except (MistakesError, InputError):
        return None
    wrong = {each.code for each in proof.verdict.findings}
    assert wrong <= {"travel"}, f"sheet {seed} is no good sheet: {proof.verdict.findings}"
    text = proof.parts[0].text
    if wrong or text.count("\n") > _MOST_LINES:
        return None
    harms = judge_sheet(read(text), job, mill)
    assert not harms.sure, f"sheet {seed}: {harms.sure}"
    return Good(text, job, mill, post)


def _cuts(job: BlockJob) -> bool:
    return any(len(flats_left(job, section)) < section.sides for section in job.sections)


def _drawn(random: Random) -> Mill:
    """Return the mill that ships, with dials or readouts, in either units, and a base that turns to any angle."""
    mill = load_mill("knee-mill-by-hand")
    dial = {"dial_turn": 5.0, "dial_divisions": random.choice((250, 500))}
    x, y = (
        axis.model_copy(update=dial if random.random() < 0.4 else {}) for axis in (mill.axes.x, mill.axes.y)
    )
    z = mill.axes.z.model_copy(update={"dial_divisions": 500})
    return mill.model_copy(
        update={
            "axes": mill.axes.model_copy(update={"x": x, "y": y, "z": z}),
            "vise": mill.vise.model_copy(update={"swivel_graduation": None}) if mill.vise else None,
            "spindle": mill.spindle.model_copy(update={"speeds": (500.0, SPEED, 2000.0)}),
            "readout": random.choice((0.005, 0.01)),
            "units": random.choice(("mm", "inch")),
            "feed_max": 3000.0,
        }
    )


def _turning(job: BlockJob) -> BlockJob:
    """Return a job whose base may stand wherever one of its flats is square to an axis."""
    quarter = math.pi / 2.0
    settings = {
        round(math.remainder(-section.polygon().direction(flat), quarter), 12)
        for section in job.sections
        for flat in range(1, section.sides + 1)
    }
    clamping = job.clamping.model_copy(update={"swivel_settings": tuple(sorted(settings))})
    return job.model_copy(update={"clamping": clamping})


def sheet_trials(seed: int, turns: int) -> Iterator[Trial]:
    """Run so many trials with the sheet of a seed; none where it has no good sheet."""
    if sheet(seed) is not None:
        yield from (sheet_run(seed, turn) for turn in range(turns))


def sheet_run(seed: int, turn: int) -> Trial:
    """Run one trial: the same one on every machine."""
    good = sheet(seed)
    assert good is not None, f"seed {seed} has no good sheet"
    name = f"{SHEET}/{seed}/{turn}"
    random = Random(name)
    kinds = NOTHING if random.random() < _NOTHING_SHARE else FAULTS
    for _ in range(_TRIES):
        kind = random.choice(list(kinds))
        text = kinds[kind](good.text, random)
        if text is not None and text != good.text:
            break
    else:
        raise AssertionError(f"the sheet of seed {seed} has no place for any fault")
    trial = Trial(name, kind, SHEET)
    same = False
    try:
        said = read(text)
        same = said == read(good.text)
        if not same:
            harm(trial, judge_sheet(said, good.job, good.mill))
    except Alarm as stop:
        alarm(trial, stop)
    find(trial, dry_run_of_text([("sheet.txt", text)], good.mill, good.job, good.post).findings)
    trial.told += difference(good.text, text)
    trial.outcome = outcome_of(trial, same=same)
    return trial

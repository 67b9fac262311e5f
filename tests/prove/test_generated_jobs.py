"""Properties over generated jobs: files → program → text → dry run, and the plan by a second way.

Each job comes of a seed. ``pytest tests/prove/test_generated_jobs.py --jobs 10000`` tries so many; ``--first-job 4711
--jobs 1`` tries one again. No source: what is asserted are the project's own promises.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from random import Random

import pytest

from polypocket.errors import MistakesError
from polypocket.model.files import job_of_text, load_mill
from polypocket.model.job import BlockJob, flats_left
from polypocket.model.mill import Mill
from polypocket.post import post_named
from polypocket.prove import Proof, prove, require_fit
from tests.generation.breaking import MISTAKES, broken
from tests.generation.cases import Case, case
from tests.plan.judgement import faults_of

#: Jobs of one test: few enough for two processes to share them evenly.
CHUNK = 5
#: Broken jobs for each generated one: they take no time.
BROKEN = 5

#: Values tried of each kind of mistake.
VALUES = 12

#: Seeds of jobs that once failed: sections that share flats with others, and skins of less than a micrometre.
ONCE_FAILED = (180, 181, 299, 309, 310, 312, 349)

#: A promise of the project: across flats is met within this, mm.
ACROSS_FLATS = 0.02
#: Likewise angles, unless the coordinates' own decimals allow no better.
ANGLE = math.radians(0.01)


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    if "first" in metafunc.fixturenames:
        first, count = metafunc.config.getoption("first_job"), metafunc.config.getoption("jobs")
        starts = range(first, first + count, CHUNK)
        metafunc.parametrize(
            ("first", "last"), [(start, min(start + CHUNK, first + count)) for start in starts]
        )


def test_generated_jobs(
    first: int, last: int, tmp_path: Path, record_property: Callable[[str, object], None]
) -> None:
    counts: Counter[str] = Counter()
    failures = []
    for seed in range(first, last):
        drawn = case(seed)
        try:
            counts.update([_one(drawn, tmp_path)])
        except Exception as error:  # any at all is a failure, to be told with its job
            failures.append(f"seed {seed}: {type(error).__name__}: {error}\n{drawn}")
    for name, count in counts.items():
        record_property(name, count)
    assert not failures, "\n\n".join(failures)


@pytest.mark.parametrize("seed", ONCE_FAILED)
def test_jobs_that_once_failed(seed: int, tmp_path: Path) -> None:
    assert _one(case(seed), tmp_path) == "accepted", case(seed)


def test_broken_jobs(
    first: int, last: int, tmp_path: Path, record_property: Callable[[str, object], None]
) -> None:
    failures = []
    count = 0
    for seed in range(first, last):
        drawn = case(seed)
        if _refusal(drawn, tmp_path) is not None:
            continue  # not a good job to begin with
        for turn in range(BROKEN):
            count += 1
            bad = broken(drawn, Random(f"{seed}/{turn}"))
            try:
                refusal = _refusal(bad.case, tmp_path)
                assert refusal is not None, f"accepted in spite of {bad.places}"
                _well_told(refusal)
                # Mistakes that show only in a file that can be read at all are told when the others are mended.
                assert any(
                    mistake.place.startswith(place) for mistake in refusal.mistakes for place in bad.places
                ), f"{bad.places} are wrong; told is\n{refusal}"
            except Exception as error:  # any at all is a failure, to be told with its job
                text = bad.case.mill_text if bad.in_mill else bad.case.job_text
                failures.append(f"seed {seed}, turn {turn}: {type(error).__name__}: {error}\n{text}")
    record_property("broken", count)
    assert not failures, "\n\n".join(failures)


def test_most_jobs_are_accepted(tmp_path: Path) -> None:
    accepted = sum(_refusal(case(seed), tmp_path) is None for seed in range(200))
    assert 0.7 * 200 < accepted < 200


def test_every_choice_is_drawn() -> None:
    drawn = [case(seed) for seed in range(200)]
    assert {each.job["stock"]["shape"] for each in drawn} == {"square", "rectangle", "round", "polygon"}
    assert {each.job["units"] for each in drawn} == {each.mill["units"] for each in drawn} == {"mm", "inch"}
    assert {len(each.job["sections"]) for each in drawn} == {1, 2, 3, 4}
    assert {section["sides"] for each in drawn for section in each.job["sections"]} == set(range(3, 17))
    assert {each.job["cut"]["direction"] for each in drawn} == {"conventional", "climb"}
    assert {each.job["clamping"].get("jaws_along") for each in drawn} == {"x", "y", None}
    assert {"clamp_height" in each.job["clamping"] for each in drawn} == {True, False}
    assert {"stepdown" in each.job["cut"] for each in drawn} == {True, False}
    assert {bool(each.job["cut"].get("finish_allowance")) for each in drawn} == {True, False}
    assert {bool(each.job["stock"].get("oversize")) for each in drawn} == {True, False}
    assert {each.mill.get("rapid_path") for each in drawn} == {"independent", "straight", None}
    assert {each.mill["post"] for each in drawn} == {"rs274ngc", "iso6983"}
    assert {len(each.job.get("cutters", [1])) for each in drawn} == {1, 2, 3}
    sizes = [section.get("across_flats") for each in drawn for section in each.job["sections"]]
    assert "stock" in sizes


@pytest.mark.parametrize("in_mill", [False, True])
def test_every_mistake_is_one(in_mill: bool, tmp_path: Path) -> None:
    """Each kind of mistake alone is told, and told at its place."""
    good = next(each for each in map(case, range(100)) if _refusal(each, tmp_path) is None)
    for table, mistakes in MISTAKES[in_mill].items():
        for make in mistakes:
            for seed in range(VALUES):
                job, mill = case(good.seed).job, case(good.seed).mill
                place = make(Random(seed), mill if in_mill else job)
                bad = Case(good.seed, job, mill)
                refusal = _refusal(bad, tmp_path)
                assert refusal is not None, f"{table}: {place} accepted\n{bad}"
                assert any(mistake.place.startswith(place) for mistake in refusal.mistakes), refusal


def _one(drawn: Case, folder: Path) -> str:
    """Try one job and return what became of it."""
    try:
        job, mill = _loaded(drawn, folder)
    except MistakesError as error:
        _well_told(error)
        return "refused"
    proof = prove(job, mill, post_named(mill.post), "job.nc")
    found = [f"line {each.line}: {each.code}: {each.message}" for each in proof.verdict.findings]
    assert not found, "\n".join(["the dry run finds", *found])
    _as_ordered(job, proof)
    faults = faults_of(proof.parts[0].program, job, mill)
    assert not faults, "\n".join(["the second way finds", *faults])
    return "accepted"


def _loaded(drawn: Case, folder: Path) -> tuple[BlockJob, Mill]:
    """Load both files of a case.

    Raises:
        MistakesError: it cannot be made.
    """
    path = folder / "mill.toml"
    path.write_text(drawn.mill_text, encoding="utf-8")
    mill = load_mill(path)
    job = job_of_text(drawn.job_text, "job.toml")
    require_fit(job, mill, "job.toml")
    return job, mill


def _refusal(drawn: Case, folder: Path) -> MistakesError | None:
    try:
        _loaded(drawn, folder)
    except MistakesError as error:
        return error
    return None


def _well_told(refusal: MistakesError) -> None:
    assert refusal.mistakes
    for mistake in refusal.mistakes:
        # The one thing about a file as a whole, a work zero that is not set, cannot come of these mills.
        assert mistake.place, f"no place: {mistake}"
        assert mistake.message.strip(), f"no message at {mistake.place}"


def _as_ordered(job: BlockJob, proof: Proof) -> None:
    """Make sure that the part as cut is the one that the job asks for."""
    step = _smallest_step(proof.parts[0].text, job.units)
    assert len(proof.verdict.as_cut) == len(job.sections)
    for section, measured in zip(job.sections, proof.verdict.as_cut, strict=True):
        assert measured.sides == section.sides
        assert set(measured.not_cut) == flats_left(job, section)
        assert measured.worst_angle_error is not None, f"{measured.feature}: flats that cannot be found"
        allowed = max(ANGLE, 2.0 * math.sqrt(2.0) * step / section.polygon().side)
        assert measured.worst_angle_error <= allowed, (
            f"{measured.feature}: {math.degrees(measured.worst_angle_error):.5f}° off, "
            f"{math.degrees(allowed):.5f}° allowed"
        )
        for size in measured.across_flats:
            assert size is not None
            assert abs(size - section.across_flats) <= ACROSS_FLATS, (
                f"{measured.feature}: {size} across flats"
            )


def _smallest_step(text: str, units: str) -> float:
    """Return the smallest step of the coordinates, mm: the usual one, or a finer one where one is written."""
    usual, mm = (3, 1.0) if units == "mm" else (4, 25.4)
    blocks = re.sub(r"\([^)]*\)", "", text)
    written = max((len(digits) for digits in re.findall(r"[XYIJ]-?\d*\.(\d+)", blocks)), default=0)
    return mm * 10.0 ** -max(usual, written)

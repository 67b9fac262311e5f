"""Generated jobs on mills where a person sets the height, starts the spindle, or both. No source: our own promises."""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path

import pytest

from polypocket.errors import MistakesError
from polypocket.model.files import job_of_text, load_mill
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.post import post_named
from polypocket.prove import dry_run_of_text, prove, require_fit
from tests.generation.by_hand import by_hand
from tests.generation.small_block import small_block
from tests.plan.judgement import faults_of


def words_of(text: str) -> str:
    """Return a program without its comments."""
    return re.sub(r"\([^)]*\)", "", text)


@pytest.mark.parametrize("seed", range(24))
def test_generated_jobs_by_hand(seed: int, tmp_path: Path) -> None:
    drawn = by_hand(seed)
    (tmp_path / "mill.toml").write_text(drawn.mill_text, encoding="utf-8")
    mill = load_mill(tmp_path / "mill.toml")
    try:
        job = job_of_text(drawn.job_text, "job.toml")
        require_fit(job, mill, "job.toml")
    except MistakesError:
        return  # a job that cannot be made on any mill; how many these are, test_generated_jobs counts
    proof = prove(job, mill, post_named(mill.post), "job.nc")
    assert [f"line {each.line}: {each.message}" for each in proof.verdict.findings] == [], drawn
    text = words_of(proof.parts[0].text)
    assert "Z" not in text
    assert mill.spindle.controlled or not re.search(r"\bM[345]\b|S\d", text)
    assert faults_of(proof.parts[0].program, job, mill) == [], drawn
    heights = [float(each) for each in re.findall(r"\(SET Z (\S+)\)", proof.parts[0].text)]
    if (
        heights[0] == heights[1]
    ):  # where the work is turned, it is set for that, and of the cutter put in then
        del heights[0]
    assert heights[0] > 0.0 and all(later < earlier for earlier, later in pairwise(heights)), heights
    # One stop a height, one for the cutter, which shares that of the first height unless its length is taken up after
    # it, and one for the spindle's end.
    stops = len(heights) + (not mill.spindle.controlled) + mill.length_offset
    assert len(re.findall(r"\bM0\b", text)) == stops


@pytest.fixture(scope="module")
def job() -> BlockJob:
    return job_of_text(small_block([9, 21], 11, 0.2), "small.toml")


def mill_with(*, height: bool, spindle: bool) -> Mill:
    """Return the knee mill with a drive for the height, a switch for the spindle, or not."""
    mill = load_mill("knee-mill-3-axis")
    axes = mill.axes.model_copy(update={"z": mill.axes.z.model_copy(update={"driven": height})})
    return mill.model_copy(
        update={"axes": axes, "spindle": mill.spindle.model_copy(update={"controlled": spindle})}
    )


@pytest.fixture(scope="module")
def all_by_hand(job: BlockJob) -> str:
    """Return the program for a person at the height and at the spindle."""
    mill = mill_with(height=False, spindle=False)
    return prove(job, mill, post_named("rs274ngc"), "job.nc").parts[0].text


@pytest.mark.parametrize("dialect", ["rs274ngc", "iso6983", "lean"])
def test_every_dialect_asks(dialect: str, job: BlockJob) -> None:
    proof = prove(job, mill_with(height=False, spindle=False), post_named(dialect), "job.nc")
    assert proof.verdict.findings == ()
    assert "Z" not in words_of(proof.parts[0].text)


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("(SET Z -15.000)\n", "", "depth-of-cut"),  # 21 mm in one bite
        ("(SET Z -15.000)", "(SET Z -21.000)", "depth-of-cut"),
        ("(SET Z -9.000)", "(SET Z -9.500)", "gouge"),
        ("(SET Z -9.000)", "(SET Z -90.00)", "fixture-contact"),
        ("(SET Z -9.000)", "(SET Z 9.000)", "left-standing"),
        ("(SET Z 25.000)\n", "", "rapid-contact"),  # where the cutter is nobody has said
        ("G1 X-", "G1 Z-8. X-", "travel"),
        ("G1 X-", "G1 Z-9. X-", "travel"),  # where it stands: a control without the axis stops at the word
        ("G1 X-", "G92 Z-9.\nG1 X-", "travel"),
        ("(SET Z -9.000)\n", "(SET Z -9.000)\nG0 Z-9.\n", "travel"),
        ("(START SPINDLE 1000 CLOCKWISE)\n", "", "spindle-stopped"),
        ("(START SPINDLE 1000 CLOCKWISE)", "S1000 M3", "spindle-stopped"),
        ("(STOP SPINDLE)\nM0\nM30", "M5\nM30", "spindle-stopped"),
        ("(STOP SPINDLE)\nM0\nM30", "M30", "end"),
        ("(STOP SPINDLE)\nM0\nM30", "(STOP SPINDLE)\nM30", "unread"),
        ("(START SPINDLE 1000 CLOCKWISE)\nM0", "(START SPINDLE 1000 CLOCKWISE)", "unread"),
    ],
)
def test_the_dry_run_goes_by_what_is_asked(
    old: str, new: str, code: str, job: BlockJob, all_by_hand: str
) -> None:
    mill, post, text = mill_with(height=False, spindle=False), post_named("rs274ngc"), all_by_hand
    assert old in text
    wrong = dry_run_of_text([("job.nc", text.replace(old, new, 1))], mill, job, post)
    assert code in {each.code for each in wrong.findings if each.severity == "error"}, wrong.findings


@pytest.mark.parametrize(
    ("divisions", "height", "codes"),
    [
        (125, "-15.000", set()),  # 0.02 mm each: 750
        (125, "-15.010", {"size"}),  # between two
        (250, "-15.010", set()),
        (125, "-15.004", set()),  # whoever sets −15 is at the same height
        (None, "-15.003", set()),  # a readout of 0.005 mm
    ],
)
def test_a_height_that_can_be_set(
    divisions: int | None, height: str, codes: set[str], job: BlockJob, all_by_hand: str
) -> None:
    mill = mill_with(height=False, spindle=False)
    dial = {} if divisions is None else {"dial_turn": 2.5, "dial_divisions": divisions}
    axes = mill.axes.model_copy(update={"z": mill.axes.z.model_copy(update=dial)})
    mill = mill.model_copy(update={"axes": axes})
    text = all_by_hand.replace("(SET Z -15.000)", f"(SET Z {height})")
    found = dry_run_of_text([("job.nc", text)], mill, job, post_named("rs274ngc"))
    assert {each.code for each in found.findings} == codes
    if divisions == 125:
        assert prove(job, mill, post_named("rs274ngc"), "job.nc").verdict.findings == ()


def test_a_depth_that_cannot_be_set() -> None:
    mill = mill_with(height=False, spindle=True)
    z = mill.axes.z.model_copy(update={"dial_turn": 2.5, "dial_divisions": 125})
    mill = mill.model_copy(update={"axes": mill.axes.model_copy(update={"z": z})})
    odd = job_of_text(small_block([9.01, 21], 11, 0.2), "small.toml")
    with pytest.raises(
        MistakesError, match=r"sections\[0\]\.depth \(section 1\): 9\.010 mm cannot be set by hand"
    ):
        require_fit(odd, mill, "small.toml")
    driven = mill_with(height=True, spindle=True)
    require_fit(odd, driven, "small.toml")


def test_a_driven_height_with_a_person_at_the_spindle(job: BlockJob) -> None:
    proof = prove(job, mill_with(height=True, spindle=False), post_named("rs274ngc"), "job.nc")
    assert proof.verdict.findings == ()
    text = proof.parts[0].text
    # One stop to put the cutter in and start, one to stop at the end.
    assert len(re.findall(r"^M0$", text, re.MULTILINE)) == 2
    assert "(CUTTER 1 DIAMETER 10.000)\n(START SPINDLE 1000 CLOCKWISE)\nM0\n" in text


def test_the_spindle_stands_while_the_height_is_set(job: BlockJob) -> None:
    text = prove(job, mill_with(height=False, spindle=True), post_named("rs274ngc"), "job.nc").parts[0].text
    turning = False
    for line in words_of(text).splitlines():
        if "M3" in line:
            turning = True
        elif "M5" in line:
            turning = False
        assert not (turning and "M0" in line)
    assert "M3" in text


def test_parts_and_passes_begin_above_everything(job: BlockJob) -> None:
    mill = mill_with(height=False, spindle=True).model_copy(update={"program_memory": 2400.0})
    proof = prove(job, mill, post_named("rs274ngc"), "job.nc", 5)
    assert len(proof.parts) > 2
    assert proof.verdict.findings == ()
    assert all("(SET Z 25.000)" in part.text for part in proof.parts)


def test_a_changer_wants_drives(tmp_path: Path) -> None:
    drawn = by_hand(3)
    drawn.mill["tool_change"]["automatic"] = True
    (tmp_path / "mill.toml").write_text(drawn.mill_text, encoding="utf-8")
    with pytest.raises(MistakesError, match=r"tool_change: a changer wants a driven Z"):
        load_mill(tmp_path / "mill.toml")

"""Places and remedies, each held to the dry run of the very text that is written for them."""

from __future__ import annotations

import math
from itertools import product
from pathlib import Path

import pytest

from polypocket.errors import ProofError
from polypocket.model.files import load_job, load_mill
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.model.surroundings import Column, KeepOut
from polypocket.plan.place import place_at
from polypocket.plan.region import Misfit, work_back
from polypocket.prove import Proof, dry_run_of_text, post_for, prove
from polypocket.prove.fitting import fitting_of
from polypocket.prove.indicator import indicator_for
from polypocket.prove.placing import placed_on

ROOT = Path(__file__).parents[2]
SHORT = ROOT / "fixtures" / "mills" / "short_table.toml"
BAR = ROOT / "fixtures" / "jobs" / "valve_stem_from_bar.toml"
#: Beyond rounding, the tolerance of travel and what the polygons of circles are more than need be, mm.
STEP = 0.05


def turned(job: BlockJob, *degrees: float) -> BlockJob:
    settings = tuple(math.radians(each) for each in degrees)
    return job.model_copy(update={"clamping": job.clamping.model_copy(update={"swivel_settings": settings})})


def in_vise(job: BlockJob) -> BlockJob:
    """The small job, from square stock in a vise."""
    stock = job.stock.model_copy(update={"shape": "square", "diameter": None, "width": 40.0})
    clamping = job.clamping.model_copy(update={"grip": "vise", "held": 10.0})
    return job.model_copy(update={"stock": stock, "clamping": clamping})


def travel(mill: Mill, **ends: tuple[float, float]) -> Mill:
    axes = {
        name: getattr(mill.axes, name).model_copy(update={"low": low, "high": high})
        for name, (low, high) in ends.items()
    }
    return mill.model_copy(update={"axes": mill.axes.model_copy(update=axes)})


@pytest.fixture(scope="module")
def small() -> BlockJob:
    return in_vise(load_job(ROOT / "fixtures" / "jobs" / "gate_key.toml"))


def codes(proof: Proof) -> set[str]:
    return {finding.code for finding in proof.verdict.findings}


@pytest.mark.parametrize("degrees", [0.0, 25.0])
def test_clean_in_every_corner_and_not_a_step_outside(small: BlockJob, degrees: float) -> None:
    job, mill = turned(small, degrees), load_mill(SHORT)
    post = post_for(mill)
    place = place_at(job, mill, math.radians(degrees))
    ends = list(zip(place.region.low, place.region.high, strict=True))

    def found_at(zero: tuple[float, ...]) -> set[str]:
        at = mill.model_copy(update={"work_offsets": {"G54": zero}})
        return codes(prove(job, at, post, "corner"))

    for corner in product(*ends):
        assert found_at(corner) == set(), corner
    middle = [(low + high) / 2.0 for low, high in ends]
    # The text of the middle, judged a step outside: the plan would keep lower where the zero is too high.
    text = prove(job, mill, post, "middle").parts[0].text
    for axis, end in product(range(3), range(2)):
        zero = list(middle)
        zero[axis] = ends[axis][end] + (STEP if end else -STEP)
        at = mill.model_copy(update={"work_offsets": {"G54": (zero[0], zero[1], zero[2])}})
        found = {f.code for f in dry_run_of_text([("outside", text)], at, job, post).findings}
        assert found == {"travel"}, (axis, end)


def test_clean_in_every_corner_beside_a_keep_out(small: BlockJob) -> None:
    thing = KeepOut(name="dividing head", x=(110.0, 160.0), y=(-180.0, -100.0), z=(-250.0, -70.0))
    mill = load_mill(SHORT).model_copy(update={"keep_out": (thing,)})
    post = post_for(mill)
    placed = placed_on(small, mill)
    assert placed.place is not None
    region = placed.place.region
    assert region.area is not None
    text = prove(small, mill, post, "middle", placed=placed).parts[0].text
    z = region.low[2]

    def found_at(x: float, y: float) -> set[str]:
        at = mill.model_copy(update={"work_offsets": {"G54": (x, y, z)}})
        return {f.code for f in dry_run_of_text([("corner", text)], at, small, post).findings}

    corners = list(region.area.exterior.coords)[:-1]
    assert len(corners) > 12  # no box
    for corner in corners[:: len(corners) // 12]:
        assert found_at(*corner) == set(), corner
    outside = region.area.buffer(2.0 * STEP).exterior
    found = [found_at(*outside.interpolate(i / 16.0, normalized=True).coords[0]) for i in range(16)]
    assert all(each and each <= {"travel", "keep-out"} for each in found)
    assert {"keep-out"} in found and {"travel"} in found


def test_write_takes_the_best_place_and_says_where(small: BlockJob) -> None:
    job, mill = turned(small, 45.0, 0.0, 10.0), load_mill(SHORT)
    proof = prove(job, mill, post_for(mill), "block")
    assert codes(proof) == set()
    assert proof.placed.chosen
    assert proof.placed.swivel == 0.0
    x, y, z = proof.placed.mill.work_offsets["G54"]
    text = " ".join(proof.parts[0].text.replace(")\n(-", "").split())
    assert f"ZERO IN MACHINE COORDINATES: X {x:.3f} MM, Y {y:.3f} MM, Z {z:.3f} MM" in text
    assert "PUT THE ZERO THERE: THE MILL FILE SETS NONE" in text
    assert "(SET SWIVEL 0)" in text
    # The mill file alone does not know the zero: dry-run as it is, the text is no longer proven.
    unknown = dry_run_of_text([("block", proof.parts[0].text)], mill, job, post_for(mill))
    assert {finding.code for finding in unknown.findings} == {"travel"}


def test_plan_and_dry_run_must_agree_on_whether_there_is_a_place(small: BlockJob) -> None:
    mill = load_mill(SHORT)
    placed = placed_on(small, mill)
    assert placed.place is not None
    step = placed.place.room.low[0].step
    doubtful = placed.place._replace(misfits=(Misfit("x", 1.0, step, step, "travel"),))
    with pytest.raises(ProofError, match="there is no place"):
        prove(small, mill, post_for(mill), "block", placed=placed._replace(place=doubtful))


def test_of_settings_the_first_that_fits_where_the_zero_is_set() -> None:
    job, mill = turned(load_job(BAR), 0.0, 90.0, 80.0), load_mill(SHORT)
    at = mill.model_copy(update={"work_offsets": {"G54": (75.0, -145.0, -82.0)}})
    placed = placed_on(job, at)
    assert placed.swivel == math.pi / 2.0
    assert not placed.chosen
    # A zero outside of the region of every one of them: the first is taken, and the dry run says what is wrong.
    outside = mill.model_copy(update={"work_offsets": {"G54": (20.0, -145.0, -82.0)}})
    assert placed_on(job, outside).swivel == 0.0
    assert "travel" in codes(prove(turned(load_job(BAR), 90.0), outside, post_for(mill), "outside"))


def test_without_home_switches_the_head_of_the_program_tells_the_room(small: BlockJob) -> None:
    mill = load_mill(SHORT).model_copy(update={"homed": False})
    proof = prove(small, mill, post_for(mill), "block")
    assert codes(proof) == set()
    text = " ".join(proof.parts[0].text.replace(")\n(-", "").split())
    assert "NO HOME SWITCHES: BEFORE CUTTING JOG FROM THE ZERO" in text
    for axis in "xyz":
        used = proof.verdict.travel[axis]
        assert used.low is not None and used.high is not None
        assert (used.limit_low, used.limit_high) == (None, None)
        assert f"{axis.upper()} {used.low:.3f} MM TO {used.high:.3f} MM" in text


@pytest.mark.parametrize(("degrees", "back"), [(0.0, 110.0), (90.0, 125.0), (-45.0, 235.0 / math.sqrt(2.0))])
def test_the_body_turns_towards_the_column(small: BlockJob, degrees: float, back: float) -> None:
    """Vise 250 by 220; turned by an eighth its corner is (125 + 110)/√2 behind the middle."""
    job, mill = turned(small, degrees), load_mill(SHORT)
    mill = mill.model_copy(update={"tool_change": mill.tool_change.model_copy(update={"at": None})})
    swivel = math.radians(degrees)
    assert work_back(job, mill, swivel) == pytest.approx(back)
    foremost = place_at(job, mill, swivel).room.low[1].at
    for throat, fits in ((back - foremost + STEP, True), (back - foremost - STEP, False)):
        at = mill.model_copy(update={"column": Column(throat=throat)})
        proof = prove(job, at, post_for(at), "block")
        assert proof.placed.place is not None
        assert proof.placed.place.fits == fits
        assert codes(proof) == (set() if fits else {"fixture-contact"})


def test_a_table_too_short_by_a_hands_width() -> None:
    """Flat bar 235 mm long, 0.8 mm over size: ±(117.9 + 6 + what is kept clear) along X; the mill has 150 mm."""
    job, mill = load_job(BAR), load_mill(SHORT)
    fitting = fitting_of(job, mill, post_for(mill))
    assert not fitting.ok
    (place,) = fitting.places
    (misfit,) = place.misfits
    assert (misfit.axis, misfit.what) == ("x", "travel")
    assert misfit.over == pytest.approx(235.8 + 12.0 + 2.4 - 150.0, abs=0.1)
    assert misfit.low.number and misfit.high.number and misfit.low.flat
    (remedy,) = fitting.remedies.found
    assert remedy.change.kind == "setting"
    assert remedy.change.write == {"clamping.swivel_settings": [90.0]}
    assert {each.change.kind for each in fitting.remedies.tried} == {"approach", "cutter", "clearance"}
    # Once more from the start, as a person would who writes it into the job.
    proof = prove(turned(job, 90.0), mill, post_for(mill), "again")
    assert codes(proof) == set()
    used = proof.verdict.travel["x"]
    assert used.low is not None and used.high is not None
    assert used.low >= 0.0 and used.high <= 150.0


def test_a_table_a_little_too_short_has_every_remedy(small: BlockJob) -> None:
    """Round stock in a round fence, whose corners stand off: each of the four ways needs less of X, and is proven."""
    round_stock = load_job(ROOT / "fixtures" / "jobs" / "gate_key.toml")
    stock = round_stock.stock.model_copy(
        update={"shape": "rectangle", "diameter": None, "width": 44.0, "length": 40.0}
    )
    cutters = (round_stock.only_cutter.cutting(stepover=1.5),)
    job = in_vise(round_stock).model_copy(update={"stock": stock, "cutters": cutters})
    wide = load_mill(SHORT)
    need = place_at(job, wide, 0.0).room.need(0)
    mill = travel(wide, x=(0.0, need - 0.05))
    fitting = fitting_of(job, mill, post_for(mill))
    kinds = [remedy.change.kind for remedy in fitting.remedies.found]
    assert kinds == [kind for kind in ("setting", "approach", "cutter", "clearance") if kind in kinds]
    assert {"setting", "cutter", "clearance"} <= set(kinds)
    for remedy in fitting.remedies.found:
        proof = prove(remedy.change.job, mill, post_for(mill), "again")
        assert codes(proof) == set()
        used = proof.verdict.travel["x"]
        assert used.low is not None and used.high is not None
        assert used.high - used.low <= need - 0.05 + 0.0015


@pytest.mark.parametrize(
    ("degrees", "along", "axis", "rise"),
    [
        (30.0, "x", "x", 57.735),  # tan 30° = 0.57735
        (-20.0, "x", "x", -36.397),
        (45.0, "x", "x", 100.0),
        (60.0, "x", "y", -57.735),  # 30° short of Y
        (90.0, "x", "y", 0.0),
        (180.0, "x", "x", 0.0),
        (30.0, "y", "y", 57.735),
    ],
)
def test_an_indicator_over_100_mm(degrees: float, along: str, axis: str, rise: float) -> None:
    """Common practice, no source: the jaw rises by the tangent of its angle to the travel."""
    mill = load_mill(SHORT)
    found = indicator_for(math.radians(degrees), along, mill)
    assert found is not None
    assert (found.axis, round(found.rise, 3) + 0.0) == (axis, rise)
    assert found.misread == math.radians(1.0)
    if degrees == 30.0:  # 100 · (tan 31° − tan 30°) = 60.086 − 57.735
        assert found.misread_rise == pytest.approx(2.351, abs=5e-4)
    assert indicator_for(0.0, along, mill) is None

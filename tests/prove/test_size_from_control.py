"""The cutter's size left to the control: the path for the nominal cutter, the difference in a register."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from polypocket.errors import DialectError, MistakesError
from polypocket.model.files import job_of_text, load_mill
from polypocket.model.job import BlockJob
from polypocket.model.mill import CutterRegisters, Mill
from polypocket.post import post_named
from polypocket.prove import Proof, dry_run_of_text, prove, require_fit
from tests.generation.cases import case

ROOT = Path(__file__).parents[2]
TEXT = re.sub(
    r"(?m)^feed = .*$", r"\g<0>\nsize_from_control = true", (ROOT / "fixtures/jobs/gate_key.toml").read_text()
)


def job(measured: str | None = None) -> BlockJob:
    return job_of_text(TEXT, "gate_key", measured)


def mill(held: float | None, name: str = "knee-mill-3-axis") -> Mill:
    return holding(load_mill(name), 1, held)


def holding(mill: Mill, number: int, held: float | None) -> Mill:
    radius = {} if held is None else {number: held}
    return mill.model_copy(update={"cutter_registers": CutterRegisters(radius=radius)})


def proof(job: BlockJob, mill: Mill) -> Proof:
    require_fit(job, mill, "job")
    return prove(job, mill, post_named(mill.post), "job.nc")


@pytest.mark.parametrize("name", ["knee-mill-3-axis", "knee-mill-ballscrews"])
@pytest.mark.parametrize(
    ("measured", "held"), [(None, 0.0), ("9.87", -0.065), ("10.02", 0.01), ("9.6 mm", -0.2)]
)
def test_the_same_text_makes_the_part_with_any_cutter_that_the_register_tells_of(
    name: str, measured: str | None, held: float
) -> None:
    made = proof(job(measured), mill(held, name))
    if held > 0.0 and name == "knee-mill-3-axis":
        # A larger cutter is led outwards in the lead-in, and the screw that stands still is then not taken up.
        assert {finding.code for finding in made.verdict.findings} == {"backlash"}
        return
    assert made.verdict.findings == ()
    assert made.parts[0].text == proof(job(), mill(0.0, name)).parts[0].text
    (section,) = made.verdict.as_cut
    assert section.across_flats == pytest.approx([33.0] * 6, abs=0.003)


def test_on_and_off_outside_the_material() -> None:
    """Every pass turns it on in its lead-in and off in its lead-out, each a straight move that names X and Y."""
    text = proof(job(), mill(0.0)).parts[0].text
    passes = text.split("(PASS ")[1:]
    assert len(passes) == 13
    for each in passes:
        lines = each.splitlines()[1:]
        assert re.match(r"G42 D1 G1 X\S+ Y\S+", lines[0])
        (off,) = [line for line in lines if line.startswith("G40")]
        assert re.match(r"G40 G1 X\S+ Y\S+", off)
    assert "REGISTER D1, WHICH MUST HOLD" in text


@pytest.mark.parametrize(
    ("measured", "held", "said"),
    [
        (None, None, 'nobody knows what register 1 of "knee mill, three driven axes" holds; set it and write '
         '[cutter_registers] radius = { "1" = "0.000 mm" } in the mill file'),
        (None, -0.065, "holds -0.065 mm and must hold 0.000 mm for this cutter"),
        ("9.87", 0.0, "holds 0.000 mm and must hold -0.065 mm for this cutter"),
        ("9.87", 4.935, "holds 4.935 mm and must hold -0.065 mm for this cutter"),
    ],
)  # fmt: skip
def test_a_register_that_does_not_hold_it_is_refused(
    measured: str | None, held: float | None, said: str
) -> None:
    with pytest.raises(MistakesError) as caught:
        require_fit(job(measured), mill(held), "job")
    (mistake,) = caught.value.mistakes
    assert mistake.place == "cut.size_from_control"
    assert said in mistake.message


@pytest.mark.parametrize(
    ("text", "place", "said"),
    [
        (TEXT.replace("size_from_control = true", "").replace("diameter = 10.0", "diameter = 10.0\nmeasured = 9.9"),
         "cutter.measured", "nothing makes up for it"),
        (TEXT.replace("diameter = 10.0", "diameter = 10.0\nmeasured = 9.3"), "cutter.measured",
         "must be within 0.500 mm of the diameter"),
    ],
)  # fmt: skip
def test_a_measure_that_nothing_makes_up_for(text: str, place: str, said: str) -> None:
    with pytest.raises(MistakesError) as caught:
        job_of_text(text, "job")
    (mistake,) = caught.value.mistakes
    assert (mistake.place, said in mistake.message) == (place, True)


def test_the_dry_run_takes_the_register_and_the_cutter_as_they_are() -> None:
    """With the register forgotten at 0 a cutter 0.13 mm smaller leaves 0.065 mm on every flat, and it is found."""
    text = proof(job(), mill(0.0)).parts[0].text
    verdict = dry_run_of_text([("job.nc", text)], mill(0.0), job("9.87"), post_named("rs274ngc"))
    assert {"left-standing"} <= {finding.code for finding in verdict.findings}
    (section,) = verdict.as_cut
    assert section.across_flats == pytest.approx([33.13] * 6, abs=0.003)


def test_a_control_that_keeps_no_sizes_is_refused_before_anything_is_written() -> None:
    with pytest.raises(DialectError, match="lean: the control keeps no cutter sizes"):
        prove(job(), mill(0.0), post_named("lean"), "job.nc")


def test_generated_jobs(tmp_path: Path) -> None:
    done = 0
    for seed in range(30):
        drawn = case(seed)
        drawn.job["cut"]["size_from_control"] = True
        path = tmp_path / "mill.toml"
        path.write_text(drawn.mill_text)
        try:
            made = job_of_text(drawn.job_text, "job")
            shop = holding(load_mill(path), made.cutters[0].number, 0.0)
            require_fit(made, shop, "job")
        except MistakesError:
            continue
        assert prove(made, shop, post_named(shop.post), "job.nc").verdict.findings == (), seed
        done += 1
    assert done > 20

"""The shop's block on the shop's mill, with what the mill file has as an example of what stands round the work."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from polypocket.model.files import load_job
from polypocket.model.mill import Mill
from polypocket.model.surroundings import Column
from polypocket.model.written_mill import WrittenMill
from polypocket.post import post_named
from polypocket.prove import dry_run_of_text, prove

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def mill() -> Mill:
    plain, example = (ROOT / "fixtures/mills/repair_shop_knee_mill.toml").read_text().split("# [table]")
    tables = tomllib.loads(plain + re.sub(r"(?m)^# ?", "", "# [table]" + example))
    return WrittenMill.model_validate(tables, context={"units": tables["units"]}).resolved()


def test_the_example_and_two_that_are_in_the_way(mill: Mill) -> None:
    job = load_job(ROOT / "shared/jobs/valve_stem_block.toml")
    post = post_named(mill.post)
    proof = prove(job, mill, post, "block")
    assert proof.verdict.findings == ()
    for changes, code in (
        # The block's side is at X 381 + 65 = 446 mm, and the cutter goes along it outside.
        ({"x": (430.0, 500.0), "z": (-215.0, -90.0)}, "keep-out"),
        # Safe height, 25 mm over the zero at −76.2, is below this top: on the way from anywhere it may be hit.
        ({"z": (-215.0, -51.0)}, "keep-out"),
    ):
        changed = mill.model_copy(update={"keep_out": (mill.keep_out[0].model_copy(update=changes),)})
        found = dry_run_of_text([("block", proof.parts[0].text)], changed, job, post).findings
        assert {finding.code for finding in found} == {code}, changes
    spindle_at = min(motion_y(proof.parts[0].text))
    assert mill.vise is not None
    # The vise reaches back by half of its 228.6 mm.
    just = mill.vise.body[1] / 2.0 - spindle_at
    for throat, codes in ((just + 0.01, set()), (just - 0.01, {"fixture-contact"})):
        changed = mill.model_copy(update={"column": Column(throat=throat)})
        found = dry_run_of_text([("block", proof.parts[0].text)], changed, job, post).findings
        assert {finding.code for finding in found} == codes


def motion_y(text: str) -> list[float]:
    """Every Y word of a program, outside of its comments."""
    return [float(word) for word in re.findall(r"Y(-?[\d.]+)", re.sub(r"\(.*?\)", "", text))]

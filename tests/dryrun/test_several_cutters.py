"""Which cutter is in: each is judged as it is, and as high as it stands out.

The square's block again, and a second cutter, 6 mm wide and standing out 10 mm further, that takes 1 mm off one flat
after a change by hand.
"""

from __future__ import annotations

import pytest

from polypocket.dryrun import DryRun
from polypocket.model.job import BlockJob
from tests.dryrun.conftest import Shop

#: Cutter 2 cuts flat 1, which faces +X: its centre at 18 + 3.
CHANGE = """\
M5
(CUTTER 2 DIAMETER 6.000) M0
S2000 M3
G0 Z10.
G0 X40. Y-30.
G0 Z-6.
G1 X21. F200.
G1 Y30.
G0 Z10.
"""


@pytest.fixture
def job(shop: Shop) -> BlockJob:
    return job_with(shop)


def job_with(shop: Shop, **changes: object) -> BlockJob:
    second = {
        "number": 2,
        "diameter": 6.0,
        "stick_out": 40.0,
        "cut__stepover": 2.5,
        "cut__spindle_rpm": 2000.0,
        "cut__feed": 200.0,
    }
    return shop.job(cutters=[second | changes])


def program(shop: Shop, change: str = CHANGE) -> str:
    """The square's program with flat 1 left to cutter 2."""
    first = "G0 X40. Y-30.\nG0 Z-6.\nG1 X23. F300.\nG1 Y30.\nG0 Z10.\n"
    text = shop.edited((first, ""))
    text = text.replace("G1 Y23.\nG1 X-30.", "G1 Y23. F300.\nG1 X-30.", 1)
    assert text.count("M5\nM30") == 1
    return text.replace("M5\nM30", f"{change}M5\nM30")


def found(run: DryRun) -> list[tuple[str, int]]:
    return [(each.code, each.line) for each in run.findings]


def test_each_cutter_as_wide_as_it_is(shop: Shop, job: BlockJob) -> None:
    run = shop.run(program(shop), job)
    assert found(run) == []
    (section,) = run.as_cut
    assert section.across_flats == pytest.approx((36.0,) * 4, abs=1e-3)


def test_the_other_cutter_put_in(shop: Shop, job: BlockJob) -> None:
    """With cutter 1, 10 mm wide, on the path of cutter 2: 2 mm too deep, and it runs in the way of its own."""
    text = program(shop, CHANGE.replace("CUTTER 2 DIAMETER 6", "CUTTER 1 DIAMETER 10"))
    assert "gouge" in {code for code, _ in found(shop.run(text, job))}


def test_a_diameter_of_another_cutter(shop: Shop, job: BlockJob) -> None:
    text = program(shop, CHANGE.replace("DIAMETER 6.000", "DIAMETER 10.000"))
    run = shop.run(text, job)
    assert [finding.message for finding in run.findings] == [
        "asks for one of 10.000 mm, the job's is 6.000 mm"
    ]


def test_a_cutter_that_the_job_does_not_have(shop: Shop, job: BlockJob) -> None:
    run = shop.run(program(shop, CHANGE.replace("CUTTER 2", "CUTTER 3")), job)
    assert "works with cutter 3; the job's is cutter 1 or 2" in [each.message for each in run.findings]


def test_speed_and_feed_are_those_of_the_cutter_that_is_in(shop: Shop, job: BlockJob) -> None:
    """3000 rpm and 300 mm/min are cutter 1's."""
    text = program(shop, CHANGE.replace("S2000", "S3000").replace("F200.", "F300."))
    line = text.splitlines().index("S3000 M3", 5) + 1
    codes = found(shop.run(text, job))
    assert ("over-speed", line) in codes
    assert ("feed-limit", line + 5) in codes


def test_hands_near_a_turning_spindle(shop: Shop, job: BlockJob) -> None:
    run = shop.run(program(shop, CHANGE.removeprefix("M5\n")), job)
    assert [finding.code for finding in run.findings] == ["tool", "over-speed"]  # which is that of cutter 1
    assert "the spindle turns while a person does this" in run.findings[0].message


def test_nobody_knows_which_cutter_is_in(shop: Shop, job: BlockJob) -> None:
    text = program(shop).replace("(CUTTER 1 DIAMETER 10.000) M0\n", "", 1)
    run = shop.run(text, job)
    assert [(each.code, each.severity, each.line) for each in run.findings] == [("tool", "error", 3)]


@pytest.mark.parametrize(
    ("stick_out", "over"),
    [(40.0, None), (90.0, None), (90.1, "0.100 mm")],
)
def test_a_longer_cutter_needs_more_room_above(shop: Shop, stick_out: float, over: str | None) -> None:
    """Z ends at 0, and the zero is at -70 with cutter 1, which stands out 30: its tip can go up to 70.

    One that stands out 90 has its tip on Z10 where the spindle is at -70 + 10 + 60 = 0.
    """
    run = shop.run(program(shop), job_with(shop, stick_out=stick_out))
    said = [each.message for each in run.findings if each.code == "travel"]
    assert len(said) == (over is not None)
    assert all(str(over) in each for each in said)
    assert run.travel["z"].high == pytest.approx(-70.0 + 10.0 + stick_out - 30.0)


def test_a_shorter_cutter_needs_more_room_below(shop: Shop) -> None:
    """Z begins at -130: the tip of one 54 mm shorter is on Z-6 with the spindle at -130."""
    for stick_out, overrun in ((36.0, False), (35.9, True)):
        second = {"number": 2, "diameter": 6.0, "stick_out": stick_out, "flute_length": 20.0}
        other = {"cut__stepover": 2.5, "cut__spindle_rpm": 2000.0, "cut__feed": 200.0}
        job = shop.job(cutter__stick_out=90.0, cutters=[second | other])
        run = shop.run(program(shop), job)
        assert ("travel" in {each.code for each in run.findings}) == overrun


def test_the_spindle_stays_where_the_cutter_is_changed(shop: Shop) -> None:
    """Changed at Z10 for one 20 mm longer, whose tip is then at Z-10: across to the block it goes into it."""
    text = program(shop, CHANGE.replace("G0 Z10.\n", "G0 X-40. Y30.\nG0 Z10.\n", 1))
    assert found(shop.run(text, job_with(shop, stick_out=30.0))) == []
    line = text.splitlines().index("G0 X-40. Y30.", 20) + 1
    longer = found(shop.run(text, job_with(shop, stick_out=50.0)))
    assert ("rapid-contact", line) in longer


def test_the_holder_of_the_cutter_that_is_in(shop: Shop) -> None:
    """Cutter 2's holder, 32 mm wide and 21 mm above its tip, is over the jaws, 10 mm above the bed, at Z-10 + 4."""
    run = shop.run(program(shop), job_with(shop, stick_out=20.0, flute_length=20.0, holder_diameter=90.0))
    assert found(run) == []
    job = job_with(shop, stick_out=5.0, flute_length=5.0, holder_diameter=90.0)
    assert "holder-contact" in {code for code, _ in found(shop.run(program(shop), job))}

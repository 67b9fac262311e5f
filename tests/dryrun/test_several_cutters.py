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
(CUTTER 2 DIAMETER 6.000)
(TOUCH OFF Z0 WITH CUTTER 2) M0
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
    text = program(
        shop, CHANGE.replace("CUTTER 2 DIAMETER 6", "CUTTER 1 DIAMETER 10").replace("CUTTER 2)", "CUTTER 1)")
    )
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
    assert "the spindle turns while a person is to put cutter 2 in" in run.findings[0].message


def test_nobody_knows_which_cutter_is_in(shop: Shop, job: BlockJob) -> None:
    text = program(shop).replace("(CUTTER 1 DIAMETER 10.000) M0\n", "", 1)
    run = shop.run(text, job)
    first = run.findings[0]
    assert (first.code, first.severity, first.line) == ("tool", "error", 3)


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


#: The same change by the mill, which keeps lengths; it comes across to the block before Z is said.
BY_MILL = """\
M5
T2 M6
(CUTTER 2 DIAMETER 6.000)
S2000 M3
G0 X-40. Y30.
G43 H2
G0 Z10.
G0 X40. Y-30.
G0 Z-6.
G1 X21. F200.
G1 Y30.
G0 Z10.
"""


def by_mill(shop: Shop, job: BlockJob, change: str = BY_MILL) -> DryRun:
    text = program(shop, change).replace("(CUTTER 1 DIAMETER 10.000) M0", "T1 M6\nG43 H1", 1)
    return shop.run(text, job, shop.mill(length_offset=True, tool_change__automatic=True))


def test_the_spindle_stays_where_the_cutter_is_changed(shop: Shop) -> None:
    """Changed at Z10 for one 20 mm longer, whose tip is then at Z-10: across to the block it goes into it."""
    assert found(by_mill(shop, job_with(shop, stick_out=30.0))) == []
    assert [code for code, _ in found(by_mill(shop, job_with(shop, stick_out=50.0)))] == ["rapid-contact"]


def test_in_the_usual_order_length_after_the_way_across(shop: Shop, job: BlockJob) -> None:
    change = BY_MILL.replace(
        "G0 X-40. Y30.\nG43 H2\nG0 Z10.\nG0 X40. Y-30.\n", "G0 X40. Y-30.\nG43 H2 Z10.\n"
    )
    assert found(by_mill(shop, job, change)) == []


def test_nobody_knows_where_a_person_has_left_the_axes(shop: Shop, job: BlockJob) -> None:
    """Without a Z, an X or a Y after the change by hand the cutter may stand on the block, or anywhere."""
    for change in (
        CHANGE.replace("G0 Z10.\nG0 X40. Y-30.", "G0 X40. Y-30.", 1),
        CHANGE.replace("G0 X40. Y-30.", "G0 X40.", 1),
        CHANGE.replace("G0 X40. Y-30.", "G0 Y-30.", 1),
    ):
        assert change != CHANGE
        assert "rapid-contact" in {code for code, _ in found(shop.run(program(shop, change), job))}


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("(TOUCH OFF Z0 WITH CUTTER 2) M0", "M0", "nobody is asked to touch off Z with cutter 2"),
        (
            "(TOUCH OFF Z0 WITH CUTTER 2) M0",
            "(TOUCH OFF Z0 WITH CUTTER 1) M0",
            "nobody is asked to touch off Z with",
        ),
        (
            "(TOUCH OFF Z0 WITH CUTTER 2) M0",
            "M0\n(TOUCH OFF Z0 WITH CUTTER 2)",
            "nobody is asked to touch off Z with",
        ),
        ("(CUTTER 2 DIAMETER 6.000)\n", "T2 M6\n", "M6 on a mill whose file has no changer"),
        ("(CUTTER 2", "(CUTTER 1 DIAMETER 10.000)\n(CUTTER 2", "cutters 1 and 2 are named at one change"),
        ("(CUTTER 2", "T1 M6\n(CUTTER 2", "cutters 1 and 2 are named at one change"),
        (" M0\n", "\n", "the program does not stop for a person to put cutter 2 in"),
        (" M0\n", " M1\n", "the program does not stop for a person to put cutter 2 in"),
    ],
)
def test_what_a_change_by_hand_wants(shop: Shop, job: BlockJob, old: str, new: str, said: str) -> None:
    change = CHANGE.replace(old, new, 1)
    assert change != CHANGE
    told = [each.message for each in shop.run(program(shop, change), job).findings if each.code == "tool"]
    assert any(message.startswith(said) for message in told)


def test_a_mill_without_a_changer_changes_nothing_by_itself(shop: Shop, job: BlockJob) -> None:
    text = program(shop, BY_MILL).replace("(CUTTER 1 DIAMETER 10.000) M0", "T1 M6\nG43 H1", 1)
    told = [each.message for each in shop.run(text, job, shop.mill(length_offset=True)).findings]
    assert [message for message in told if message.startswith("M6 on a mill whose file has no changer")]


def test_between_the_change_and_its_length_a_height_is_the_old_cutters(shop: Shop) -> None:
    """Cutter 2, 20 mm longer, at Z2 as told for cutter 1 is at Z-18: across to the block it goes into it."""
    change = BY_MILL.replace("M5\nT2", "G0 Z2.\nM5\nT2", 1)
    assert found(by_mill(shop, job_with(shop, stick_out=30.0), change)) == []
    assert "rapid-contact" in {
        code for code, _ in found(by_mill(shop, job_with(shop, stick_out=50.0), change))
    }


def test_a_changer_without_lengths_wants_a_person_to_touch_off(shop: Shop, job: BlockJob) -> None:
    mill = shop.mill(tool_change__automatic=True)
    change = BY_MILL.replace("G43 H2\n", "")
    text = program(shop, change).replace("(CUTTER 1 DIAMETER 10.000) M0", "T1 M6", 1)
    told = [each.message for each in shop.run(text, job, mill).findings if each.code == "tool"]
    assert told == [
        "the program does not stop for a person to touch off Z with cutter 2",
        "nobody is asked to touch off Z with cutter 2, which is not as long as the one before",
    ]


@pytest.mark.parametrize(("z", "clean"), [("10.", True), ("0.", True), ("-0.1", False), ("-6.", False)])
def test_a_change_beside_the_work(shop: Shop, job: BlockJob, z: str, clean: bool) -> None:
    """Above the stock's top, at Z0, is high enough; the pass before it ends at Z10."""
    text = program(shop, f"G0 X60. Y60.\nG0 Z{z}\n{CHANGE}")
    told = [each.message for each in shop.run(text, job).findings if "the cutter is changed" in each.message]
    assert bool(told) != clean


def test_a_register_of_another_cutter(shop: Shop, job: BlockJob) -> None:
    led = CHANGE.replace("G1 X21. F200.\nG1 Y30.\n", "G1 G41 D1 X21. F200.\nG1 Y30.\nG1 G40 X24. Y34.\n")
    mill = shop.mill(cutter_registers={"radius": {1: 0.0, 2: 0.0}})
    told = shop.run(program(shop, led), job, mill)
    assert "cutter 2 is led by register D1" in [each.message for each in told.findings]
    own = shop.run(program(shop, led.replace("D1", "D2")), job, mill)
    assert "compensation" not in {each.code for each in own.findings}


def test_the_holder_of_the_cutter_that_is_in(shop: Shop) -> None:
    """Cutter 2's holder, 32 mm wide and 21 mm above its tip, is over the jaws, 10 mm above the bed, at Z-10 + 4."""
    run = shop.run(program(shop), job_with(shop, stick_out=20.0, flute_length=20.0, holder_diameter=90.0))
    assert found(run) == []
    job = job_with(shop, stick_out=5.0, flute_length=5.0, holder_diameter=90.0)
    assert "holder-contact" in {code for code, _ in found(shop.run(program(shop), job))}

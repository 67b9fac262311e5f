"""Every job through every dialect and back through the reader is the same motion, within what the dialect can say."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest

from polypocket.errors import DialectError, MistakesError
from polypocket.model.files import job_of_text, load_job, load_mill
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.plan import plan_block
from polypocket.post import Post, posts
from polypocket.program import (
    Arc,
    Drill,
    Feed,
    Item,
    Link,
    Pass,
    Point,
    Program,
    Rapid,
    Setup,
    Spindle,
    UseCutter,
)
from polypocket.prove import prove, require_fit
from polypocket.reader import read
from polypocket.reader.dialect import WordFormat
from tests.generation.cases import case
from tests.posts.motions import Motion, of_program, of_track

ROOT = Path(__file__).resolve().parents[2]
JOBS = sorted([*(ROOT / "fixtures" / "jobs").glob("*.toml"), *(ROOT / "shared" / "jobs").glob("*.toml")])
FORMATS = {
    "leading": WordFormat((4, 3), (3, 4), "leading", True, (5, 2), ()),
    "trailing unsigned": WordFormat((4, 3), (3, 4), "trailing", False, (5, 2), ()),
}

#: Each dialect and how it is coded, and its smallest steps in mm and in.
DIALECTS = [
    *(
        (name, None, 1e-3, 1e-4)
        for name, post in sorted(posts().items())
        if not post.by_hand and name != "rs274d"
    ),
    *(("rs274d", coding, 1e-3, 1e-4) for coding in FORMATS),
]


def post_of(name: str, coding: str | None) -> Post:
    return posts()[name].for_words(FORMATS[coding] if coding else None)


def assert_same_motion(program: Program, post: Post, step: float) -> None:
    """Each end within a step (half a step in each axis), each rate no higher and at most a hundredth lower."""
    track = read(post.write(program, []), post.dialect)
    assert track.complaints == ()
    meant, read_back = of_program(program, step), of_track(track, step)
    assert [motion.kind for motion in read_back] == [motion.kind for motion in meant]
    for said, motion in zip(read_back, meant, strict=True):
        assert _apart(said, motion) <= step, (said, motion)
        if motion.kind != "rapid":
            assert 0.99 * motion.rate - 0.3 <= said.rate <= motion.rate + 1e-9


def _apart(said: Motion, meant: Motion) -> float:
    ends = [
        abs(a - b)
        for ours, theirs in ((said.start, meant.start), (said.end, meant.end))
        for a, b in zip(ours, theirs, strict=True)
        if not math.isnan(b)
    ]
    if meant.kind != "arc":
        return max(ends, default=0.0)
    # The centre is rounded so that the radii agree, by up to two steps; so is the turn.
    assert math.dist(said.centre, meant.centre) <= 2.0 * max(
        1e-3, math.dist(meant.start[:2], meant.centre) * 1e-3
    )
    assert said.turn == pytest.approx(meant.turn, abs=0.01)
    return max(ends)


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
@pytest.mark.parametrize(("name", "coding", "mm", "inch"), DIALECTS)
def test_every_job_through_every_dialect(
    path: Path, name: str, coding: str | None, mm: float, inch: float
) -> None:
    job = load_job(path)
    program = plan_block(job, load_mill("knee-mill-3-axis"))
    assert_same_motion(program, post_of(name, coding), mm if job.units == "mm" else inch * 25.4)


@pytest.fixture(scope="module")
def drawn(made: list[tuple[BlockJob, Mill]]) -> list[tuple[BlockJob, Program]]:
    """A dozen generated jobs and their programs."""
    return [(job, plan_block(job, mill)) for job, mill in made]


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> list[tuple[BlockJob, Mill]]:
    """A dozen generated jobs and their mills, coarse enough in their angles for any dialect."""
    found = []
    for each in map(case, range(40)):
        path = tmp_path_factory.mktemp("mills") / "mill.toml"
        path.write_text(each.mill_text)
        try:
            job, mill = job_of_text(each.job_text, "job"), load_mill(path)
            require_fit(job, mill, "job")
        except MistakesError:
            continue
        found.append((job, mill))
    return found[:12]


@pytest.mark.parametrize(("name", "coding", "mm", "inch"), DIALECTS)
def test_generated_jobs_through_every_dialect(
    drawn: list[tuple[BlockJob, Program]], name: str, coding: str | None, mm: float, inch: float
) -> None:
    assert len(drawn) == 12
    post = post_of(name, coding)
    for job, program in drawn:
        if not post.tool_change and any(isinstance(i, UseCutter) and not i.by_hand for i in items(program)):
            with pytest.raises(DialectError, match="changes no cutters"):
                post.write(program, [])
            continue
        assert_same_motion(program, post, mm if job.units == "mm" else inch * 25.4)


def items(program: Program) -> tuple[Item, ...]:
    return program.setups[0].items


@pytest.mark.parametrize(
    ("name", "coding", "mm", "inch"), [each for each in DIALECTS if each[0] in ("lean", "rs274d")]
)
def test_generated_jobs_come_out_as_ordered(
    made: list[tuple[BlockJob, Mill]], name: str, coding: str | None, mm: float, inch: float
) -> None:
    """The whole line, with a dry run of the text, in the dialects that the generator does not draw."""
    post = post_of(name, coding)
    done = 0
    for job, mill in made:
        if post.tool_change or not mill.tool_change.automatic:
            assert prove(job, mill, post, "job.nc").verdict.findings == (), job.name
            done += 1
    assert done >= 6


def things(units: str) -> Program:
    """What no block asks for yet and a dialect must be able to say: holes, circles, helices, near-straight runs."""
    circle = Arc(Point(30.0, 0.0, -2.0), (20.0, 0.0), True, 0, 200.0)
    helix = Arc(Point(10.0, 0.0, -6.0), (20.0, 0.0), False, 2, 150.0)
    moves = (
        Rapid(Point(z=10.0)),
        Rapid(Point(30.0, 0.0)),
        Rapid(Point(z=-2.0)),
        circle,
        helix,
        Feed(Point(10.0, 0.0, 10.0), 600.0),
        Drill((5.0, -40.0), 2.0, -9.0, 3.5, 0.0, 60.0),
        Drill((-5.0, -40.0), 2.0, -9.0, 0.0, 0.5, 60.0),
        Drill((-15.0, -40.0), 2.0, -9.0, 0.0, 0.0, 60.0),
        Rapid(Point(z=10.0)),
    )
    items = (Spindle(1200.0), Link(moves), Spindle(0.0))
    return Program("things", units, (Setup(1, 0.0, 0.0, "G54", "centre", items),))  # type: ignore[arg-type]


@pytest.mark.parametrize("units", ["mm", "inch"])
@pytest.mark.parametrize(("name", "coding", "mm", "inch"), [each for each in DIALECTS if each[0] != "rs274d"])
def test_holes_circles_and_helices(name: str, coding: str | None, mm: float, inch: float, units: str) -> None:
    assert_same_motion(things(units), post_of(name, coding), mm if units == "mm" else inch * 25.4)


@pytest.mark.parametrize(("name", "coding", "mm", "inch"), DIALECTS)
def test_the_standards_arc(name: str, coding: str | None, mm: float, inch: float) -> None:
    """NISTIR 6556: from (7, 7), G17 G2 X10 Y16 I3 J4 has its centre at (10, 11) and a radius of 5."""
    post = post_of(name, coding)
    arc = Arc(Point(10.0, 16.0, 0.0), (10.0, 11.0), True, 0, 100.0)
    moves = (Rapid(Point(z=0.0)), Rapid(Point(7.0, 7.0)), arc)
    program = Program("arc", "mm", (Setup(1, 0.0, 0.0, "G54", "centre", (Link(moves),)),))
    assert_same_motion(program, post, mm)
    text = post.write(program, [])
    plain = {
        "rs274ngc": "G2 X10 Y16 I3 J4 F100",
        "iso6983": "G2 X10. Y16. I3. J4. F100.",
        "lean": "G2 X10 Y16 I3 J4 F100",
    }
    if name in plain:
        assert plain[name] in text
    else:
        assert (
            text.count("G2 ") == 2
        )  # from the third quadrant to (5, 11), and on through the second to its end
    rows = read(text, post.dialect)
    assert {round(x, 2) for x in rows.centre_x.tolist() if not math.isnan(x)} == {10.0}


@pytest.mark.parametrize(("name", "coding", "mm", "inch"), [each for each in DIALECTS if each[0] != "rs274d"])
def test_the_standards_hole(name: str, coding: str | None, mm: float, inch: float) -> None:
    """NISTIR 6556: from (1, 2, 3), G81 X4 Y5 Z1.5 R2.8 goes (4,5,3), (4,5,2.8), (4,5,1.5), and with G99 back to R."""
    post = post_of(name, coding)
    moves = (Rapid(Point(z=3.0)), Rapid(Point(1.0, 2.0)), Drill((4.0, 5.0), 2.8, 1.5, 0.0, 0.0, 60.0))
    program = Program("hole", "mm", (Setup(1, 0.0, 0.0, "G54", "centre", (Link(moves),)),))
    track = read(post.write(program, []), post.dialect)
    assert track.complaints == ()
    ends = [motion.end for motion in of_track(track, mm)]
    assert ends[-4:] == [(4.0, 5.0, 3.0), (4.0, 5.0, 2.8), (4.0, 5.0, 1.5), (4.0, 5.0, 2.8)]


def test_a_fault_of_a_thousandth_is_seen() -> None:
    """The comparison itself: a point that is 0.002 mm off is another motion."""
    post = post_of("rs274ngc", None)
    program = plan_block(load_job(JOBS[0]), load_mill("knee-mill-3-axis"))
    (setup,) = program.setups
    at = next(i for i, item in enumerate(setup.items) if isinstance(item, Pass))
    item = setup.items[at]
    assert isinstance(item, Pass)
    assert isinstance(item.lead_out[0], Feed)
    x, y, z = item.lead_out[0].to
    wrong = replace(item, lead_out=(Feed(Point((x or 0.0) + 0.002, y, z), item.lead_out[0].rate),))
    spoilt = program._replace(
        setups=(setup._replace(items=(*setup.items[:at], wrong, *setup.items[at + 1 :])),)
    )
    text = post.write(spoilt, [])
    said, meant = of_track(read(text, post.dialect), 1e-3), of_program(program, 1e-3)
    assert max(_apart(a, b) for a, b in zip(said, meant, strict=True)) > 1e-3

"""The passes' data: what the reader read and what the dry run left standing, no more and no less."""

from __future__ import annotations

import json
import math
from itertools import pairwise

import pytest
import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from polypocket.dryrun.part import levels_of
from polypocket.prove import post_for, prove
from polypocket.sheet.flip_book import flip_book
from polypocket.sheet.recorder import Recorder
from tests.sheet.conftest import Made


def area_of(rings: list[list[int]], steps: int) -> BaseGeometry:
    """Return the area that rings of steps describe; rings inside of others are holes."""
    areas = []
    for ring in rings:
        x = y = 0
        points = []
        for i in range(0, len(ring), 2):
            x, y = x + ring[i], y + ring[i + 1]
            points.append((x / steps, y / steps))
        areas.append(Polygon(points))
    area: BaseGeometry = Polygon()
    for each in areas:
        area = area.symmetric_difference(each.buffer(0.0))
    return area


@pytest.fixture(scope="module", params=["valve_stem", "hydrant_key", "sluice_key", "turned"])
def made(request: pytest.FixtureRequest) -> Made:
    result: Made = request.getfixturevalue(request.param)
    return result


def book_of(made: Made) -> dict:  # type: ignore[type-arg]
    book = flip_book(made.job, made.proof, made.recorder)
    assert json.loads(json.dumps(book, allow_nan=False)) == book
    return book


def test_after_the_last_pass_the_part_is_finished(made: Made) -> None:
    """What stands at each height is the job's own outline, inside and outside of the stock's possible excess."""
    book = book_of(made)
    now = list(book["start"])
    for each in book["passes"]:
        for slab, outline in each["changes"]:
            now[slab] = outline
    levels = levels_of(made.job, made.proof.parts[0].program.setups[0].swivel)
    for (low, high), outline in zip(book["slabs"], now, strict=True):
        standing = area_of(book["outlines"][outline], book["steps"])
        level = next(level for level in levels if level.low <= (low + high) / 2.0 < level.high)
        least, most = Polygon(level.finished.vertices), Polygon(level.allowed.vertices)
        assert least.difference(standing.buffer(0.05)).is_empty
        assert standing.difference(most.buffer(0.05)).is_empty


def test_each_strip_is_what_its_pass_takes(made: Made) -> None:
    book = book_of(made)
    now = list(book["start"])
    outlines = [area_of(rings, book["steps"]) for rings in book["outlines"]]
    for each in book["passes"]:
        before = [outlines[number] for number in now]
        for slab, outline in each["changes"]:
            now[slab] = outline
        gone = shapely.union_all(
            [a.difference(outlines[b]) for a, b in zip(before, now, strict=True) if a is not outlines[b]]
        )
        strip = area_of(each["strip"], book["steps"])
        # Corners are rounded to steps, by which edges may be out all along; a strip is thicker than that.
        assert strip.symmetric_difference(gone).buffer(-0.02).is_empty
        assert each["changes"] or strip.is_empty
        assert strip.area > 0.0 or gone.buffer(-0.02).is_empty


def test_every_pass_of_the_text_is_there_with_its_own_lines(made: Made) -> None:
    book = book_of(made)
    (part,) = made.proof.parts
    text = part.text.splitlines()
    heads = [number for number, line in enumerate(text, start=1) if "(PASS " in line]
    assert [each["lines"][0] for each in book["passes"]] == heads
    assert [each["number"] for each in book["passes"]] == list(range(1, len(heads) + 1))
    for each, following in zip(book["passes"], heads[1:], strict=False):
        assert each["lines"][1] == following - 1
    for each in book["passes"]:
        assert all(each["lines"][0] < move[0] <= each["lines"][1] for move in each["moves"])
        assert f"Z {each['z'] / (1.0 if made.job.units == 'mm' else 25.4):.3f}" in each["title"]


def test_paths_are_the_motions(made: Made) -> None:
    """Each path's runs follow one another and end where the reader says."""
    book = book_of(made)
    seen = [each for each in made.recorder.passes if each.number]
    for each, of_reader in zip(book["passes"], seen, strict=True):
        runs = [points for _, points in each["paths"]]
        for a, b in pairwise(runs):
            assert a[-2:] == b[:2]
        end = of_reader.motions[-1].end
        assert math.dist([value / book["steps"] for value in runs[-1][-2:]], end[:2]) <= 0.0101


def test_nobody_looking_on_changes_nothing(valve_stem: Made) -> None:
    post = post_for(valve_stem.mill)
    alone = prove(valve_stem.job, valve_stem.mill, post, "block.nc")
    # The bounds of its stages are functions, which are equal to nothing but themselves.
    assert alone._replace(stages=()) == valve_stem.proof._replace(stages=())


def test_the_recorder_is_told_every_motion_once(valve_stem: Made) -> None:
    recorder: Recorder = valve_stem.recorder
    (track,) = recorder.tracks
    rows = [motion.row for each in recorder.passes for motion in each.motions]
    assert rows == sorted(set(rows))
    assert len(rows) == int(((track.kind > 0) & (track.kind < 5)).sum())


def test_each_pass_names_the_cutter_that_cuts_its_section(sluice_key: Made) -> None:
    book = book_of(sluice_key)
    assert book["cutters"] == {"1": 600, "2": 400}
    numbers = {f"section {i}": section.cutter for i, section in enumerate(sluice_key.job.sections, start=1)}
    for each in book["passes"]:
        feature = each["title"].partition(",")[0]
        assert each["cutter"] == numbers[feature]
        assert each["title"].endswith(f"cutter {numbers[feature]}")

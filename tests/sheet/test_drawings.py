"""Dimensions read back from the drawings equal the job's."""

from __future__ import annotations

import math
import re
from pathlib import Path
from xml.etree import ElementTree

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from polypocket.errors import MistakesError
from polypocket.model.files import job_of_text
from polypocket.model.job import BlockJob
from polypocket.sheet.hatching import hatched
from polypocket.sheet.ink import Drawing
from polypocket.sheet.part import part_drawing
from polypocket.sheet.section_drawing import section_drawing
from polypocket.sheet.sizes import angle_text, size_text
from polypocket.sheet.svg import svg_of
from polypocket.units import MM_PER_INCH
from tests.generation.cases import case

SVG = "{http://www.w3.org/2000/svg}"


def texts(drawing: Drawing) -> dict[str, str]:
    """Return the marked texts of a drawing as SVG."""
    root = ElementTree.fromstring(svg_of(drawing))
    found = [
        (e.get("data-mark"), "".join(e.itertext())) for e in root.iter(f"{SVG}text") if e.get("data-mark")
    ]
    assert len({mark for mark, _ in found}) == len(found)
    return {str(mark): text for mark, text in found}


def length(text: str, job: BlockJob) -> float:
    """Return mm from the only length in a text."""
    (number,) = re.findall(r"\d+(?:\.\d+)?$", text)
    return float(number) * (1.0 if job.units == "mm" else MM_PER_INCH)


def angle(text: str) -> float:
    """Return radians from an angle in a text."""
    match = re.search(r"(\d+)°(?:(\d+)')?(?:(\d+)\")?", text)
    assert match
    degrees, minutes, seconds = (int(group or 0) for group in match.groups())
    size = math.radians(degrees + minutes / 60.0 + seconds / 3600.0)
    return -size if "−" in text else size


@st.composite
def jobs(draw: st.DrawFn) -> BlockJob:
    try:
        return job_of_text(case(draw(st.integers(0, 10**6))).job_text, "job")
    except MistakesError:
        assume(False)
        raise


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.filter_too_much])
@given(jobs(), st.sampled_from(["first", "third"]))
def test_every_dimension_is_the_jobs(job: BlockJob, projection: str) -> None:
    # Half of the last decimal that is shown.
    near = 0.5001e-3 if job.units == "mm" else 0.5001e-4 * MM_PER_INCH
    part = texts(part_drawing(job, projection).drawing)  # type: ignore[arg-type]
    stock = job.stock
    expected = {"stock thickness": stock.thickness}
    expected |= {f"section {i} depth": section.depth for i, section in enumerate(job.sections, start=1)}
    match stock.shape:
        case "round":
            expected["stock diameter"] = stock.diameter or 0.0
        case "square":
            expected |= {"stock width": stock.width or 0.0, "stock width along Y": stock.width or 0.0}
        case "rectangle":
            expected |= {"stock width": stock.width or 0.0, "stock length": stock.length or 0.0}
        case "polygon":
            sides, across = stock.sides or 0, stock.across_flats or 0.0
            if sides % 2:
                expected["stock flat to corner"] = across / 2.0 * (1.0 + 1.0 / math.cos(math.pi / sides))
            else:
                expected["stock across"] = across
    assert {mark: length(text, job) for mark, text in part.items()} == pytest.approx(expected, abs=near)
    for number, section in enumerate(job.sections, start=1):
        found = texts(section_drawing(job, number))
        mark, radius, n = f"section {number}", section.across_flats / 2.0, section.sides
        corner = radius / math.cos(math.pi / n)
        assert length(found[f"{mark} across flats"], job) == pytest.approx(section.across_flats, abs=near)
        if n % 2:
            assert length(found[f"{mark} flat to corner"], job) == pytest.approx(radius + corner, abs=near)
            assert found[f"{mark} across flats"].startswith("⌀")  # of the circle inside
        else:
            assert length(found[f"{mark} across corners"], job) == pytest.approx(2.0 * corner, abs=near)
        second = math.radians(0.5001 / 3600.0)
        assert angle(found[f"{mark} angle"]) == pytest.approx(math.pi - 2.0 * math.pi / n, abs=second)
        assert found[f"{mark} angle"].startswith(f"{n} × ")
        turned = math.remainder(angle(found[f"{mark} first flat"]) - section.first_flat, 2.0 * math.pi)
        assert abs(turned) <= second


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.filter_too_much])
@given(jobs())
def test_dimension_lines_are_as_long_as_they_say(job: BlockJob) -> None:
    """On the figure of a section, arrow to arrow, at the figure's own scale."""
    for number, section in enumerate(job.sections, start=1):
        drawing = section_drawing(job, number)
        tips = [
            item.points[0]
            for item in drawing.items
            if getattr(item, "kind", None) and item.kind.name == "SOLID"
        ]
        assert len(tips) == 4
        scale = 16.0 / section.polygon().circumradius
        lengths = [math.dist(*tips[:2]) / scale, math.dist(*tips[2:]) / scale]
        polygon = section.polygon()
        expected = (
            [polygon.flat_to_corner, polygon.across_flats]
            if section.sides % 2
            else [polygon.across_flats, polygon.across_corners]
        )
        assert lengths == pytest.approx(expected, rel=1e-9)


def test_hexagon_of_a_published_size() -> None:
    """ISO 4014: a hexagon head of 24 mm across flats is at most 2s/√3 = 27.713 mm across corners."""
    gate_key = Path(__file__).parents[2] / "fixtures" / "jobs" / "gate_key.toml"
    job = job_of_text(gate_key.read_text().replace("across_flats = 33.0", "across_flats = 24.0"), "job")
    found = texts(section_drawing(job, 1))
    assert found["section 1 across corners"] == "27.713"
    assert found["section 1 angle"] == "6 × 120°"
    assert found["section 1 first flat"] == "flat 1 faces 90°"


@pytest.mark.parametrize(
    ("degrees", "text"),
    [(150.0, "150°"), (128.5714286, "128°34'17\""), (0.1, "0°06'"), (0.0, "0°"), (359.99999, "360°")],
)
def test_angles_to_the_second(degrees: float, text: str) -> None:
    assert angle_text(math.radians(degrees)) == text


def test_sizes_have_no_needless_zeros() -> None:
    assert size_text(124.0, "mm") == "124"
    assert size_text(12.5, "inch") == "0.4921"
    assert size_text(9.525, "inch") == "0.375"


def test_first_angle_puts_the_view_from_above_below() -> None:
    """ISO 5456-2 (from memory): in first angle the view from above stands below the view from the front."""
    job = job_of_text(case(4).job_text, "job")

    def letter_height(projection: str) -> float:
        items = part_drawing(job, projection).drawing.items  # type: ignore[arg-type]
        return next(item.at[1] for item in items if getattr(item, "text", "") == "A – A")

    assert letter_height("first") > 0.0 > letter_height("third")


def test_hatching_stays_inside_and_covers() -> None:
    ring = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]
    hole = [(4.0, 4.0), (6.0, 4.0), (6.0, 6.0), (4.0, 6.0)]
    lines = [line.points for line in hatched([ring, hole], spacing=0.05)]
    covered = sum(math.dist(*line) for line in lines) * 0.05
    assert covered == pytest.approx(96.0, rel=0.01)
    for line in lines:
        middle = [(a + b) / 2.0 for a, b in zip(*line, strict=True)]
        assert all(-1e-9 <= value <= 10.0 + 1e-9 for point in line for value in point)
        assert not all(4.0 < value < 6.0 for value in middle)

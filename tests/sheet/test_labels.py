"""Labels stand clear of lines: looked at with other geometry, and the letters as wide as a face has them."""

from __future__ import annotations

import io
import math
from collections.abc import Iterator
from pathlib import Path as File

import pytest
import shapely
from pypdf import PdfReader
from pypdf.generic import ContentStream
from reportlab.pdfbase.pdfmetrics import stringWidth

from polypocket.model.files import job_of_text, load_job, load_mill
from polypocket.sheet.clamping import clamping_drawings
from polypocket.sheet.clear import is_clear, placed_clear
from polypocket.sheet.ink import Circle, Drawing, LineKind, Path, Text
from polypocket.sheet.paper import pages_of
from polypocket.sheet.pdf import pdf_of
from polypocket.sheet.section_drawing import section_drawing
from polypocket.sheet.svg import svg_of
from polypocket.sheet.template import layout_drawing

ROOT = File(__file__).parents[2]
JOBS = [
    *(
        ROOT / "shared" / "jobs" / f"{name}.toml"
        for name in ("valve_stem_block", "hydrant_key_block", "stem_gauge_block")
    ),
    *(
        ROOT / "fixtures" / "jobs" / f"{name}.toml"
        for name in ("gate_key", "sluice_key", "valve_stem_from_bar")
    ),
]


def box(text: Text) -> shapely.Geometry:
    """Return the box of a level text's letters: Helvetica's capitals are 0.718 of its size (Adobe font metrics)."""
    width = stringWidth(text.text, "Helvetica-Bold" if text.bold else "Helvetica", text.size / 0.718)
    left = text.at[0] - {"start": 0.0, "middle": width / 2.0, "end": width}[text.anchor]
    return shapely.box(left, text.at[1], left + width, text.at[1] + text.size)


def lines(drawing: Drawing) -> Iterator[shapely.Geometry]:
    for item in drawing.items:
        if isinstance(item, Circle):
            yield shapely.Point(item.centre).buffer(item.radius, 64).exterior
        elif isinstance(item, Path):
            yield shapely.LineString((*item.points, item.points[0]) if item.closed else item.points)


def struck(drawing: Drawing, labels: list[Text]) -> list[str]:
    """Return the labels that a line runs through, or that stand on another."""
    every = shapely.unary_union(list(lines(drawing)))
    boxes = [box(label) for label in labels]
    return [
        label.text
        for number, label in enumerate(labels)
        if boxes[number].distance(every) < 0.1
        or any(boxes[number].intersects(other) for other in boxes[:number])
    ]


def level(drawing: Drawing) -> list[Text]:
    return [item for item in drawing.items if isinstance(item, Text) and item.angle == 0.0]


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_numbers_of_the_template_stand_clear(path: File) -> None:
    drawing = layout_drawing(load_job(path))
    labels = [label for label in level(drawing) if label.mark in ("number", "name")]
    assert len(labels) > 5
    assert struck(drawing, labels) == []


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_numbers_of_flats_are_not_struck_by_centre_lines(path: File) -> None:
    job = load_job(path)
    for number in range(1, len(job.sections) + 1):
        drawing = section_drawing(job, number)
        labels = [label for label in level(drawing) if not label.mark]
        assert len(labels) == job.sections[number - 1].sides
        assert struck(drawing, labels) == []


@pytest.mark.parametrize("swivel", [0.0, math.radians(30.0)])
@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_names_of_axes_stand_on_white(path: File, swivel: float) -> None:
    """Neither on hatched jaws nor on an edge of the stock."""
    for drawing in clamping_drawings(load_job(path), load_mill("knee-mill-ballscrews"), swivel):
        names = [label for label in level(drawing) if label.text in ("X+", "Y+", "Z+")]
        assert names
        assert struck(drawing, names) == []


@pytest.mark.parametrize("sides", [3, 4, 5, 7, 9, 16, 20, 24, 30, 36, 60, 180])
def test_however_many_sides(sides: int) -> None:
    text = (ROOT / "fixtures" / "jobs" / "gate_key.toml").read_text()
    across = 20.0 if sides < 6 else 33.0
    job = job_of_text(
        text.replace("sides = 6", f"sides = {sides}").replace(
            "across_flats = 33.0", f"across_flats = {across}"
        ),
        "job",
    )
    for drawing in (layout_drawing(job), section_drawing(job, 1)):
        labels = [label for label in level(drawing) if label.mark in ("", "number", "name")]
        assert struck(drawing, labels) == []


def test_what_is_clear() -> None:
    text = Text((0.0, 0.0), "1", 2.0)
    assert is_clear(text, [Path(LineKind.NARROW, ((-5.0, 3.0), (5.0, 3.0)))])
    assert not is_clear(text, [Path(LineKind.NARROW, ((-5.0, 1.0), (5.0, 1.0)))])
    assert not is_clear(text, [Path(LineKind.NARROW, ((-5.0, -5.0), (5.0, 5.0)))])
    assert is_clear(text, [Path(LineKind.NARROW, ((-5.0, -5.0), (-2.0, 5.0)))])
    assert is_clear(text, [Circle(LineKind.NARROW, (0.0, 0.0), 9.0)])
    assert not is_clear(text, [Circle(LineKind.NARROW, (0.0, 0.0), 1.0)])
    assert not is_clear(text, [Text((0.5, 0.0), "2", 2.0)])
    line = Path(LineKind.NARROW, ((-5.0, 1.0), (5.0, 1.0)))
    assert placed_clear(text, [(0.0, 0.0), (0.0, 4.0), (0.0, 9.0)], [line]).at == (0.0, 4.0)
    assert placed_clear(text, [(0.0, 0.0), (0.0, 0.5)], [line]).at == (0.0, 0.0)


def test_where_there_is_no_clear_place_the_paper_shows_round_a_label() -> None:
    """White is painted before the letters: a box in PDF, a rim round the letters in SVG."""
    drawing = layout_drawing(load_job(JOBS[0]))
    content = pdf_of(pages_of(drawing, "a4"), "layout")
    labels = [label for label in level(drawing) if label.mark in ("number", "name")]
    assert _boxes(content) == len(labels)
    assert svg_of(drawing).count('paint-order="stroke"') == len(level(drawing))


def _boxes(pdf: bytes) -> int:
    """Return how many white boxes the pages have."""
    count, white = 0, False
    for page in PdfReader(io.BytesIO(pdf)).pages:
        for operands, operator in ContentStream(page.get_contents(), None).operations:
            if operator == b"g":
                white = float(operands[0]) == 1.0
            elif operator == b"re" and white:
                count += 1
    return count

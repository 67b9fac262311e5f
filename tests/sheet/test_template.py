"""The template measured in its own file, and the layout read back from DXF and SVG."""

from __future__ import annotations

import io
import math
import re
from pathlib import Path
from xml.etree import ElementTree

import ezdxf
import pytest
from pypdf import PdfReader
from pypdf.generic import ContentStream

from polypocket.model.files import job_of_text, load_job
from polypocket.model.job import BlockJob
from polypocket.sheet.dxf import dxf_of
from polypocket.sheet.paper import Page, pages_of
from polypocket.sheet.pdf import pdf_of
from polypocket.sheet.svg import svg_file
from polypocket.sheet.template import layout_drawing
from polypocket.units import MM_PER_INCH

ROOT = Path(__file__).parents[2]
#: ISO 32000-1, 8.3.2.3: 72 points are an inch.
POINT = 25.4 / 72.0
PAPERS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}

Line = tuple[tuple[float, float], tuple[float, float]]


def lines_of(pdf: bytes) -> list[list[Line]]:
    """Return the straight lines of each page as drawn, mm; the page's own matrices applied."""
    pages = []
    for page in PdfReader(io.BytesIO(pdf)).pages:
        matrix, saved, here, lines = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0), [], (0.0, 0.0), []
        for operands, operator in ContentStream(page.get_contents(), None).operations:
            values = [float(value) for value in operands if isinstance(value, int | float)]
            match operator:
                case b"q":
                    saved.append(matrix)
                case b"Q":
                    matrix = saved.pop()
                case b"cm":
                    a, b, c, d, e, f = values
                    p, q, r, s, t, u = matrix
                    matrix = (
                        a * p + b * r, a * q + b * s, c * p + d * r, c * q + d * s,
                        e * p + f * r + t, e * q + f * s + u,
                    )  # fmt: skip
                case b"m" | b"l":
                    x, y = values
                    there = (
                        (x * matrix[0] + y * matrix[2] + matrix[4]) * POINT,
                        (x * matrix[1] + y * matrix[3] + matrix[5]) * POINT,
                    )
                    if operator == b"l":
                        lines.append((here, there))
                    here = there
        pages.append(lines)
    return pages


def job_of(sides: int = 6, across: float = 33.0, stock: str = 'shape = "round"\ndiameter = 40.0') -> BlockJob:
    text = (ROOT / "fixtures" / "jobs" / "gate_key.toml").read_text()
    text = text.replace('shape = "round"\ndiameter = 40.0', stock).replace("sides = 6", f"sides = {sides}")
    return job_of_text(text.replace("across_flats = 33.0", f"across_flats = {across}"), "job")


def pages(job: BlockJob, paper: str) -> tuple[Page, ...]:
    return pages_of(layout_drawing(job), paper)  # type: ignore[arg-type]


def jobs() -> list[BlockJob]:
    drawn = [
        load_job(ROOT / "shared" / "jobs" / name)
        for name in ("valve_stem_block.toml", "hydrant_key_block.toml")
    ]
    wide = 'shape = "rectangle"\nwidth = 420.0\nlength = 300.0'
    return [*drawn, job_of(3, 20.0), job_of(12, 36.0), job_of(8, 280.0, wide)]


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("number", range(5))
def test_bars_measure_true(number: int, paper: str) -> None:
    job = jobs()[number]
    pdf = pdf_of(pages(job, paper), "layout")
    reader = PdfReader(io.BytesIO(pdf))
    for page, lines in zip(reader.pages, lines_of(pdf), strict=True):
        size = float(page.mediabox.width) * POINT, float(page.mediabox.height) * POINT
        assert sorted(size) == pytest.approx(sorted(PAPERS[paper]), abs=0.05)
        assert float(page.get("/UserUnit", 1.0)) == 1.0
        for axis in (0, 1):
            bars = [math.dist(*line) for line in lines if abs(line[0][1 - axis] - line[1][1 - axis]) < 1e-6]
            assert any(abs(length - 100.0) < 0.001 for length in bars)
            if axis == 0:
                assert any(abs(length - 4.0 * MM_PER_INCH) < 0.001 for length in bars)
        for line in lines:
            if abs(math.dist(*line) - 100.0) < 0.001:  # a bar's own ends are inside what printers reach
                assert all(9.0 < x < size[0] - 9.0 and 9.0 < y < size[1] - 9.0 for x, y in line)


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("number", range(5))
def test_every_flat_stands_true_to_scale(number: int, paper: str) -> None:
    """Every flat's line on every sheet is at the flat's distance from where the centre lines cross."""
    job = jobs()[number]
    sheets = pages(job, paper)
    for sheet, lines in zip(sheets, lines_of(pdf_of(sheets, "layout")), strict=True):
        drawn = [((a[0] - x, a[1] - y), (b[0] - x, b[1] - y)) for a, b in lines for x, y in [sheet.shift]]
        assert any(abs(a[0]) < 1e-4 and abs(b[0]) < 1e-4 for a, b in drawn)
        assert any(abs(a[1]) < 1e-4 and abs(b[1]) < 1e-4 for a, b in drawn)
        for section in job.sections:
            for flat in range(section.sides):
                facing = section.first_flat + 2.0 * math.pi * flat / section.sides
                side = section.across_flats * math.tan(math.pi / section.sides)
                fitting = [
                    line
                    for line in drawn
                    if abs(math.dist(*line) - side) < 0.001
                    and all(
                        abs(x * math.cos(facing) + y * math.sin(facing) - section.across_flats / 2.0) < 0.001
                        for x, y in line
                    )
                ]
                assert fitting, f"flat {flat + 1} of {section.sides}"


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_sheets_together_show_everything(paper: str) -> None:
    job = jobs()[4]
    drawing, sheets = layout_drawing(job), pages(job, paper)
    assert len(sheets) > 1
    box = drawing.box()

    def shown_on(x: float, y: float) -> int:
        return sum(
            s.window.left <= x + s.shift[0] <= s.window.right
            and s.window.bottom <= y + s.shift[1] <= s.window.top
            for s in sheets
        )

    for i in range(60):
        for j in range(60):
            assert shown_on(box.left + i / 59.0 * box.width, box.bottom + j / 59.0 * box.height) >= 1
    marks = {
        (round(i.centre[0], 6), round(i.centre[1], 6))  # type: ignore[union-attr]
        for s in sheets
        for i in s.layout
        if i.mark == "register mark" and hasattr(i, "centre")
    }
    # Each mark is on the sheets on both of its sides, whole, at one and the same place of the layout.
    assert marks
    assert all(shown_on(x + dx, y + dy) >= 2 for x, y in marks for dx in (-3.0, 3.0) for dy in (-3.0, 3.0))
    for sheet in sheets:
        assert any(
            sheet.window.left < x + sheet.shift[0] < sheet.window.right
            and sheet.window.bottom < y + sheet.shift[1] < sheet.window.top
            for x, y in marks
        )


def test_a_layout_that_fits_is_on_one_sheet() -> None:
    assert len(pages(jobs()[0], "a4")) == len(pages(jobs()[0], "letter")) == 1


def test_the_same_template_whenever_it_is_made() -> None:
    sheets = pages(jobs()[0], "a4")
    assert pdf_of(sheets, "layout") == pdf_of(sheets, "layout")


@pytest.mark.parametrize("number", range(5))
def test_dxf_read_back(number: int) -> None:
    job = jobs()[number]
    document = ezdxf.read(io.StringIO(dxf_of(layout_drawing(job), job.units)))
    assert document.audit().errors == []
    assert document.header["$INSUNITS"] == (
        4 if job.units == "mm" else 1
    )  # DXF reference: millimetres, inches
    factor = 1.0 if job.units == "mm" else MM_PER_INCH
    space = document.modelspace()
    for i, section in enumerate(job.sections, start=1):
        lines = space.query(f'LINE[layer=="SECTION_{i}"]')
        assert len(lines) == section.sides
        for flat, line in enumerate(lines):
            facing = section.first_flat + 2.0 * math.pi * flat / section.sides
            for end in (line.dxf.start, line.dxf.end):
                away = (end.x * math.cos(facing) + end.y * math.sin(facing)) * factor
                assert away == pytest.approx(section.across_flats / 2.0, abs=1e-9)
                corner = math.hypot(end.x, end.y) * factor
                assert corner == pytest.approx(section.across_flats / 2.0 / math.cos(math.pi / section.sides))
        assert len(space.query(f'CIRCLE[layer=="SECTION_{i}_CORNERS"]')) == section.sides
    assert len(space.query('LINE[layer=="CENTRE"]')) == 2
    (stock,) = space.query('*[layer=="STOCK"]')
    if job.stock.diameter:
        assert stock.dxf.radius * factor == pytest.approx(job.stock.diameter / 2.0)
    else:
        assert stock.closed and len(stock) == len(job.stock.faces())


def test_svg_is_true_to_scale() -> None:
    job = jobs()[0]
    root = ElementTree.fromstring(svg_file(layout_drawing(job)).encode())
    *_, width, height = map(float, (root.get("viewBox") or "").split())
    assert root.get("width") == f"{width:.3f}mm" and root.get("height") == f"{height:.3f}mm"
    flats = [
        e
        for e in root.iter("{http://www.w3.org/2000/svg}path")
        if re.match(r"section 1 flat", e.get("data-mark") or "")
    ]
    assert len(flats) == 12
    for path in flats:
        x1, y1, x2, y2 = map(float, re.findall(r"-?[\d.]+", path.get("d") or ""))
        assert math.hypot(x2 - x1, y2 - y1) == pytest.approx(124.0 * math.tan(math.pi / 12.0), abs=0.002)

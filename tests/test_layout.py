"""What is scribed, against lengths that are printed elsewhere."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from polypocket.layout import SectionLayout, layout_of
from polypocket.model.files import job_of_text

TEXT = (Path(__file__).parents[1] / "fixtures" / "jobs" / "gate_key.toml").read_text()


def layout(sides: int, across: float, stock: str, first_flat: float = 0.0) -> SectionLayout:
    text = TEXT.replace('shape = "round"\ndiameter = 40.0', stock).replace("sides = 6", f"sides = {sides}")
    text = text.replace("across_flats = 33.0", f"across_flats = {across}")
    (section,) = layout_of(job_of_text(text.replace('"+y"', str(first_flat)), "job"))
    return section


def test_octagon_from_a_square() -> None:
    """Common practice, no source: each corner triangle has legs s·(1 − 1/√2), the octagon s across flats."""
    section = layout(8, 40.0, 'shape = "square"\nwidth = 40.0')
    assert len(section.marks) == 8
    for mark in section.marks:
        assert mark.distance == pytest.approx(40.0 * (1.0 - math.sqrt(0.5)))
    assert {(mark.flat, mark.face, mark.corner) for mark in section.marks} == {
        (2, "+X", "+Y"), (2, "+Y", "+X"), (4, "+Y", "-X"), (4, "-X", "+Y"),
        (6, "-X", "-Y"), (6, "-Y", "-X"), (8, "-Y", "+X"), (8, "+X", "-Y"),
    }  # fmt: skip


def test_dividers_are_set_to_the_side() -> None:
    """Machinery's Handbook, 31st ed., p. 82: the 12-gon with R = 8 cm has sides of 4.141 cm."""
    section = layout(12, 2.0 * 80.0 * math.cos(math.pi / 12.0), 'shape = "round"\ndiameter = 200.0')
    assert section.side == pytest.approx(41.41, abs=0.005)
    assert section.across_corners == pytest.approx(160.0)
    assert section.flat_to_corner is None


@pytest.mark.parametrize(
    ("sides", "corner_to_centre"),
    [(3, 2.0000), (5, 1.2361), (7, 1.1099), (9, 1.0642)],
)
def test_micrometer_over_odd_counts(sides: int, corner_to_centre: float) -> None:
    """Machinery's Handbook, 31st ed., p. 82: R/r; flat and opposite corner are r + R apart."""
    section = layout(sides, 20.0, 'shape = "round"\ndiameter = 60.0')
    assert section.flat_to_corner == pytest.approx(10.0 * (1.0 + corner_to_centre), abs=0.0006)


def test_height_gauge_over_the_face_that_the_stock_stands_on() -> None:
    section = layout(4, 30.0, 'shape = "rectangle"\nwidth = 50.0\nlength = 40.0')
    first = section.corners[0]  # between flats 1 and 2: X 15, Y 15
    assert (first.after_flat, first.above_x_face, first.above_y_face) == (1, 40.0, 35.0)
    round_stock = layout(4, 26.0, 'shape = "round"\ndiameter = 40.0').corners[0]
    assert (round_stock.above_x_face, round_stock.above_y_face) == (pytest.approx(33.0), pytest.approx(33.0))
    turned = layout(4, 26.0, 'shape = "polygon"\nsides = 5\nacross_flats = 40.0\nfirst_flat = "+y"').corners[
        0
    ]
    assert (turned.above_x_face, turned.above_y_face) == (None, None)


def test_a_line_through_parallel_faces_has_its_marks_on_them() -> None:
    """A hexagon's flat at 30° in a square of 40: worked by hand, x·cos 30° + y·sin 30° = 15."""
    section = layout(6, 30.0, 'shape = "square"\nwidth = 40.0', 30.0)
    marks = {(mark.face, mark.corner): mark.distance for mark in section.marks if mark.flat == 1}
    assert marks == {
        ("+X", "-Y"): pytest.approx(20.0 - (20.0 * math.cos(math.pi / 6.0) - 15.0) / 0.5),
        ("+Y", "+X"): pytest.approx(20.0 - (15.0 - 10.0) / math.cos(math.pi / 6.0)),
    }

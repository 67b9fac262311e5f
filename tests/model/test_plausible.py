"""A mill file in the wrong units is a mistake of the mill file, and no other mill is one."""

from __future__ import annotations

from pathlib import Path

import pytest

from polypocket.errors import MistakesError
from polypocket.model.files import load_mill, mill_of_text
from polypocket.model.plausible import mistakes_of_size
from polypocket.model.shipped import shipped_mill, shipped_mills

MILLS = Path(__file__).parents[2] / "fixtures" / "mills"


@pytest.mark.parametrize("name", shipped_mills())
def test_a_mill_that_ships_is_none_in_the_other_units(name: str) -> None:
    text = shipped_mill(name)
    assert mistakes_of_size(load_mill(name)) == ()
    units, other = ("mm", "inch") if 'units = "mm"' in text else ("inch", "mm")
    with pytest.raises(MistakesError) as caught:
        mill_of_text(text.replace(f'units = "{units}"', f'units = "{other}"'), "mill.toml")
    (mistake,) = caught.value.mistakes
    assert mistake.place == "units"
    assert mistake.message.startswith(f'"{other}" cannot be right: axes.x.travel would be ')
    assert f'; with "{units}" all numbers are such as mills have' in mistake.message


@pytest.mark.parametrize("path", sorted(MILLS.glob("*.toml")), ids=lambda path: path.stem)
def test_mills_of_the_tests_are_of_a_size(path: Path) -> None:
    assert mistakes_of_size(load_mill(path)) == ()


@pytest.mark.parametrize(
    ("was", "wrong", "place"),
    [
        ("travel = [0.0, 300.0]", "travel = [0.0, 49.9]", "axes.x.travel"),
        ("travel = [0.0, 150.0]", "travel = [0.0, 5000.1]", "axes.y.travel"),
        ("travel = [-200.0, 0.0]", "travel = [-3.9, 0.0]", "axes.z.travel"),
        ("feed_max = 800.0", "feed_max = 30.0", "feed_max"),
        ("feed_max = 800.0", 'feed_max = "70 mm/min"', "feed_max"),
        ("rapid = 1200.0", 'rapid = "6000 in/min"', "axes.x.rapid"),
        ("opening = 80.0", "opening = 3.0", "vise.opening"),
        ("jaw_width = 80.0", "jaw_width = 1001.0", "vise.jaw_width"),
        ("jaw_height = 25.0", "jaw_height = 1.75", "vise.jaw_height"),
    ],
)
def test_one_figure_alone_is_told_at_its_place(was: str, wrong: str, place: str) -> None:
    text = shipped_mill("bench-mill")
    changed = text.replace(was, wrong, 1)
    assert changed != text
    with pytest.raises(MistakesError) as caught:
        mill_of_text(changed, "mill.toml")
    (mistake,) = caught.value.mistakes
    assert mistake.place == place
    assert mistake.message.endswith('plain numbers of this file are taken as mm, since it says units = "mm"')

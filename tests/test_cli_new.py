"""`new`, where answers are missing or wrong: all told together, each at its option, in plain words."""

from __future__ import annotations

import builtins
import shlex
import tomllib
from pathlib import Path

import pytest

from polypocket.screen.ask import QUESTIONS, asked
from tests.test_cli import NEW, Run, run

__all__ = ["run"]

#: Words of the libraries and of Python that are nobody's business.
FOREIGN = ("could not convert", "Input should", "NoneType", "float:", "Traceback", "ValueError", "pydantic")


def given(**other: str) -> list[str]:
    answers = dict(zip(NEW[::2], NEW[1::2], strict=True))
    answers |= {f"--{key.replace('_', '-')}": text for key, text in other.items()}
    return [each for pair in answers.items() for each in pair]


def test_all_mistakes_at_once_and_what_is_missing_too(run: Run, tmp_path: Path) -> None:
    answer = run(
        *(
            "new",
            "-o",
            "part.toml",
            "--units",
            "metric",
            "--stock",
            "sqare 80",
            "--rpm",
            "fast",
            "--feed",
            "quick",
        ),
        *("--material", "gold", "--cutter-material", "steel", "--sections", "2 x 60, six", "--name", ""),
    )
    assert answer.code == 2
    told = {line.split(": ")[1]: line.split(": ", 2)[2] for line in answer.err.splitlines()[:-1]}
    assert told == {
        "--name": "the text is empty",
        "--units": '"metric" cannot be used; write mm or inch',
        "--stock": '"sqare 80": write "square 130", "rectangle 130 100" or "round 80"; other stock in the file itself',
        "--thickness": "required; Thickness of the stock?",
        "--material": told["--material"],
        "--sections": '"2 x 60": must be between 3 and 360, not 2; "six" is not a section; write sides x across flats, '
        'such as "12 x 124"',
        "--flutes": "required; How many flutes?",
        "--flute-length": "required; Length that cuts?",
        "--cutter-material": '"steel" cannot be used; write carbide or hss',
        "--rpm": '"fast" is not a number; write turns a minute, such as 900',
        "--feed": '"quick" is not a feed: a number, or text such as "480 mm/min"',
    }
    assert told["--material"].startswith('"gold" is not in materials.toml; known are ')
    assert not any(word in answer.err for word in FOREIGN)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("key", [key for key in QUESTIONS if key != "units"])
@pytest.mark.parametrize("text", ["", "nan", "inf", "-1", "1e9999", "1/0", "a\nb", "9" * 400, "\u0663"])
def test_whatever_is_answered_the_words_are_plain(run: Run, tmp_path: Path, key: str, text: str) -> None:
    answer = run("new", "-o", "part.toml", *given(**{key: text}))
    assert answer.code in (0, 2)
    assert not any(word in answer.err for word in FOREIGN)
    if answer.code == 2:
        assert answer.err.startswith(f"new: --{key.replace('_', '-')}: ")
        assert list(tmp_path.iterdir()) == []


def test_what_does_not_fit_is_told_at_the_options_together(run: Run) -> None:
    answer = run("new", "-o", "my part.toml", *given(depths="1/2, 1.4", sections="12 x 3.9, 6 x 4.5"))
    places = [line.split(": ")[1] for line in answer.err.splitlines()]
    assert places == ["--sections", "--flute-length", "--held", "nothing written; to correct and repeat"]
    # The command to repeat has the answers that were given, and none that were offered.
    words = shlex.split(answer.err.splitlines()[-1].partition("repeat: ")[2])
    assert words[:4] == ["polypocket", "new", "-o", "my part.toml"]
    assert sorted(words[4:]) == sorted(given(depths="1/2, 1.4", sections="12 x 3.9, 6 x 4.5"))


def test_depths_are_as_many_as_sections(run: Run) -> None:
    answer = run("new", "-o", "part.toml", *given(depths="1/4", rpm="x"))
    assert "new: --depths: 1 given, 2 wanted, one a section\n" in answer.err
    assert 'new: --rpm: "x" is not a number' in answer.err


def test_a_person_is_asked_again_after_a_wrong_answer(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    known = dict(zip(NEW[::2], NEW[1::2], strict=True))
    answers = {
        key.removeprefix("--").replace("-", "_"): text for key, text in known.items() if key != "--rpm"
    }
    said = iter(["fast", "-3", "800", ""])
    monkeypatch.setattr(builtins, "input", lambda *_: next(said))
    monkeypatch.setattr("typer.prompt", lambda text, default, prompt_suffix: input() or default)
    result = asked(answers, interactive=True)
    assert result["rpm"] == "800"
    assert result["depths"]  # the equal lands that were offered
    told = capsys.readouterr().err
    assert '"fast" is not a number' in told
    assert "must be more than 0, not -3.0" in told


@pytest.mark.parametrize(
    ("units", "stock", "thickness", "held", "sections", "depths"),
    [
        ("mm", "square 130", "34", "12", "12 x 124, 10 x 112", [10.5, 21.0]),
        # 1.5 in less 0.625 in the jaws and 1 mm above them is 0.8356 in; half of that, 0.4178, in steps of 0.02 in
        ("inch", "round 4", "1-1/2 in", "5/8", "5 x 2.25, 8 x 3.25", [0.4, 0.8]),
    ],
)
def test_floors_that_are_offered_are_round_numbers(
    run: Run, units: str, stock: str, thickness: str, held: str, sections: str, depths: list[float]
) -> None:
    cutter = {"cutter": "12 mm", "flute_length": "26 mm"}
    answers = given(units=units, stock=stock, thickness=thickness, held=held, sections=sections, **cutter)
    assert run("new", "-o", "part.toml", *answers).code == 0
    job = tomllib.loads(Path("part.toml").read_text(encoding="utf-8"))
    assert [section["depth"] for section in job["sections"]] == depths
    assert job["cut"]["finish_allowance"] == {"mm": 0.2, "inch": 0.008}[units]


def test_a_wide_cutter_steps_down_no_further_than_it_cuts(run: Run, tmp_path: Path) -> None:
    assert run("new", "-o", "part.toml", *given(cutter="3")).code == 0
    assert "\nstepdown = 1.25 " in (tmp_path / "part.toml").read_text()

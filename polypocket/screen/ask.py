"""The few questions of ``polypocket new``, and the job that the answers make."""

from __future__ import annotations

import re
import shlex
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import get_args

import typer

from polypocket.errors import Mistake, MistakesError
from polypocket.model.files import job_of_text
from polypocket.model.new_job import NewJob, NewSection, equal_lands, job_text
from polypocket.model.shipped import materials
from polypocket.units import Units, in_units, parse_length, parse_rate

__all__ = ["answers_to_job", "asked"]

Answers = dict[str, str]

#: Sizes that a stock's shape asks for, in the order in which they are written.
_STOCK_SIZES = {"square": ("width",), "rectangle": ("width", "length"), "round": ("diameter",)}


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked, and what is offered where something sensible can be."""

    text: str
    offer: Callable[[Answers], str | None] = lambda answers: None


def _offered_depths(answers: Answers) -> str | None:
    """Return the depths of equal lands, once the other answers are there and make sense."""
    if len(answers) < len(QUESTIONS) - 1:
        return None
    try:
        job = _new_job(answers)
    except MistakesError:
        return None
    return ", ".join(in_units(depth, job.units) for depth in equal_lands(job))


def _by_units(mm: str, inch: str) -> Callable[[Answers], str]:
    return lambda answers: inch if answers.get("units") == "inch" else mm


#: In the order in which they are asked.
QUESTIONS: Mapping[str, Question] = {
    "name": Question("What is the part called?"),
    "units": Question("Units, mm or inch?", lambda answers: "mm"),
    "stock": Question('Stock: "square 130", "rectangle 130 100" (X, Y) or "round 80"?'),
    "thickness": Question("Thickness of the stock?"),
    "material": Question(f"Material ({', '.join(materials())})?"),
    "sections": Question('Sides and across flats of each section, such as "12 x 124, 10 x 112"?'),
    "held": Question("How much of the thickness do the jaws hold?", _by_units("9", "0.375")),
    "cutter": Question("Diameter of the cutter?", _by_units("12", "0.5")),
    "flutes": Question("How many flutes?"),
    "flute_length": Question("Length that cuts?"),
    "cutter_material": Question("Cutter of carbide or hss?"),
    "rpm": Question("Spindle speed, turns a minute?"),
    "feed": Question("Feed a minute?"),
    "depths": Question(
        "Depths of the floors, smallest section first (offered: equal lands)?", _offered_depths
    ),
}


def asked(given: Mapping[str, str | None], *, interactive: bool) -> Answers:
    """Return all answers: those given, and those that a person at the terminal gives.

    Raises:
        MistakesError: an answer is missing and there is nobody to ask.
    """
    answers = {key: text for key, text in given.items() if text is not None}
    missing = []
    for key, question in QUESTIONS.items():
        if key in answers:
            continue
        offer = question.offer(answers)
        if interactive:
            answers[key] = typer.prompt(question.text, default=offer, prompt_suffix=" ")
        elif offer is not None:
            answers[key] = offer
        elif key != "depths":  # they are offered as soon as the rest makes sense
            missing.append(Mistake(_option(key), f"required; {question.text}"))
    if missing:
        raise MistakesError("new", missing)
    return answers


def answers_to_job(answers: Answers, source: str) -> str:
    """Return the text of the job file that the answers make, once it has been read like any other.

    Raises:
        MistakesError: some answers make no job; the last line repeats them all as a command, so that none is lost.
    """
    try:
        job = _new_job(answers)
        text = job_text(job, _depths(answers, job))
        job_of_text(text, source)
    except MistakesError as error:
        again = " ".join(f"{_option(key)} {shlex.quote(text)}" for key, text in answers.items())
        raise MistakesError(
            error.source,
            [
                *error.mistakes,
                Mistake("", f"nothing written; to correct and repeat: polypocket new -o {source} {again}"),
            ],
        ) from error
    return text


def _new_job(answers: Answers) -> NewJob:
    mistakes: list[Mistake] = []
    units: Units = "inch" if answers["units"] == "inch" else "mm"
    if answers["units"] not in get_args(Units):
        mistakes.append(Mistake("--units", "must be mm or inch"))

    def read(key: str, parse: Callable[[str], float]) -> float:
        try:
            return parse(answers[key])
        except (KeyError, ValueError) as error:
            mistakes.append(
                Mistake(_option(key), str(error) if isinstance(error, ValueError) else "required")
            )
            return 1.0

    def length(text: str) -> float:
        return parse_length(_number_or_text(text), units)

    stock: dict[str, float | str] = {"shape": "square"}
    sections: tuple[NewSection, ...] = ()
    try:
        stock = _stock(answers["stock"], length)
    except ValueError as error:
        mistakes.append(Mistake("--stock", str(error)))
    try:
        sections = _sections(answers["sections"], length)
    except ValueError as error:
        mistakes.append(Mistake("--sections", str(error)))
    job = NewJob(
        name=answers["name"],
        units=units,
        stock=stock,
        thickness=read("thickness", length),
        material=answers["material"],
        sections=sections,
        held=read("held", length),
        cutter_diameter=read("cutter", length),
        flutes=int(read("flutes", _whole)),
        flute_length=read("flute_length", length),
        cutter_material=answers["cutter_material"],
        spindle_rpm=read("rpm", float),
        feed=read("feed", lambda text: parse_rate(_number_or_text(text), units)),
    )
    if mistakes:
        raise MistakesError("new", mistakes)
    return job


def _depths(answers: Answers, job: NewJob) -> tuple[float, ...]:
    if "depths" not in answers:
        return equal_lands(job)
    try:
        depths = [
            parse_length(_number_or_text(text.strip()), job.units) for text in answers["depths"].split(",")
        ]
    except ValueError as error:
        raise MistakesError("new", [Mistake("--depths", str(error))]) from error
    if len(depths) != len(job.sections):
        message = f"{len(depths)} given for {len(job.sections)} sections"
        raise MistakesError("new", [Mistake("--depths", message)])
    return tuple(sorted(depths))


def _stock(text: str, length: Callable[[str], float]) -> dict[str, float | str]:
    shape, *sizes = text.split()
    keys = _STOCK_SIZES.get(shape)
    if keys is None or len(sizes) != len(keys):
        raise ValueError(
            'write "square 130", "rectangle 130 100" or "round 80"; other stock in the file itself'
        )
    return {"shape": shape, **{key: length(size) for key, size in zip(keys, sizes, strict=True)}}


def _sections(text: str, length: Callable[[str], float]) -> tuple[NewSection, ...]:
    sections = []
    for part in text.split(","):
        match = re.fullmatch(r"\s*([0-9]{1,3})\s*[x×]\s*(\S.*?)\s*", part)
        if match is None:
            raise ValueError(
                f'"{part.strip()}" is not a section; write sides x across flats, such as "12 x 124"'
            )
        sections.append(NewSection(int(match[1]), length(match[2])))
    return tuple(sections)


def _number_or_text(text: str) -> float | str:
    """Take a bare number as a number, in the file's units, as in a file."""
    try:
        return float(text)
    except ValueError:
        return text


def _whole(text: str) -> float:
    if not text.isdecimal():
        raise ValueError(f'"{text}" is not a whole number')
    return float(text)


def _option(key: str) -> str:
    return "--" + key.replace("_", "-")

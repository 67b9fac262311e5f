"""The few questions of ``polypocket new``, and the job that the answers make."""

from __future__ import annotations

import shlex
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, get_args

import typer

from polypocket.errors import Mistake, MistakesError
from polypocket.model.files import job_of_text
from polypocket.model.new_job import NewJob, equal_lands, job_text
from polypocket.model.shipped import materials
from polypocket.screen.answers import option, place_of_answer, read_answer
from polypocket.screen.streams import tell
from polypocket.units import Units, in_units

__all__ = ["answers_to_job", "asked"]

Answers = dict[str, str]


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked, and what is offered where something sensible can be."""

    text: str
    offer: Callable[[Answers], str | None] = lambda answers: None


def _offered_depths(answers: Answers) -> str | None:
    """Return the depths of equal lands, once the other answers are there and make sense."""
    values, mistakes = _read(answers)
    if mistakes or len(values) < len(QUESTIONS) - 1:
        return None
    job = _new_job(values)
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
    """Return the answers that are given and those of a person at the terminal, who is asked again after a wrong one."""
    answers = {key: text for key, text in given.items() if text is not None}
    for key, question in QUESTIONS.items() if interactive else ():
        while key not in answers:
            text: str = typer.prompt(question.text, default=question.offer(answers), prompt_suffix=" ")
            try:
                read_answer(key, text, _units(answers))
            except ValueError as error:
                tell(f"  {error}")
            else:
                answers[key] = text
    return answers


def answers_to_job(answers: Answers, source: str) -> str:
    """Return the text of the job file that the answers make, once it has been read like any other.

    Where an answer is missing and something is offered, the offer is taken.

    Raises:
        MistakesError: some answers are missing, or make no job, all of them together; the last line repeats them all as
            a command, so that none is lost.
    """
    try:
        text = _job_of(answers)
        job_of_text(text, source)
    except MistakesError as error:
        mistakes = [Mistake(place_of_answer(each.place), _in_sections(each)) for each in error.mistakes]
        again = " ".join(f"{option(key)} {shlex.quote(text)}" for key, text in answers.items())
        repeat = f"nothing written; to correct and repeat: polypocket new -o {shlex.quote(source)} {again}"
        raise MistakesError("new", [*mistakes, Mistake("", repeat.rstrip())]) from error
    return text


def _job_of(answers: Answers) -> str:
    """Return the text of the job file that the answers make.

    Raises:
        MistakesError: some are missing or cannot be read.
    """
    offered = {key: question.offer(answers) for key, question in QUESTIONS.items() if key not in answers}
    complete = answers | {key: text for key, text in offered.items() if text is not None and key != "depths"}
    values, mistakes = _read(complete)
    missing = [key for key in QUESTIONS if key not in complete and key != "depths"]
    mistakes += [(key, f"required; {QUESTIONS[key].text}") for key in missing]
    if "depths" in values and "sections" in values and len(values["depths"]) != len(values["sections"]):
        wanted = f"{len(values['sections'])} wanted, one a section"
        mistakes.append(("depths", f"{len(values['depths'])} given, {wanted}"))
    if mistakes:
        in_order = sorted(mistakes, key=lambda mistake: list(QUESTIONS).index(mistake[0]))
        raise MistakesError("new", [Mistake(option(key), message) for key, message in in_order])
    job = _new_job(values)
    return job_text(job, values.get("depths") or equal_lands(job))


def _read(answers: Answers) -> tuple[dict[str, Any], list[tuple[str, str]]]:
    """Return what the answers mean, and which cannot be read and why."""
    values: dict[str, Any] = {}
    mistakes = []
    for key, text in answers.items():
        try:
            values[key] = read_answer(key, text, _units(answers))
        except ValueError as error:
            mistakes.append((key, str(error)))
    return values, mistakes


def _units(answers: Answers) -> Units:
    """Return the units; where they are wrong, inches stand in, in which a bare fraction is no second mistake."""
    units = answers.get("units", "mm").strip()
    return next((each for each in get_args(Units) if each == units), "inch")


def _new_job(values: Mapping[str, Any]) -> NewJob:
    return NewJob(
        name=values["name"],
        units=values["units"],
        stock=values["stock"],
        thickness=values["thickness"],
        material=values["material"],
        sections=values["sections"],
        held=values["held"],
        cutter_diameter=values["cutter"],
        flutes=values["flutes"],
        flute_length=values["flute_length"],
        cutter_material=values["cutter_material"],
        spindle_rpm=values["rpm"],
        feed=values["feed"],
    )


def _in_sections(mistake: Mistake) -> str:
    """Return a mistake's message, with the section that it is about, the smallest being the first."""
    number = mistake.place.removeprefix("sections[").partition("]")[0]
    if not number.isdecimal():
        return mistake.message
    return f"section {int(number) + 1}, the smallest first: {mistake.message}"

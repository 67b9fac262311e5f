"""The command ``new``."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Annotated

import typer

from polypocket.errors import InputError
from polypocket.screen.streams import print_lines

__all__ = ["new"]


def new(
    output: Annotated[Path, typer.Option("--output", "-o", metavar="FILE", help="Where to write the job.")],
    name: Annotated[str | None, typer.Option(help="What the part is called.")] = None,
    units: Annotated[str | None, typer.Option(help="mm or inch.")] = None,
    stock: Annotated[
        str | None, typer.Option(help='Such as "square 130", "rectangle 130 100", "round 80".')
    ] = None,
    thickness: Annotated[str | None, typer.Option(help="Thickness of the stock.")] = None,
    material: Annotated[
        str | None, typer.Option(help="A key of the materials, such as aluminium-6061.")
    ] = None,
    sections: Annotated[
        str | None, typer.Option(help='Sides and across flats of each section: "12 x 124, 10 x 112".')
    ] = None,
    depths: Annotated[
        str | None,
        typer.Option(help="Depths of the floors, smallest section first; equal lands if left out."),
    ] = None,
    held: Annotated[str | None, typer.Option(help="How much of the thickness is in the jaws.")] = None,
    cutter: Annotated[str | None, typer.Option(help="Diameter of the cutter.")] = None,
    flutes: Annotated[str | None, typer.Option(help="Number of its flutes.")] = None,
    flute_length: Annotated[str | None, typer.Option(help="The length that cuts.")] = None,
    cutter_material: Annotated[str | None, typer.Option(help="carbide or hss.")] = None,
    rpm: Annotated[str | None, typer.Option(help="Spindle speed, turns a minute.")] = None,
    feed: Annotated[str | None, typer.Option(help="Feed a minute.")] = None,
    replace: Annotated[bool, typer.Option("--replace", help="Replace a file that is there.")] = False,
) -> None:
    """Write a commented job file from a few answers; asks for what no option gives."""
    from polypocket.screen.ask import answers_to_job, asked

    given = {
        "name": name,
        "units": units,
        "stock": stock,
        "thickness": thickness,
        "material": material,
        "sections": sections,
        "held": held,
        "cutter": cutter,
        "flutes": flutes,
        "flute_length": flute_length,
        "cutter_material": cutter_material,
        "rpm": rpm,
        "feed": feed,
        "depths": depths,
    }
    if output.exists() and not replace:
        raise InputError(f"{output}: is there already; name another file or say --replace")
    text = answers_to_job(asked(given, interactive=sys.stdin.isatty()), str(output))
    _write_new(output, text)
    print_lines([f"{output}: written. Read it through, then: polypocket check {output} --machine MILL"])


def _write_new(path: Path, text: str) -> None:
    """Leave a new job, and beside it the schema that its first line names."""
    from polypocket.model.files import write_all
    from polypocket.model.new_job import SCHEMA_FILE
    from polypocket.model.schema import job_schema

    schema = json.dumps(job_schema(), indent=2, ensure_ascii=False) + "\n"
    write_all({path: text, path.with_name(SCHEMA_FILE): schema})

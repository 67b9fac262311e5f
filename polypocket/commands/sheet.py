"""``polypocket sheet``: the page to print and carry, and beside it the template and the layout as drawings."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Literal

import typer

from polypocket.commands.options import AsJson, CutterDiameter, Dialect, Job, Machine
from polypocket.commands.proving import proof_of, require_not_an_input
from polypocket.errors import InputError
from polypocket.screen.streams import print_json, print_lines

if TYPE_CHECKING:
    from polypocket.model.job import BlockJob
    from polypocket.prove import Proof
    from polypocket.sheet.paper import Paper
    from polypocket.sheet.projection import Projection

__all__ = ["layout_files", "proven_pages", "sheet"]

_FOUND = 1


def sheet(
    job: Job,
    machine: Machine,
    post: Dialect = None,
    output: Annotated[
        Path | None,
        typer.Option(
            "--output",
            "-o",
            metavar="FILE",
            help="The page; if left out, the job's name with .html, in this folder.",
        ),
    ] = None,
    template: Annotated[
        Path | None,
        typer.Option(
            "--template", metavar="PDF", help="Leave the layout at its true size too, to glue on the stock."
        ),
    ] = None,
    paper: Annotated[
        Literal["a4", "letter"] | None,
        typer.Option("--paper", help="Of the template; if left out, letter for jobs in inches, else a4."),
    ] = None,
    dxf: Annotated[
        Path | None,
        typer.Option("--dxf", metavar="DXF", help="Leave the layout as DXF too, in the job's units."),
    ] = None,
    svg: Annotated[
        Path | None,
        typer.Option("--svg", metavar="SVG", help="Leave the layout as SVG too, at its true size."),
    ] = None,
    projection: Annotated[
        Literal["first", "third"] | None,
        typer.Option(
            "--projection",
            help="Of the drawings: first or third angle; if left out, third for jobs in inches.",
        ),
    ] = None,
    cutter_diameter: CutterDiameter = None,
    as_json: AsJson = False,
) -> None:
    """Make the sheet that goes to the machine: drawings, clamping, passes one by one, checks.

    One HTML file that prints on A4 and Letter and needs no network. If the dry run finds an error, only a page marked
    DO NOT RUN is left, to see what is wrong, and the exit code is 1.
    """
    from polypocket.dryrun import as_json as document
    from polypocket.model.files import load_job, write_all
    from polypocket.prove import part_name
    from polypocket.prove.checksum import checksums_of

    path = output if output is not None else Path(f"{job.stem}.html")
    others = [each for each in (template, dxf, svg) if each is not None]
    for each in (path, *others):
        require_not_an_input(each, job, machine, post, what="the sheet")
    loaded = load_job(job, cutter_diameter)
    proof, pages = proven_pages(loaded, str(job), machine, post, f"{job.stem}.nc", projection)
    files: dict[Path, str | bytes] = {
        path.with_name(part_name(path.name, number, len(pages))): page
        for number, page in enumerate(pages, start=1)
    }
    if proof.verdict.ok:  # who cannot run the program has no use for a laid-out stock either
        for each, content in layout_files(loaded, template, paper, dxf, svg).items():
            if each in files:
                raise InputError(f"{each}: two of the files have this one name; name another")
            files[each] = content
    replaced = [each for each in files if os.path.exists(each)]
    write_all(files)
    checksums = checksums_of(proof)
    if as_json:
        print_json(
            {**document(proof.verdict), "written": [str(each) for each in files], "checksums": checksums}
        )
    else:
        print_lines(_told(list(files), replaced, proof, loaded, checksums))
    if not proof.verdict.ok:
        sys.exit(_FOUND)


def proven_pages(
    job: BlockJob,
    source: str,
    machine: str,
    post: str | None,
    program: str,
    projection: Projection | None = None,
) -> tuple[Proof, tuple[str, ...]]:
    """Return the proof of a job and its pages: one for each clamping."""
    from polypocket.model.files import load_mill
    from polypocket.prove import post_for
    from polypocket.prove.one_by_one import one_by_one
    from polypocket.sheet.page import Turn, page_of
    from polypocket.sheet.projection import projection_of
    from polypocket.sheet.recorder import Recorder

    recorder = Recorder()
    proof = proof_of(job, source, machine, post, program, watcher=recorder)
    dialect = post_for(load_mill(machine), post)
    drawn = projection or projection_of(job.units)
    if not proof.clampings:
        return proof, (page_of(job, dialect.name, proof, recorder, drawn),)
    recorders = [Recorder(part.name) for part in proof.parts]
    proofs = one_by_one(proof, job, dialect, recorders)
    return proof, tuple(
        page_of(job, dialect.name, each, own, drawn, Turn(number, len(proofs)))
        for number, (each, own) in enumerate(zip(proofs, recorders, strict=True), start=1)
    )


def layout_files(
    job: BlockJob,
    template: Path | None,
    paper: Paper | None = None,
    dxf: Path | None = None,
    svg: Path | None = None,
) -> dict[Path, str | bytes]:
    """Return the layout as the files that are wanted."""
    from polypocket.sheet.dxf import dxf_of
    from polypocket.sheet.paper import pages_of, paper_of
    from polypocket.sheet.pdf import pdf_of
    from polypocket.sheet.svg import svg_file
    from polypocket.sheet.template import layout_drawing

    drawing = layout_drawing(job)
    files: dict[Path, str | bytes] = {}
    if template is not None:
        files[template] = pdf_of(pages_of(drawing, paper or paper_of(job.units)), drawing.title)
    if dxf is not None:
        files[dxf] = dxf_of(drawing, job.units)
    if svg is not None:
        files[svg] = svg_file(drawing)
    return files


def _told(
    paths: list[Path], replaced: list[Path], proof: Proof, job: BlockJob, checksums: dict[str, Any]
) -> list[str]:
    from polypocket.prove.checksum import short_form
    from polypocket.screen.grip import caution_lines
    from polypocket.screen.verdict import findings_lines

    if not proof.verdict.ok:
        return [
            f"{paths[0]}: written, marked DO NOT RUN: it shows what is wrong, pass by pass. Nothing else is left",
            *findings_lines(proof.verdict),
        ]
    return [
        *(f"{path}: {'replaced' if path in replaced else 'written'}" for path in paths),
        *(f"checksum of {name}: {short_form(checksum)}" for name, checksum in checksums.items()),
        *caution_lines(job, proof.placed.mill),
        *findings_lines(proof.verdict),
    ]

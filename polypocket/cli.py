"""The commands. Thin: parse, call, print; what is heavy is imported by the command that uses it."""

from __future__ import annotations

import atexit
import copy
import gc
import io
import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

import typer
from typer.models import CommandInfo

from polypocket.commands.new import new
from polypocket.commands.options import AsJson, CutterDiameter, Dialect, Job, Machine
from polypocket.commands.place import place
from polypocket.commands.proving import proof_of, require_clean, require_not_an_input
from polypocket.commands.sheet import sheet
from polypocket.commands.usage import CommandLineError, Version, plain_message, usage_of, whole_number
from polypocket.errors import InputError, MistakesError, PolypocketError, ProofError
from polypocket.screen.streams import error_document, let_go_of_stdout, print_json, print_lines, tell

__all__ = ["app", "main"]

#: Exit codes: an error was found in a program; the input could not be used.
FOUND, UNUSABLE = 1, 2

#: Objects made, less those gone, after which cycles are searched for among the new ones: some ten MB. No source.
_MADE_BETWEEN_SEARCHES = 100_000

app = typer.Typer(
    name="polypocket",
    help="From the description of a polygon block to a mill program that has been dry-run against the table. "
    "Nothing here replaces the mill's manual, local rules and qualified instruction.",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)


def main() -> None:
    """Run the command line; an error becomes a message and an exit code, never a traceback."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(
            stream, io.TextIOWrapper
        ):  # whatever it cannot show, such as a degree sign, is spelled out
            stream.reconfigure(errors="backslashreplace")
    os.environ["PYDANTIC_DISABLE_PLUGINS"] = "__all__"  # no other package has a say in how files are read
    # Whoever loads numpy starts as many threads for linear algebra as there are cores, and here is none to be done.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    _search_cycles_seldom()
    try:
        try:
            _run(wants_json="--json" in sys.argv[1:])
        finally:
            if sys.stdout is not None:  # it is where the shell has closed it
                sys.stdout.flush()
    except OSError as error:
        let_go_of_stdout()
        where = f"{error.filename}" if error.filename else "the output cannot be printed"
        tell(f"polypocket: {where}: {(error.strerror or str(error)).lower()}")
        sys.exit(UNUSABLE)


def _search_cycles_seldom() -> None:
    """Keep the search for objects that hold each other from taking a tenth of a short command's time.

    What is made for a program holds few cycles, and what is left at the end goes with the process.
    """
    gc.set_threshold(_MADE_BETWEEN_SEARCHES, 5, 2)
    atexit.register(gc.freeze)


def _run(*, wants_json: bool) -> None:
    """Run the command; tell an error of ours on stderr, and as a document too where one is wanted."""
    try:
        sys.exit(_app_of(sys.argv[1:2])(standalone_mode=False))
    except typer.Abort:
        tell("polypocket: aborted")
        sys.exit(FOUND)
    except CommandLineError as error:
        told = plain_message(error)
        if wants_json:
            print_json({"ok": False, "error": told})
        tell(f"{usage_of(error)}polypocket: {told}" if told else usage_of(error))
        sys.exit(UNUSABLE)
    except PolypocketError as error:
        if wants_json:
            print_json(error_document(error))
        tell(str(error) if isinstance(error, MistakesError) else f"polypocket: {error}")
        sys.exit(FOUND if isinstance(error, ProofError) else UNUSABLE)


def _app_of(first: Sequence[str]) -> typer.Typer:
    """Return ``app``, with no other command than the one that ``first`` names, if it names one.

    typer works out the options of every command that an app has before it runs one of them.
    """
    named = [each for each in app.registered_commands if [_name_of(each)] == list(first)]
    if not named:
        return app
    alone = copy.copy(app)
    alone.registered_commands = named
    return alone


def _name_of(command: CommandInfo) -> str | None:
    return command.name or getattr(command.callback, "__name__", None)


@app.callback()
def _all_commands(version: Version = False) -> None:
    """Take what is said before a command; the help stands in ``app``."""


@app.command(short_help="Make two jobs that ship, and show their programs and sheets.")
def demo(
    folder: Annotated[Path, typer.Option("--output", "-o", help="Where to put the files.")] = Path("demo"),
) -> None:
    """Make the programs and sheets of two jobs that ship, from an invented waterworks' repair shop, and show them."""
    from polypocket.commands.sheet import layout_files, proven_pages
    from polypocket.model.files import load_job, write_all, write_whole
    from polypocket.model.shipped import shipped_job
    from polypocket.model.writing import make_folder
    from polypocket.screen.demo import DEMO, demo_lines

    make_folder(folder)
    for job_file, machine in DEMO:
        path = folder / job_file
        write_whole(path, shipped_job(job_file))
        program = path.with_suffix(".nc")
        job = load_job(path)
        proof, (page,) = proven_pages(job, str(path), machine, None, program.name)
        require_clean(proof, machine)
        (part,) = proof.parts
        sheet_path, template = path.with_suffix(".html"), path.with_suffix(".pdf")
        write_all({program: part.text, sheet_path: page, **layout_files(job, template)})
        print_lines(demo_lines(path, machine, program, part.text, proof.verdict, job.units))
        print_lines([f"Sheet for the machine: {sheet_path}; template to glue on the stock: {template}", ""])


@app.command(short_help="Show what to scribe, the passes and the time; write nothing.")
def check(
    job: Job,
    machine: Annotated[
        str | None,
        typer.Option("--machine", metavar="M", help="A mill file, or the name of a mill that ships."),
    ] = None,
    post: Dialect = None,
    cutter_diameter: CutterDiameter = None,
    as_json: AsJson = False,
) -> None:
    """Show what to scribe, then the passes, their lengths and the time; write nothing.

    Without a mill, only what is true on every mill.
    """
    from polypocket.layout import layout_of
    from polypocket.model.files import load_job
    from polypocket.screen.check import check_document, job_lines, proof_lines

    loaded = load_job(job, cutter_diameter)
    layout = layout_of(loaded)
    proof = proof_of(loaded, str(job), machine, post, job.stem) if machine is not None else None
    if as_json:
        print_json(check_document(loaded, layout, proof))
    else:
        print_lines(job_lines(loaded, layout))
        print_lines(proof_lines(proof, machine, loaded))
    if proof is not None and not proof.verdict.ok:
        sys.exit(FOUND)


@app.command(short_help="Write the program of a job, if its dry run finds no error.")
def write(
    job: Job,
    machine: Machine,
    post: Dialect = None,
    output: Annotated[
        Path | None,
        typer.Option(
            "--output",
            "-o",
            metavar="FILE",
            help="The program; if left out, the job's name with .nc (a sheet: .txt), in this folder.",
        ),
    ] = None,
    from_pass: Annotated[
        int,
        typer.Option(
            "--from-pass",
            metavar="K",
            help="Begin with pass K; the passes before it have been cut.",
            parser=whole_number,
        ),
    ] = 1,
    cutter_diameter: CutterDiameter = None,
    as_json: AsJson = False,
) -> None:
    """Write the program of a job, if the dry run of its text finds no error."""
    from polypocket.model.files import load_job, write_all
    from polypocket.screen.written import written_lines

    path = output if output is not None else Path(f"{job.stem}.nc")
    loaded = load_job(job, cutter_diameter)
    proof = proof_of(loaded, str(job), machine, post, path.name, from_pass)
    if proof.is_sheet and output is None:
        path = path.with_suffix(".txt")
    if not as_json:
        require_clean(proof, machine)
    require_not_an_input(path, job, machine, post)
    paths = [path] if len(proof.parts) == 1 else [path.with_name(part.name) for part in proof.parts]
    _require_no_other_parts(path, paths)
    replaced = [each for each in paths if os.path.exists(each)]
    if proof.verdict.ok:
        write_all({each: part.text for each, part in zip(paths, proof.parts, strict=True)})
    if as_json:
        from polypocket.dryrun import as_json as document
        from polypocket.prove.checksum import checksums_of
        from polypocket.screen.placed import placed_document
        from polypocket.screen.sheet import sheet_document

        written = [str(each) for each in paths] if proof.verdict.ok else []
        where: dict[str, object] = {} if proof.is_sheet else {"place": placed_document(proof.placed)}
        if proof.clampings:
            where["clampings"] = [placed_document(each) for each in proof.clampings]
        print_json(
            {
                **document(proof.verdict),
                **sheet_document(proof),
                "written": written,
                "checksums": checksums_of(proof),
                **where,
            }
        )
        sys.exit(0 if proof.verdict.ok else FOUND)
    print_lines(written_lines(paths, proof, loaded, replaced))


@app.command(short_help="Dry-run programs against the table, and against a job.")
def dryrun(
    programs: Annotated[
        list[Path], typer.Argument(metavar="PROGRAM...", help="Programs, in the order they run.")
    ],
    machine: Machine,
    job: Annotated[
        Path | None, typer.Option("--job", metavar="JOB", help="The job that they are to make.")
    ] = None,
    post: Dialect = None,
    cutter_diameter: CutterDiameter = None,
    zero: Annotated[
        list[str] | None,
        typer.Option(
            "--zero",
            metavar="[N=]X,Y,Z",
            help="Where the work zero stands, in machine coordinates, in place of the mill file's; 2=X,Y,Z for that of "
            "the second program, clamped elsewhere.",
        ),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Dry-run programs against the table, and against the job if one is named."""
    from polypocket.dryrun import as_json as document
    from polypocket.model.files import load_job, load_mill, read_text
    from polypocket.model.told_zero import mills_with_zeros
    from polypocket.prove import dry_run_of_text, post_for, require_fit
    from polypocket.prove.other_dialects import complaints_elsewhere
    from polypocket.screen.progress_bar import ProgressBar
    from polypocket.screen.verdict import other_dialects_lines, verdict_lines

    mill = load_mill(machine)
    loaded = load_job(job, cutter_diameter) if job is not None else None
    if loaded is not None:
        require_fit(loaded, mill, str(job))
    texts = [(str(path), read_text(path)) for path in programs]
    dialect = post_for(mill, post)
    try:
        mills = mills_with_zeros(mill, zero or [], len(texts))
    except ValueError as error:
        raise InputError(f"--zero: {error}") from error
    with ProgressBar() as progress:
        verdict = dry_run_of_text(texts, mills[0], loaded, dialect, progress=progress, mills=mills)
    elsewhere = complaints_elsewhere(verdict, texts, mill, dialect)
    if as_json:
        print_json({**document(verdict), **({"other_dialects": dict(elsewhere)} if elsewhere else {})})
    else:
        print_lines(other_dialects_lines(dialect.name, elsewhere))
        units, by_hand = loaded.units if loaded else mill.units, dialect.dialect.is_sheet
        print_lines(verdict_lines(verdict, units, by_hand=by_hand))
    if not verdict.ok:
        sys.exit(FOUND)


app.command("new", short_help="Write a commented job file from a few answers.")(new)
app.command("place", short_help="Show where on the table the work fits, and what helps.")(place)
app.command("sheet", short_help="Make the sheet that goes to the machine.")(sheet)


@app.command("posts", short_help="List the dialects, and how to recognise that of a control.")
def list_posts(as_json: AsJson = False) -> None:
    """List the dialects, and by what a person recognises the one of their own control."""
    from polypocket.post import posts
    from polypocket.screen.lists import posts_lines

    found = list(posts().values())
    if as_json:
        print_json({"posts": [{"name": p.name, "title": p.title, "traits": list(p.traits)} for p in found]})
    else:
        print_lines(posts_lines(found))


@app.command("machines", short_help="List the mills that ship, to be copied and changed.")
def list_machines(as_json: AsJson = False) -> None:
    """List the mills that ship; copy one and put in the figures of your own."""
    from polypocket.model.files import load_mill, shipped_mills
    from polypocket.screen.lists import machines_document, machines_lines

    mills = {name: load_mill(name) for name in shipped_mills()}
    if as_json:
        print_json(machines_document(mills))
    else:
        print_lines(machines_lines(mills))


def _require_no_other_parts(path: Path, paths: Sequence[Path]) -> None:
    """Raise an InputError where a part of an earlier program would be taken for one of this.

    Parts are numbered without a gap, so that the next one tells.
    """
    from polypocket.prove import part_name

    if not path.name:  # a folder, which is told when it is written
        return
    following = path.with_name(part_name(path.name, len(paths) + 1 if len(paths) > 1 else 1, 2))
    if os.path.exists(following):
        raise InputError(
            f"{following}: is there already and could be taken for a part of this program; move it away first"
        )

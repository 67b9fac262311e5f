"""Arguments and options that several commands have."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

__all__ = ["AsJson", "CutterDiameter", "Dialect", "Job", "Machine"]

Job = Annotated[Path, typer.Argument(metavar="JOB", help="A job file, such as `polypocket new` writes.")]
Machine = Annotated[
    str, typer.Option("--machine", metavar="M", help="A mill file, or the name of a mill that ships.")
]
Dialect = Annotated[
    str | None, typer.Option("--post", metavar="P", help="The dialect, if not the one the mill file names.")
]
CutterDiameter = Annotated[
    str | None,
    typer.Option(
        "--cutter-diameter",
        metavar="D",
        help="The cutter as it was measured, such as a reground one, in place of the job's; 2=D for cutter 2.",
    ),
]
AsJson = Annotated[bool, typer.Option("--json", help="Print one JSON document and nothing else.")]

"""The command ``place``."""

from __future__ import annotations

import sys

from polypocket.commands.options import AsJson, CutterDiameter, Dialect, Job, Machine
from polypocket.errors import InputError
from polypocket.screen.streams import print_json, print_lines

__all__ = ["place"]

#: Exit code where there is no place, or the dry run at the best one finds an error.
_FOUND = 1


def place(
    job: Job,
    machine: Machine,
    post: Dialect = None,
    cutter_diameter: CutterDiameter = None,
    as_json: AsJson = False,
) -> None:
    """Show where on the table the work fits, for each setting of the swivel base; what to do where it does not."""
    from polypocket.model.files import load_job, load_mill
    from polypocket.prove import post_for, require_fit
    from polypocket.prove.fitting import fitting_of
    from polypocket.screen.place import place_lines
    from polypocket.screen.place_document import place_document
    from polypocket.screen.progress_bar import ProgressBar

    loaded, mill = load_job(job, cutter_diameter), load_mill(machine)
    require_fit(loaded, mill, str(job))
    if mill.is_worked_by_hand:
        raise InputError(
            f"{machine}: a mill without a control has no work zero; its sheet touches off at each flat"
        )
    if mill.axis_by_hand is not None:
        raise InputError(
            f"{machine}: one of X and Y is set by hand, so that the work is turned from flat to flat; polypocket write "
            "tells the settings, and the room or the zero of each"
        )
    with ProgressBar() as progress:
        fitting = fitting_of(loaded, mill, post_for(mill, post), progress)
    if as_json:
        print_json(place_document(fitting))
    else:
        print_lines(place_lines(fitting))
    if not fitting.ok:
        sys.exit(_FOUND)

"""The dry run: programs as read, a mill and a job → findings and the part as cut.

It judges the text of a program as the reader has read it, and knows nothing of how the program was planned or
written, so that one mistake cannot cancel itself.

The modules, in the order in which a program passes through them: ``paths`` (rows to motions, in columns), ``tips``
(where the tip of the cutter is that is in), ``compensation`` (programmed motions to those of the cutter's centre),
``turning`` (at which setting of the swivel base), ``limits``, ``handover``, ``cutter_change``, ``undriven``,
``travel`` and ``duration`` (what needs no job), ``table`` with ``rods`` (what the mill file says is on the table).
With a job, ``against_job``: ``in_the_way`` and ``edges`` (work that is turned and touched off), ``motions`` (one by
one), ``part`` (what is to be left), ``material`` with ``tiles`` (what stands), ``sweeps`` and ``trim`` (where the
cutter goes), ``meeting`` and ``overlay`` (what it meets and leaves), ``simulation`` (motion after motion) with
``rapids``, ``gouge``, ``fixture``, ``holder``, ``cutting`` with ``bite``, and ``backlash``, then ``leftover``,
``as_cut`` and ``tolerance_check`` (the part at the end). ``tolerances`` holds every tolerance with its reason,
``findings`` what comes out, ``report`` the JSON document.
"""

from polypocket.dryrun.cut_section import AsCut
from polypocket.dryrun.duration import seconds_of
from polypocket.dryrun.findings import Finding
from polypocket.dryrun.report import as_json
from polypocket.dryrun.run import DryRun, dry_run
from polypocket.dryrun.travel import AxisTravel
from polypocket.dryrun.watcher import Watcher

__all__ = ["AsCut", "AxisTravel", "DryRun", "Finding", "Watcher", "as_json", "dry_run", "seconds_of"]

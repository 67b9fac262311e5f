"""One fault planted, judged by the second way and by the dry run, and what came of it."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from difflib import unified_diff
from random import Random

from polypocket.dryrun import Finding
from polypocket.model.job import BlockJob
from polypocket.prove import dry_run_of_text
from tests.faults.ask_faults import ASK_FAULTS, NOTHING_ASKED
from tests.faults.harms import CODES, Harms
from tests.faults.interpreter import interpret
from tests.faults.judge import judge
from tests.faults.motions import CONTROLS, Alarm, Beyond, Reading
from tests.faults.nothing import NOTHING
from tests.faults.places import Planted
from tests.faults.planting import FAULTS, planted
from tests.faults.programs import DRIVEN, Good, program

__all__ = ["Trial", "alarm", "difference", "find", "harm", "outcome_of", "run", "trials"]

#: What a control that stops makes the reader say.
_ALARM_CODES = {
    "word": frozenset({"unread"}),
    "units": frozenset({"units", "unread"}),
    "feed": frozenset({"no-feed"}),
    "arc": frozenset({"arc-radius", "unread"}),
    "end": frozenset({"end"}),
    "tool": frozenset({"tool"}),
    "compensation": frozenset({"compensation", "unread"}),
    "undriven": frozenset({"travel"}),
    "driven": frozenset({"travel"}),
}
_ALARM = "alarm: "
#: Share of changes that change nothing.
_NOTHING_SHARE = 0.12
#: Places are the same within this, mm.
_SAME = 1e-9
_TRIES = 20
#: Up to this share of changes, those of what a person is asked come before others, on mills where one is.
_ASKS_SHARE = 0.65
#: Comments that a person may act upon, or not.
_DOUBTFUL = re.compile(r"\d|\b(SET|PUT|START|STOP|SPINDLE|SWIVEL|TURNS?|DIVISIONS|FROM)\b|^[XYZ]\b")
#: Programs of more characters get an eighth of the trials: they take as much time all the same.
_LONG = 6000


@dataclass
class Trial:
    """What came of one fault.

    Attributes:
        name: ``seed/turn``, or ``mills/seed/turn``, by which it can be run again.
        kind: of the fault.
        mills: of which kind the program is (``programs.KINDS``).
        harms: sure ones, by the second way.
        maybe: those that either answer is right for.
        found: codes that the dry run found, with a question mark those of warnings.
        outcome: ``caught``, ``mislabelled`` (a sure harm that no finding says), ``missed``, ``silent`` (no harm and
            nothing said), ``false alarm``, ``either`` (between the limits) or ``beyond`` (not worked out).
        told: the second way's account, the findings and the change itself.
    """

    name: str
    kind: str
    mills: str = DRIVEN
    harms: tuple[str, ...] = ()
    maybe: tuple[str, ...] = ()
    found: tuple[str, ...] = ()
    outcome: str = ""
    told: list[str] = field(default_factory=list)


def trials(seed: int, turns: int, mills: str = DRIVEN) -> Iterator[Trial]:
    """Run so many trials with the program of a seed, few with a long one; none where it has no good program."""
    if (good := program(seed, mills)) is not None:
        few = max(1, turns // 8) if len(good.text) > _LONG else turns
        yield from (run(seed, turn, mills) for turn in range(few))


def run(seed: int, turn: int, mills: str = DRIVEN) -> Trial:
    """Run one trial: the same one on every machine."""
    good = program(seed, mills)
    assert good is not None, f"seed {seed} has no good program"
    name = f"{seed}/{turn}" if mills == DRIVEN else f"{mills}/{seed}/{turn}"
    random = Random(name)
    kinds = _kinds(random, mills)
    for _ in range(_TRIES):
        kind = random.choice(kinds)
        if (change := planted(kind, good, random)) is not None:
            break
    else:
        raise AssertionError(f"{good.name} has no place for any fault")
    trial = Trial(name, kind, mills)
    same = _second_way(trial, good, change.text, change.job)
    findings = _findings(trial, good, change)
    find(trial, findings)
    trial.told += difference(good.text, change.text)
    trial.outcome = outcome_of(trial, same=same)
    return trial


def _kinds(random: Random, mills: str) -> list[str]:
    """Draw which kinds of change come into question."""
    share = random.random()
    if mills == DRIVEN:
        return list(NOTHING if share < _NOTHING_SHARE else FAULTS)
    if share < _NOTHING_SHARE:
        return [*NOTHING, *NOTHING_ASKED]
    return list(ASK_FAULTS if share < _ASKS_SHARE else FAULTS)


def _findings(trial: Trial, good: Good, change: Planted) -> Sequence[Finding]:
    """Return what the dry run finds.

    A control that stops is told of without looking at the work, which takes most of the time; with it nothing that was
    found before is lost. Only where that is not enough is the work looked at too.
    """
    texts, done = [*good.done, ("job.nc", change.text)], len(good.done)
    if trial.harms and trial.harms[0].startswith(_ALARM):
        findings = dry_run_of_text(texts, good.mill, None, good.post, done, mills=good.mills).findings
        if any(each.code in _ALARM_CODES[trial.harms[0].removeprefix(_ALARM)] for each in findings):
            return findings
    return dry_run_of_text(texts, good.mill, change.job, good.post, done, mills=good.mills).findings


def _second_way(trial: Trial, good: Good, text: str, job: BlockJob) -> bool:
    """Judge the text; whether it does exactly what the good one does."""
    try:
        reading = interpret(text, CONTROLS[good.post.name], good.hands)
    except Alarm as stop:
        alarm(trial, stop)
        return False
    except Beyond as beyond:
        trial.maybe = ("beyond",)
        trial.told.append(f"beyond: {beyond}")
        return False
    doubtful = any(
        remark not in good.reading.remarks and _DOUBTFUL.search(remark) for remark in reading.remarks
    )
    if job == good.job and _same(reading, good.reading) and not doubtful:
        return True
    harms = judge(reading, job, good.mill, good.before if job == good.job else None, good.stands)
    if doubtful:
        harms.maybe["doubtful"] = math.inf, 1
    harm(trial, harms)
    return False


def alarm(trial: Trial, stop: Alarm) -> None:
    """Keep that whoever reads the program stops."""
    trial.harms = (f"{_ALARM}{stop.kind}",)
    trial.told.append(f"alarm: {stop}")


def harm(trial: Trial, harms: Harms) -> None:
    """Keep the harms that were found by the second way."""
    trial.harms = tuple(sorted(harms.sure))
    trial.maybe = tuple(sorted(harms.maybe.keys() - harms.sure.keys()))
    trial.told += [f"sure: {name} {value:.4g}, line {line}" for name, (value, line) in harms.sure.items()]
    trial.told += [f"maybe: {name} {value:.4g}, line {line}" for name, (value, line) in harms.maybe.items()]


def find(trial: Trial, findings: Sequence[Finding]) -> None:
    """Keep what the dry run found."""
    trial.found = tuple(
        sorted({each.code if each.severity == "error" else f"{each.code}?" for each in findings})
    )
    trial.told += [f"{each.severity} {each.code}, line {each.line}: {each.message}" for each in findings]


def _same(one: Reading, other: Reading) -> bool:
    """Whether two programs move alike, in the same states."""
    if len(one.steps) != len(other.steps):
        return False
    states = [
        (
            each.cutters,
            each.changed,
            each.offsets,
            bool(each.unattended),
            bool(each.hands),
            [count for count, _ in each.waits],
            len(each.turning),
            bool(each.undone),
            bool(each.disputed),
            [setting[1:] for setting in each.settings],
            [repr(dial[1:]) for dial in each.dials],
            each.swivel,
            bool(each.turned_late),
            bool(each.turned_low),
            bool(each.hasty),
            bool(each.switched),
            each.blends,
            each.spinning,
        )
        for each in (one, other)
    ]
    return states[0] == states[1] and all(
        a.kind == b.kind and str(a.feed) == str(b.feed) and str(a.rpm) == str(b.rpm) and _near(a, b)
        for a, b in zip(one.steps, other.steps, strict=True)
    )


def _near(a: object, b: object) -> bool:
    def flat(step: object) -> list[float | None]:
        return [*step.start, *step.end, *(step.centre or ())]  # type: ignore[attr-defined]

    return all(
        x is y or (x is not None and y is not None and abs(x - y) < _SAME)
        for x, y in zip(flat(a), flat(b), strict=True)
    )


def outcome_of(trial: Trial, *, same: bool) -> str:
    """Return what came of a trial whose harms and findings are known; ``same`` tells that nothing was changed."""
    found = set(trial.found)
    if trial.maybe == ("beyond",):
        return "beyond"
    if trial.harms:
        wanted = [
            _ALARM_CODES[harm.removeprefix(_ALARM)] if harm.startswith(_ALARM) else CODES[harm]
            for harm in trial.harms
        ]
        if all(codes & found for codes in wanted):
            return "caught"
        return "mislabelled" if found else "missed"
    if not found:
        return "silent"
    may = frozenset().union(*(CODES[harm] for harm in trial.maybe)) if trial.maybe else frozenset()
    return "either" if found <= may and not same else "false alarm"


def difference(good: str, text: str) -> list[str]:
    """Return the first lines that were changed."""
    lines = unified_diff(good.split("\n"), text.split("\n"), "good", "changed", n=1, lineterm="")
    return list(lines)[:24]

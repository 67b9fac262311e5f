"""Expected programs in fixtures/programs. `python tests/golden.py` writes them anew; read the difference then."""

from __future__ import annotations

from pathlib import Path

from polypocket.model.files import load_job, load_mill
from polypocket.prove import post_for, prove, require_fit

ROOT = Path(__file__).parents[1]
PROGRAMS = ROOT / "fixtures" / "programs"

#: Job, mill, dialect.
EXPECTED = [
    ("shared/jobs/valve_stem_block.toml", "knee-mill-3-axis", "rs274ngc"),
    ("shared/jobs/hydrant_key_block.toml", "knee-mill-ballscrews", "iso6983"),
    ("fixtures/jobs/gate_key.toml", "knee-mill-3-axis", "rs274ngc"),
    ("fixtures/jobs/gate_key.toml", "knee-mill-ballscrews", "iso6983"),
    ("fixtures/jobs/gate_key.toml", "knee-mill-3-axis", "lean"),
    ("fixtures/jobs/gate_key.toml", "fixtures/mills/tape_mill.toml", "rs274d"),
    ("fixtures/jobs/sluice_key.toml", "knee-mill-ballscrews", "iso6983"),
    ("fixtures/jobs/sluice_key.toml", "fixtures/mills/changer.toml", "rs274ngc"),
    ("fixtures/jobs/penstock_key.toml", "knee-mill-table-drive", "lean"),
]


def texts_of(job: str, mill: str, post: str) -> dict[Path, str]:
    """Return the text of each program of a job, by the file in which it is expected."""
    block, machine = load_job(ROOT / job), load_mill(ROOT / mill if mill.endswith(".toml") else mill)
    require_fit(block, machine, job)
    proof = prove(block, machine, post_for(machine, post), f"{Path(job).stem}.{post}.nc")
    assert proof.verdict.ok, proof.verdict.findings
    return {PROGRAMS / part.name: part.text for part in proof.parts}


if __name__ == "__main__":
    for job, mill, post in EXPECTED:
        for path, text in texts_of(job, mill, post).items():
            path.write_text(text, encoding="utf-8")
            print(path.relative_to(ROOT))

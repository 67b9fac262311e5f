"""A mill that is worked by hand, and the sheet of the gauge block on it."""

from __future__ import annotations

import pytest

from polypocket.model.files import load_mill
from polypocket.model.mill import Mill
from tests.prove.sheets import job_with, proof_of


@pytest.fixture(scope="module")
def mill() -> Mill:
    return load_mill("knee-mill-by-hand")


@pytest.fixture(scope="module")
def sheet(mill: Mill) -> str:
    return proof_of(job_with(), mill).parts[0].text

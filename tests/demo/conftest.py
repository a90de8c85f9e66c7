"""One small invented club, built once; tests look at it and leave its records as they are."""

from __future__ import annotations

from datetime import date

import pytest

from checklist.demo.building import build
from checklist.demo.club import Club


@pytest.fixture(scope="session")
def club(tmp_path_factory: pytest.TempPathFactory) -> Club:
    return build(tmp_path_factory.mktemp("invented") / "club", whole_year=False)


@pytest.fixture(scope="session")
def other(tmp_path_factory: pytest.TempPathFactory) -> Club:
    """Return a club of another seed, with another year."""
    folder = tmp_path_factory.mktemp("other") / "club"
    return build(folder, seed=8, last_day=date(2027, 3, 1), whole_year=False)

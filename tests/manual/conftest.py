"""One small invented club, built once for the pictures and the commands of the pages."""

from __future__ import annotations

import pytest

from checklist.demo.building import build
from checklist.demo.club import Club


@pytest.fixture(scope="session")
def club(tmp_path_factory: pytest.TempPathFactory) -> Club:
    return build(tmp_path_factory.mktemp("invented") / "club", whole_year=False)

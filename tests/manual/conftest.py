"""The invented club as a reader of the manual builds it, once for its pictures and commands."""

from __future__ import annotations

import pytest

from checklist.demo.building import build
from checklist.demo.club import Club


@pytest.fixture(scope="session")
def club(tmp_path_factory: pytest.TempPathFactory) -> Club:
    return build(tmp_path_factory.mktemp("reader") / "invented")

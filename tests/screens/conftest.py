"""A desk on a fresh log folder for every test, and the app on it."""

from __future__ import annotations

from pathlib import Path

import pytest

from checklist.record.files.clock import RealClock
from checklist.record.files.disk import RealDisk
from checklist.screens.app import StandclearApp
from checklist.sessions.desk import Desk


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return Desk(tmp_path / "logs", RealDisk(), RealClock())


@pytest.fixture
def app(desk: Desk) -> StandclearApp:
    return StandclearApp(desk)

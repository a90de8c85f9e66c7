"""A desk on a fresh log folder for every test, the app on it, and a folder with records."""

from __future__ import annotations

from pathlib import Path

import pytest

from checklist.commands.stationfile import new_station
from checklist.record.files.clock import RealClock
from checklist.record.files.disk import RealDisk
from checklist.record.journals.seal import Signing
from checklist.screens.app import StandclearApp
from checklist.sessions.closing import seal_walk
from checklist.sessions.desk import Desk
from checklist.sessions.opening import begin
from checklist.walk.entry import read_answer
from tests.record.making import person


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return Desk(tmp_path / "logs", RealDisk(), RealClock())


@pytest.fixture
def app(desk: Desk) -> StandclearApp:
    return StandclearApp(desk)


@pytest.fixture(scope="module")
def club(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder with a sealed walk, one that was left, two locks that hang, a station."""
    base = tmp_path_factory.mktemp("club")
    desk = Desk(base / "logs", RealDisk(), RealClock())
    session = begin(desk, "tower-work").session
    rules = session.walk.rule_file
    while (state := session.progress().next_open) is not None:
        typed = rules.examples[0].answers[state.step.id]
        session.answer(state.step.id, read_answer(state.step, typed, instrument="number 2"))
    roles = zip(("Wren Holloway", "Tamsin Oakes"), rules.signers, strict=False)
    keys = [Signing(name, str(role), person(desk.folder, name)) for name, role in roles]
    seal_walk(session, keys)
    left = begin(desk, "emergency-power").session
    crew = ["Wren Holloway, in charge", "Tamsin Reed, helper"]
    left.answer("crew", read_answer(left.walk.rule_file.step("crew"), crew))
    left.close()
    new_station(desk, base / "station.yaml", as_json=True)
    return base

"""The step that takes the station file, in the walk: path in, finding on the screen."""

from __future__ import annotations

import threading
import time
from pathlib import Path

import pytest

from checklist.calculations.exposure import evaluate
from checklist.screens.app import StandclearApp
from checklist.screens.walking.field import Field
from checklist.screens.walking.form import Form
from checklist.screens.walking.walk import WalkScreen
from checklist.station import findings
from checklist.stopping import go_on
from tests.screens.driving import text_of, until, wait_for
from tests.sessions.evaluations import NAME, desk_for_evaluation, station_at


def type_path(walk: WalkScreen, path: str) -> None:
    form = walk.query_one("#entry").query_one(Form)
    form.query_one(Field).value = path
    form.submit()


@pytest.mark.parametrize("size", [(80, 24), (130, 40)])
async def test_finding_stands_on_the_screen(tmp_path: Path, size: tuple[int, int]) -> None:
    """A wrong path is said and asked again; the right one gives the finding, off the loop."""
    app = StandclearApp(desk_for_evaluation(tmp_path), begin=NAME)
    async with app.run_test(size=size) as pilot:
        walk = await wait_for(pilot, WalkScreen)
        type_path(walk, str(tmp_path / "gone.yaml"))
        await until(pilot, lambda: "there is no such file" in text_of(app), "the wrong path")
        type_path(walk, str(station_at(tmp_path)))
        await until(pilot, lambda: len(walk.session.walk.events) == 1, "the answer")
        await until(pilot, lambda: "in the network" in text_of(app), "the next step")
        await walk.action_step(-1)
        await until(pilot, lambda: "SHA-256" in text_of(app), "the step before")
        seen = text_of(app)

    assert "station file station.yaml, SHA-256" in seen
    assert "WITHIN the limits that were compared" in seen
    assert "The whole station: within" in seen
    assert " safe" not in seen


async def test_it_is_worked_out_beside_the_screen(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """While the engine works the screen says so and still takes keys."""
    may_end = threading.Event()

    def slow(*given: object) -> object:
        may_end.wait(20)
        return evaluate(*given)  # type: ignore[arg-type]  # handed through as it came

    monkeypatch.setattr(findings, "evaluate", slow)
    app = StandclearApp(desk_for_evaluation(tmp_path), begin=NAME)
    async with app.run_test(size=(80, 24)) as pilot:
        walk = await wait_for(pilot, WalkScreen)
        type_path(walk, str(station_at(tmp_path)))
        await until(pilot, lambda: "Working it out" in text_of(app), "the word that it works")
        assert walk.session.walk.events == ()

        may_end.set()
        await until(pilot, lambda: len(walk.session.walk.events) == 1, "the answer")


async def test_escape_ends_it_and_nothing_of_it_is_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The first Escape ends the engine itself: no answer, no kept file, still at the step.

    A second answer meanwhile is not taken; afterwards the same path is.
    """
    runs: list[int] = []
    is_endless = [True]

    def endless(*given: object) -> object:
        runs.append(1)
        while is_endless[0]:
            go_on()
            time.sleep(0.01)
        return evaluate(*given)  # type: ignore[arg-type]  # handed through as it came

    monkeypatch.setattr(findings, "evaluate", endless)
    app = StandclearApp(desk_for_evaluation(tmp_path), begin=NAME)
    async with app.run_test(size=(80, 24)) as pilot:
        walk: WalkScreen = await wait_for(pilot, WalkScreen)
        type_path(walk, str(station_at(tmp_path)))
        await until(pilot, lambda: "Esc stops it" in text_of(app), "how it is stopped")
        type_path(walk, str(station_at(tmp_path)))
        await pilot.pause()
        await pilot.press("escape")
        await until(pilot, lambda: "it was stopped" in text_of(app), "that it is stopped")

        assert id(app.screen) == id(walk)
        assert walk.session.walk.events == ()
        assert len(runs) == 1
        assert list((app.desk.folder.path / "attachments").iterdir()) == []

        is_endless[0] = False
        type_path(walk, str(station_at(tmp_path)))
        await until(pilot, lambda: len(walk.session.walk.events) == 1, "the answer")

"""RF exposure in the screens: by keyboard alone, at 80x24 and larger, and never in a key's way."""

from __future__ import annotations

import asyncio
import threading
from pathlib import Path

import pytest
from textual.pilot import Pilot

from checklist.caution import BANNER
from checklist.errors import StandclearError
from checklist.pictures.maps import Cut
from checklist.screens.app import StandclearApp
from checklist.screens.asking import AskForm
from checklist.screens.home import HomeScreen
from checklist.screens.stations import exposure, exposureshowing
from checklist.screens.stations.exposure import ExposureScreen
from checklist.screens.walking.field import Field
from checklist.sessions.desk import Desk
from checklist.sessions.stations.exposing import Described, Exposed, Progress, expose
from checklist.sessions.stations.laststation import known_stations, remember_station
from checklist.stopping import Stopped
from tests.screens.driving import text_of, wait_for
from tests.station.example import changed_example

SIZES = [(80, 24), (130, 40)]
NEARER = ("at: [18 m, 4 m, 0 m]", "at: [3 m, 0 m, 12 m]")


@pytest.fixture
def station(tmp_path: Path) -> Path:
    path = tmp_path / "station.yaml"
    path.write_text(changed_example(), "utf-8")
    return path


async def settled(pilot: Pilot[None], screen: ExposureScreen) -> str:
    """Wait until nothing is being found, and return what stands on the terminal."""
    await pilot.pause()
    await pilot.pause(0.02)
    for _ in range(1000):
        if not screen.is_finding:
            await pilot.pause()
            assert isinstance(pilot.app, StandclearApp)
            return text_of(pilot.app)
        await pilot.pause(0.01)
    raise AssertionError("the screen goes on working")


async def opened(pilot: Pilot[None], path: Path | str) -> ExposureScreen:
    """Open the screen from home by its key, and give it the file."""
    await wait_for(pilot, HomeScreen)
    await pilot.press("e")
    asking = await wait_for(pilot, AskForm)
    asking.query_one(Field).value = str(path)
    await pilot.press("enter")
    screen = await wait_for(pilot, ExposureScreen)
    assert isinstance(screen, ExposureScreen)
    return screen


@pytest.mark.parametrize("size", SIZES)
async def test_every_tab_from_home_and_back(
    app: StandclearApp, station: Path, size: tuple[int, int]
) -> None:
    """e, the path, then one key for places, map, plots, remedies, basis; Esc leads home."""
    async with app.run_test(size=size) as pilot:
        screen = await opened(pilot, station)
        tabs = {"p": await settled(pilot, screen)}
        for key in "mcrb":
            await pilot.press(key)
            tabs[key] = await settled(pilot, screen)
        await pilot.press("escape")
        await wait_for(pilot, HomeScreen)

    assert "within  operating-desk: 1.50 % of the limit" in tabs["p"]
    assert "Plan 2 m above the ground" in tabs["m"]
    assert "+ - zoom" in tabs["m"]
    assert "Share of the limit from mast-vertical toward operating-desk" in tabs["c"]
    assert "The share of no place is over the limit, near it, or not shown." in tabs["r"]
    assert "Exemption from routine evaluation, 47 CFR 1.1307(b)(3)" in tabs["b"]
    for text in tabs.values():
        assert BANNER in text
        assert "SOMEONE IS HURT" in text
        assert len(text.splitlines()) == size[1]
        assert text.splitlines()[0].rstrip().endswith("within")


@pytest.mark.parametrize("size", SIZES)
async def test_the_map_fits_and_its_keys_change_it(
    app: StandclearApp, station: Path, size: tuple[int, int]
) -> None:
    """All cells with both axes stand on the terminal; + - [ ] v and the arrows move the view."""
    async with app.run_test(size=size) as pilot:
        screen = await opened(pilot, station)
        await settled(pilot, screen)
        await pilot.press("m")
        first = await settled(pilot, screen)
        before = screen.looked.view
        await pilot.press("plus", "right_square_bracket", "right", "up")
        changed = await settled(pilot, screen)
        after = screen.looked.view
        await pilot.press("v")
        cut = await settled(pilot, screen)

    assert before is not None
    assert after is not None
    assert "west to east, m" in first
    assert all(f"{mark}...." in first for mark in "AB")
    assert after.half_m == before.half_m / 2
    assert after.height_m == before.height_m + 0.5
    assert after.x_m > before.x_m
    assert after.y_m > before.y_m
    assert "Plan 2.5 m above the ground" in changed
    assert screen.looked.view is not None
    assert screen.looked.view.cut is Cut.WEST_EAST
    assert "Section from west to east" in cut
    assert "west to east, m" in cut


async def test_plots_follow_one_another(app: StandclearApp, station: Path) -> None:
    """The key n shows each place's plot, then the limits over frequency, then the first again."""
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await opened(pilot, station)
        await settled(pilot, screen)
        await pilot.press("c")
        seen = [await settled(pilot, screen)]
        for _ in range(3):
            await pilot.press("n")
            seen.append(await settled(pilot, screen))

    assert "toward track" in seen[1]
    assert "Limits of 47 CFR 1.1310, table 1" in seen[2]
    assert seen[3] == seen[0]


async def test_a_saved_change_is_evaluated_and_an_error_leaves_no_old_result(
    app: StandclearApp, station: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Saved in an editor: over and its remedies stand there; a fault: a sentence, no old result."""
    monkeypatch.setattr(exposure, "_LOOK_AGAIN_S", 0.05)
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await opened(pilot, station)
        await settled(pilot, screen)
        station.write_text(changed_example(NEARER), "utf-8")
        over = await _until(pilot, screen, "OVER: stop")
        await pilot.press("r")
        remedies = await _until(pilot, screen, "each of these alone")
        station.write_text(changed_example(("kind: by-gain", "kind: by-guess")), "utf-8")
        wrong = await _until(pilot, screen, "cannot be evaluated")
        station.unlink()
        gone = await _until(pilot, screen, "no such file")

    assert "451 % of the limit" in over
    assert "beacon-test: at most" in remedies
    assert "station.yaml, line" in wrong
    assert "%" not in wrong
    assert "%" not in gone


async def _until(pilot: Pilot[None], screen: ExposureScreen, words: str) -> str:
    for _ in range(500):
        text = text_of(screen.app)
        if words in text:
            return text
        await pilot.pause(0.02)
    raise AssertionError(text_of(screen.app))


async def test_the_path_is_remembered_and_a_wrong_one_asked_again(
    app: StandclearApp, station: Path, desk: Desk
) -> None:
    """A path that leads nowhere is said and asked again; a good one stands there next time."""
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_for(pilot, HomeScreen)
        await pilot.press("e")
        asking = await wait_for(pilot, AskForm)
        asking.query_one(Field).value = str(station) + "x"
        await pilot.press("enter")
        for _ in range(100):
            if pilot.app.screen is not asking and isinstance(pilot.app.screen, AskForm):
                break
            await pilot.pause(0.02)
        again = await wait_for(pilot, AskForm)
        said = text_of(app)
        again.query_one(Field).value = str(station)
        await pilot.press("enter")
        screen = await wait_for(pilot, ExposureScreen)
        await settled(pilot, screen)
        await pilot.press("escape")
        await wait_for(pilot, HomeScreen)
        await pilot.press("e")
        asking = await wait_for(pilot, AskForm)
        value = asking.query_one(Field).value

    assert "there is no such file" in said
    assert value == str(station)
    assert known_stations(desk.folder)[0] == str(station)


async def test_the_first_escape_stops_the_evaluation_and_the_second_leaves(
    app: StandclearApp, station: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """While it is found, progress is said and tabs change; stopped: nothing shown; g begins anew.

    The thread that was left behind ends at its next step.
    """
    go_on, ended = threading.Event(), threading.Event()

    def slow(described: Described, progress: Progress) -> Exposed:
        progress("places", 1, 2)
        if not go_on.wait(20):
            raise AssertionError("nobody let it go on")
        try:
            progress("places", 2, 2)
        except StandclearError:
            ended.set()
            raise
        return expose(described, progress)

    monkeypatch.setattr(exposureshowing, "expose", slow)
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await opened(pilot, station)
        said = await _until(pilot, screen, "[##########----------] 1 of 2")
        await pilot.press("b")
        tab = screen.looked.tab
        await pilot.press("escape")
        stopped = text_of(app)
        go_on.set()
        has_ended = await asyncio.to_thread(ended.wait, 10)
        await pilot.pause(0.1)
        still = text_of(app)
        await pilot.press("p", "g")
        again = await _until(pilot, screen, "within  operating-desk: ")
        await pilot.press("escape")
        await wait_for(pilot, HomeScreen)

    assert "being evaluated" in said
    assert "Esc stops" in said
    assert tab == "basis"
    for text in (stopped, still):
        assert "stopped: nothing shown" in text
        assert "within" not in text.replace("within reach", "")
    assert has_ended
    assert "stopped" not in again


async def test_escape_ends_the_engine_itself(
    app: StandclearApp, station: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A thread that tells of no progress ends too, since the engine asks wherever it is at work.

    Within 2 s, however loaded the machine; without the question it would go on for ever.
    """
    begun, ended = threading.Event(), threading.Event()

    def endless(described: Described, progress: Progress) -> Exposed:
        begun.set()
        try:
            while True:
                expose(described, lambda what, done, of: None)
        except Stopped:
            ended.set()
            raise

    monkeypatch.setattr(exposureshowing, "expose", endless)
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await opened(pilot, station)
        await asyncio.to_thread(begun.wait, 10)
        ran_on = not ended.is_set()
        await pilot.press("escape")
        has_ended = await asyncio.to_thread(ended.wait, 2)
        await pilot.pause(0.05)
        text = text_of(app)
        is_there = app.screen is screen

    assert ran_on
    assert has_ended
    assert is_there
    assert "stopped: nothing shown" in text
    assert "within" not in text


async def test_leaving_while_something_is_found_harms_nothing(
    app: StandclearApp, station: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Esc twice leads home at once; what comes back later finds no screen and says nothing."""
    go_on = threading.Event()

    def slow(described: Described, progress: Progress) -> Exposed:
        progress("places", 1, 2)
        go_on.wait(20)
        return expose(described, progress)

    monkeypatch.setattr(exposureshowing, "expose", slow)
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await opened(pilot, station)
        await _until(pilot, screen, "1 of 2")
        await pilot.press("escape", "escape")
        await wait_for(pilot, HomeScreen)
        go_on.set()
        await pilot.pause(0.1)
        home = text_of(app)

    assert "BEGIN" in home


def test_a_note_that_holds_something_else_is_no_path(desk: Desk, station: Path) -> None:
    """A damaged note gives an empty field, never an error; the next file mends it."""
    remember_station(desk.folder, station)
    (note,) = desk.logs.glob("last-station*")
    for text in ("{", "[]", '{"station": 5}', '{"station": "a\\u001b[2Jb"}', "\udcff"):
        note.write_bytes(text.encode("utf-8", "surrogateescape"))

        assert known_stations(desk.folder) == ()
    remember_station(desk.folder, station)

    assert known_stations(desk.folder)[0] == str(station)

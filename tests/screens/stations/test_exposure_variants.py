"""Variants on the exposure screen: remedies and typed values, side by side, kept as a file."""

from __future__ import annotations

import asyncio
import re
import threading
import time
from pathlib import Path

import pytest
from textual.pilot import Pilot

from checklist.screens.app import StandclearApp
from checklist.screens.asking import AskForm, AskYes
from checklist.screens.stations import exposureshowing
from checklist.screens.stations.exposure import ExposureScreen
from checklist.screens.stations.exposuretyping import ChooseValue
from checklist.screens.walking.field import Field
from checklist.sessions.stations.exposing import Described, Exposed, Progress, expose, remedies_for
from checklist.sessions.variants.kept import VariantSet
from tests.screens.driving import text_of, until, wait_for
from tests.screens.stations.test_exposure import NEARER, SIZES, opened, settled
from tests.station.example import changed_example


@pytest.fixture
def station(tmp_path: Path) -> Path:
    """Write a station that is over at its track: 451 % by the beacon."""
    path = tmp_path / "station.yaml"
    path.write_text(f"# Kept.\n{changed_example(NEARER)}", "utf-8")
    return path


def kept_by(screen: ExposureScreen) -> VariantSet:
    """Return the variants of a screen that has read its file."""
    assert screen.kept is not None
    return screen.kept


async def choose(pilot: Pilot[None], screen: ExposureScreen, part: str) -> None:
    """Open the line for the first value that has these words."""
    await pilot.press("t")
    choosing = await wait_for(pilot, ChooseValue)
    choosing.query_one(Field).value = part
    await pilot.pause()
    await pilot.press("enter")
    await until(pilot, lambda: screen.is_typing, "the line is open")


async def type_in(pilot: Pilot[None], screen: ExposureScreen, text: str) -> str:
    """Put a text into the line, wait until it has been tried, and return the screen."""
    screen.line.query_one(Field).value = text
    await pilot.pause(0.35)
    return await settled(pilot, screen)


async def try_first(pilot: Pilot[None], screen: ExposureScreen) -> str:
    """Try the first remedy on what is shown, and return the screen."""
    await pilot.press("r")
    await settled(pilot, screen)
    await pilot.press("1")
    return await settled(pilot, screen)


def share_of(screen: ExposureScreen, place: str) -> float:
    """Return the share at a place for what is shown."""
    assert screen.exposed is not None
    found = next(r for r in screen.exposed.evaluation.places if r.place.name == place)
    assert found.total.fraction is not None
    return found.total.fraction


@pytest.mark.parametrize("size", SIZES)
async def test_one_key_tries_a_remedy_and_the_table_has_both(
    app: StandclearApp, station: Path, size: tuple[int, int]
) -> None:
    """r, then 1: the station is over beside variant 1, within, and what it costs."""
    async with app.run_test(size=size) as pilot:
        screen = await opened(pilot, station)
        await settled(pilot, screen)
        table = await try_first(pilot, screen)
        share = share_of(screen, "track")
        await pilot.press("left")
        back = await settled(pilot, screen)

    assert screen.looked.tab == "side by side"
    assert "as it is" in table
    assert "> variant 1" in table
    assert "451 % OVER" in table
    assert re.search(r"track +\| 451 % OVER +\| 50\.0 % within", table)
    assert "9.6 dB less power (22.2 W)" in table
    assert share <= 0.5
    assert table.splitlines()[0].rstrip().endswith("within")
    assert back.splitlines()[0].rstrip().endswith("OVER: stop")
    assert "> as it is" in back


async def test_the_page_is_of_what_is_looked_at(
    app: StandclearApp, station: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """F4 prints the file as it is saved, and with a variant on the screen that variant."""
    asked: list[str] = []
    monkeypatch.setattr(app, "put_on_paper", lambda *sheets: asked.extend(s[0] for s in sheets))
    async with app.run_test(size=SIZES[0]) as pilot:
        screen = await opened(pilot, station)
        await settled(pilot, screen)
        await pilot.press("f4")
        await try_first(pilot, screen)
        await pilot.press("f4")

    assert asked == ["evaluation station", "evaluation station variant 1"]


async def test_the_mark_and_enter_try_a_remedy_on_top_of_a_variant(
    app: StandclearApp, station: Path
) -> None:
    """Half of the power is not enough: a remedy sought on top of it keeps that half."""
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await opened(pilot, station)
        await settled(pilot, screen)
        await choose(pilot, screen, "beacon-test power")
        await type_in(pilot, screen, "12.5 W")
        await pilot.press("enter")
        await settled(pilot, screen)
        half = share_of(screen, "track")
        await pilot.press("r")
        await settled(pilot, screen)
        await pilot.press("down", "down", "enter")
        text = await settled(pilot, screen)
        steps = [step.says for step in kept_by(screen).shown.steps]

    assert half == pytest.approx(4.507 / 2, rel=1e-3)
    assert steps[0] == "beacon-test: power 12.5 W instead of 25 W"
    assert steps[1].startswith("mast-vertical: height ")
    assert "> variant 2" in text
    assert share_of(screen, "track") <= 0.5


async def test_the_map_follows_while_a_value_is_typed(app: StandclearApp, station: Path) -> None:
    """Each text anew: more cells over the limit with more gain; Esc brings the old map back."""
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await opened(pilot, station)
        await settled(pilot, screen)
        await pilot.press("m")
        before = await settled(pilot, screen)
        await choose(pilot, screen, "mast-vertical gain")
        more = await type_in(pilot, screen, "9 dBi")
        less = await type_in(pilot, screen, "-10 dBi")
        await pilot.press("escape")
        await until(pilot, lambda: text_of(app) == before, "the old map")
        after = await settled(pilot, screen)

    def over(text: str) -> int:
        rows = [row.split("|", 1)[1] for row in text.splitlines()[2:16] if "|" in row]
        return sum(row.count(mark) for row in rows for mark in "234")

    assert over(more) > over(before) > over(less)
    assert "as typed: map" in more
    assert "tried: 9 dBi (6.85 dBd)" in more
    assert after == before
    assert kept_by(screen).typed is None


@pytest.mark.parametrize(
    ("part", "text", "says"),
    [
        ("dipole-40 height", "50 ft", "tried: 50 ft (15.2 m)"),
        ("track distance", "20 m", "tried: 20 m (65.6 ft)"),
        ("dipole-40 heading", "45 deg", "tried: 45 deg"),
        ("beacon-test duty", "20 %", "tried: 20 %"),
        ("beacon-test overs", "1 min in 6 min", "tried: 1 min in 6 min"),
        ("beacon-test mode", "CW", "tried: CW"),
    ],
)
async def test_every_kind_of_value_can_be_typed(
    app: StandclearApp, station: Path, part: str, text: str, says: str
) -> None:
    """Lengths are said in feet and metres; the picture is that of the typed value."""
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await opened(pilot, station)
        await settled(pilot, screen)
        await choose(pilot, screen, part)
        seen = await type_in(pilot, screen, text)
        variant = kept_by(screen).shown

    assert says in " ".join(seen.split())
    assert variant.name == "as typed"
    assert len(variant.steps) == 1
    assert len(seen.splitlines()) == 24


async def test_a_wrong_value_is_said_and_shows_the_station_as_it_is(
    app: StandclearApp, station: Path
) -> None:
    """One sentence, name and word first; nothing of the text before it is left standing."""
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await opened(pilot, station)
        await settled(pilot, screen)
        await choose(pilot, screen, "beacon-test power")
        low = await type_in(pilot, screen, "1 W")
        wrong = await type_in(pilot, screen, "1 Wx")
        too_much = await type_in(pilot, screen, "300 W")
        await pilot.press("enter")
        kept = await settled(pilot, screen)
        is_open = screen.is_typing

    assert low.splitlines()[0].rstrip().endswith("within")
    assert "beacon-test, power: “Wx” is not a unit known here." in " ".join(wrong.split())
    assert wrong.splitlines()[0].rstrip().endswith("OVER: stop")
    assert "300 W is more than the 100 W that desk-rig gives" in " ".join(too_much.split())
    assert "300 W is more than" in " ".join(kept.split())
    assert kept_by(screen).variants == []
    assert is_open


async def test_the_last_text_wins_and_the_run_before_it_is_stopped(
    app: StandclearApp, station: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Typed on while the first is found: its thread ends by itself, the second is shown."""
    first, stopped = threading.Event(), threading.Event()

    def slow(described: Described, progress: Progress) -> Exposed:
        watts = {e.name: e.power_w for e in described.scene.emissions}["beacon-test"]
        if watts == 2:
            first.set()
            for _ in range(400):
                time.sleep(0.02)
                try:
                    progress("places", 0, 2)
                except Exception:
                    stopped.set()
                    raise
        return expose(described, progress)

    async with app.run_test(size=(80, 24)) as pilot:
        screen = await opened(pilot, station)
        await settled(pilot, screen)
        monkeypatch.setattr(exposureshowing, "expose", slow)
        await choose(pilot, screen, "beacon-test power")
        screen.line.query_one(Field).value = "2 W"
        await until(pilot, first.is_set, "the first is being found")
        begun = time.monotonic()
        screen.line.query_one(Field).value = "2.5 W"
        await pilot.pause(0.35)
        await settled(pilot, screen)
        is_stopped = await asyncio.to_thread(stopped.wait, 5)
        lasted = time.monotonic() - begun

    assert is_stopped
    assert lasted < 4
    assert kept_by(screen).shown.steps[0].says.startswith("beacon-test: power 2.5 W")
    assert share_of(screen, "track") == pytest.approx(4.507 / 10, rel=1e-3)


async def test_tab_leads_from_the_line_to_the_keys_and_t_back(
    app: StandclearApp, station: Path
) -> None:
    """The picture can be changed while a value is being tried."""
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await opened(pilot, station)
        await settled(pilot, screen)
        await choose(pilot, screen, "mast-vertical gain")
        await type_in(pilot, screen, "0 dBi")
        await pilot.press("tab", "c")
        plots = await settled(pilot, screen)
        await pilot.press("s")
        table = await settled(pilot, screen)
        await pilot.press("t")
        await pilot.pause()
        is_back = app.focused is screen.line.query_one(Field)

    assert "as typed: plots" in plots
    assert "Share of the limit" in plots
    assert "> as typed" in table
    assert is_back


async def test_esc_stops_a_search_for_remedies_at_once(
    app: StandclearApp, station: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Within a tenth of a second it is said; the places stay, for they were found; g goes on."""
    go_on = threading.Event()

    def slow(exposed: Exposed, share: float | None, progress: Progress) -> object:
        progress("remedies", 0, 1)
        go_on.wait(20)
        return remedies_for(exposed, share, progress)

    monkeypatch.setattr(exposureshowing, "remedies_for", slow)
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await opened(pilot, station)
        await settled(pilot, screen)
        await pilot.press("r")
        await until(pilot, lambda: "remedies [" in text_of(app), "progress")
        begun = time.monotonic()
        await pilot.press("escape")
        stopped = text_of(app)
        lasted = time.monotonic() - begun
        go_on.set()
        await pilot.press("p")
        places = await settled(pilot, screen)
        await pilot.press("r")
        remedies = await settled(pilot, screen)

    assert "stopped: nothing shown; g begins again" in stopped
    assert lasted < 1
    assert "track: over, 451 %" in places
    assert "> 1  beacon-test: at most" in remedies


async def test_a_variant_is_dropped_and_its_number_is_not_given_again(
    app: StandclearApp, station: Path
) -> None:
    """D drops what is looked at; on the station as it is, d does nothing."""
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await opened(pilot, station)
        await settled(pilot, screen)
        for _ in range(2):
            kept_by(screen).current = 0
            await try_first(pilot, screen)
        await pilot.press("d")
        text = await settled(pilot, screen)
        names = [v.name for v in kept_by(screen).every]
        await pilot.press("left", "d")
        await settled(pilot, screen)

    assert names == ["as it is", "variant 1"]
    assert "variant 2 was dropped" in text
    assert [v.name for v in kept_by(screen).every] == names


async def test_a_variant_is_written_under_a_new_name_and_never_over_without_asking(
    app: StandclearApp, station: Path
) -> None:
    """O offers a name beside the station; the same name again asks, and no leaves it alone."""
    new = station.with_name("station-variant-1.yaml")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await opened(pilot, station)
        await settled(pilot, screen)
        await try_first(pilot, screen)
        await pilot.press("o")
        asking = await wait_for(pilot, AskForm)
        offered = asking.query_one(Field).value
        await pilot.press("enter")
        await until(pilot, lambda: "was written" in text_of(app), "written")
        new.write_text("precious", "utf-8")
        await pilot.press("o")
        await wait_for(pilot, AskForm)
        await pilot.press("enter")
        await wait_for(pilot, AskYes)
        await pilot.press("escape")
        await wait_for(pilot, ExposureScreen)
        left = new.read_text("utf-8")
        await pilot.press("o")
        await wait_for(pilot, AskForm)
        await pilot.press("enter")
        await wait_for(pilot, AskYes)
        await pilot.press("y")
        await until(pilot, lambda: new.read_text("utf-8") != "precious", "written over")

    text = new.read_text("utf-8")
    assert offered == str(new)
    assert left == "precious"
    assert text.startswith("# Kept.\n")
    assert "power: 2.77 W" in text
    assert "power: 25 W" in station.read_text("utf-8")


async def test_variants_are_carried_over_when_the_file_is_saved(
    app: StandclearApp, station: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The station saved with twice the gain: the variant stands on it, evaluated again."""
    monkeypatch.setattr("checklist.screens.stations.exposure._LOOK_AGAIN_S", 0.05)
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await opened(pilot, station)
        await settled(pilot, screen)
        await try_first(pilot, screen)
        before = share_of(screen, "track")
        text = station.read_text("utf-8").replace("gain: 3 dBd", "gain: 6 dBd")
        station.write_text(text, "utf-8")
        await until(pilot, lambda: "99.7 %" in text_of(app) or "99.8 %" in text_of(app), "again")

    assert share_of(screen, "track") == pytest.approx(before * 10**0.3, rel=1e-3)
    assert kept_by(screen).shown.name == "variant 1"


async def test_no_colour_is_needed(
    app: StandclearApp, station: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With NO_COLOR everything is still said in words and marks."""
    monkeypatch.setenv("NO_COLOR", "1")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await opened(pilot, station)
        await settled(pilot, screen)
        await pilot.press("r")
        remedies = await settled(pilot, screen)
        await pilot.press("2")
        table = await settled(pilot, screen)

    assert "> 1  " in remedies
    assert "> variant 1" in table
    assert "OVER" in table
    assert "within" in table

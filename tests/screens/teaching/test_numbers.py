"""The numbers that the checks rest on, in the screens: by keyboard alone, at 80x24 and larger."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.pilot import Pilot

from checklist.caution import BANNER
from checklist.screens.app import StandclearApp
from checklist.screens.home import HomeScreen
from checklist.screens.teaching.numbers import NumberScreen, NumbersScreen
from checklist.sessions.desk import Desk
from tests.rulebook.clubs import lay, overlay
from tests.screens.driving import text_of, wait_for

SIZES = [(80, 24), (130, 40)]


async def numbers_read(pilot: Pilot[None]) -> NumbersScreen:
    """Open the numbers from home by their key, and wait until they are listed."""
    await wait_for(pilot, HomeScreen)
    await pilot.press("n")
    screen = await wait_for(pilot, NumbersScreen)
    assert isinstance(screen, NumbersScreen)
    for _ in range(500):
        await pilot.pause(0.01)
        if not any(w.node is screen and not w.is_finished for w in pilot.app.workers):
            return screen
    raise AssertionError("the screen goes on reading")


@pytest.mark.parametrize("size", SIZES)
async def test_letters_narrow_the_list_and_enter_shows_one_whole(
    app: StandclearApp, size: tuple[int, int]
) -> None:
    """From home: n, a word, Enter: value, citation and uses stand there; Esc leads back."""
    async with app.run_test(size=size) as pilot:
        screen = await numbers_read(pilot)
        every = len(screen.found)
        await pilot.press(*"carbon-monoxide-distance")
        await pilot.pause()
        few = [number.address for number in screen.found]
        listed = text_of(app)
        await pilot.press("enter")
        await wait_for(pilot, NumberScreen)
        whole = text_of(app)
        await pilot.press("escape", "escape")
        await wait_for(pilot, HomeScreen)

    assert every > 50
    assert few == [
        "generator/carbon-monoxide-distance",
        "generator/carbon-monoxide-distance-wind",
    ]
    assert "generator/carbon-monoxide-distance   20 ft" in listed
    assert BANNER in listed
    assert "CDC and CPSC" in whole
    assert "emergency-power, step openings, stops below" in whole
    assert BANNER in whole


async def test_the_mark_moves_and_stays_within_the_list(app: StandclearApp) -> None:
    """Down and PgDn move the mark to the last and no further; Enter opens what is marked."""
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await numbers_read(pilot)
        await pilot.press("down", "down", "pagedown", "pageup", "up")
        await pilot.press("enter")
        await wait_for(pilot, NumberScreen)
        second = text_of(app)
        await pilot.press("escape")
        await wait_for(pilot, NumbersScreen)
        for _ in range(60):
            await pilot.press("pagedown")
        await pilot.press("enter")
        await wait_for(pilot, NumberScreen)
        last = text_of(app)

    assert screen.found[1].address in second
    assert screen.found[-1].address in last


async def test_what_fits_nothing_is_said(app: StandclearApp) -> None:
    """No number found is a sentence, and Enter then does nothing."""
    async with app.run_test(size=(80, 24)) as pilot:
        await numbers_read(pilot)
        await pilot.press(*"qqq", "enter")
        await pilot.pause()

        assert "No number fits." in text_of(app)
        assert isinstance(app.screen, NumbersScreen)


async def test_a_laxer_club_value_is_marked_in_the_list(desk: Desk, tmp_path: Path) -> None:
    """CAUTION and the shipped value stand in the list itself, before what the value means."""
    lay(tmp_path, overlay("site/gust-stop", "25 mph"))
    app = StandclearApp(desk)
    async with app.run_test(size=(80, 24)) as pilot:
        await numbers_read(pilot)
        await pilot.press(*"club")
        await pilot.pause()
        listed = text_of(app)

    assert "site/gust-stop   25 mph" in listed
    assert "CAUTION, club value instead of 20 mph (laxer)" in listed
    assert "1 by the club" in listed


async def test_a_wrong_overlay_is_said_on_the_screen(desk: Desk, tmp_path: Path) -> None:
    """Where the club's table is wrong, its sentence stands there and no number does."""
    lay(tmp_path, overlay("site/gust-stop", "25"))
    app = StandclearApp(desk)
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await numbers_read(pilot)

        assert screen.found == ()
        assert "club-rules/tables/ridge-hollow.yaml, line 5" in text_of(app)


async def test_a_walk_shows_its_club_values_as_it_opens(desk: Desk, tmp_path: Path) -> None:
    """Rehearsed from home, the walk says which club value it is held against."""
    lay(tmp_path, overlay("site/gust-stop", "25 mph"))
    app = StandclearApp(desk, begin="tower-work", rehearse=True)
    async with app.run_test(size=(80, 24)) as pilot:
        from checklist.screens.walking.walk import WalkScreen

        await wait_for(pilot, WalkScreen)
        await pilot.pause()
        shown = " ".join(text_of(app).split())

    assert "held against club values: site/gust-stop 25 mph instead of 20 mph (laxer)" in shown

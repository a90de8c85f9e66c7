"""The manual inside the program: where it opens, how it is read, and what it leaves alone."""

from __future__ import annotations

import pytest

from checklist.demo.club import Club
from checklist.helppages import laid_out
from checklist.screens.app import StandclearApp
from checklist.screens.help import HelpScreen
from checklist.screens.helpplaces import PLACES, STEP_KINDS, WALKS
from checklist.screens.walking.field import Field
from tests.screens.driving import settled, text_of, until, wait_for
from tests.screens.everyscreen import SCREENS, at_step

SIZE = (80, 24)


@pytest.mark.parametrize("place", [*PLACES.values(), *WALKS.values(), *STEP_KINDS.values()])
def test_a_place_of_help_exists(place: tuple[str, str]) -> None:
    """Every page and heading that a screen opens stands in the manual."""
    page, heading = place

    assert not heading or heading in laid_out(page, 80).headings


@pytest.mark.parametrize(
    ("step", "page"), [("thunder", "tower-work"), ("locks", "locks"), ("climb-crew", "people")]
)
async def test_f1_opens_the_page_of_the_step(club: Club, step: str, page: str) -> None:
    """F1 in a walk opens the page of its step, and Escape goes back to the step."""
    app = StandclearApp(club.desks["hill"])
    async with app.run_test(size=SIZE) as pilot:
        await at_step("tower-work", step)(pilot, app)
        walk = app.screen
        await pilot.press("f1")
        shown = await wait_for(pilot, HelpScreen)

        assert shown.page == page

        await pilot.press("f1", "escape")

        assert app.screen is walk


async def test_typed_text_is_kept(club: Club) -> None:
    """What was typed into a question still stands there after F1 and Escape."""
    app = StandclearApp(club.desks["hill"])
    async with app.run_test(size=SIZE) as pilot:
        await SCREENS["walk, note"](pilot, app)
        asked = app.screen
        asked.query(Field).first().value = "the third guy is rusty"
        await pilot.press("f1")
        await wait_for(pilot, HelpScreen)
        await pilot.press("escape")
        await pilot.pause()

        assert app.screen is asked
        assert asked.query(Field).first().value == "the third guy is rusty"


async def test_find_links_and_the_way_back(club: Club) -> None:
    """`/` finds words, Tab and Enter follow a link, Escape goes back page by page."""
    app = StandclearApp(club.desks["hill"])
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("f1")
        shown = await wait_for(pilot, HelpScreen)
        await settled(pilot)
        first = shown.page
        await pilot.press("c")
        await settled(pilot)

        assert shown.page == "contents"

        await pilot.press("tab", "enter")
        await settled(pilot)
        followed = shown.page

        assert followed != "contents"

        await pilot.press("escape", "escape")
        await settled(pilot)

        assert shown.page == first

        await pilot.press("slash", *"volunteer", "enter")
        await settled(pilot)
        await pilot.press("slash", *"nowhere-at-all", "enter")
        await until(pilot, lambda: "is not on this page" in text_of(app), "what was not found")
        await pilot.press("escape")
        await pilot.pause()

        assert not isinstance(app.screen, HelpScreen)

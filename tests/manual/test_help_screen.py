"""The manual inside the program: where it opens, how it is read, and what it leaves alone."""

from __future__ import annotations

import importlib
import inspect
import pkgutil

import pytest
from textual.pilot import Pilot
from textual.screen import ModalScreen

import checklist.screens
from checklist.demo.club import Club
from checklist.helppages import laid_out
from checklist.screens.app import StandclearApp
from checklist.screens.frame import Framed
from checklist.screens.help import HelpScreen
from checklist.screens.helpplaces import PLACES, STEP_KINDS, WALKS
from checklist.screens.home import HomeScreen
from checklist.screens.walking.field import Field
from checklist.sessions.library import Library
from tests.screens.driving import settled, text_of, until, wait_for
from tests.screens.everyscreen import SCREENS, at_step

SIZE = (80, 24)


@pytest.mark.parametrize("place", [*PLACES.values(), *WALKS.values(), *STEP_KINDS.values()])
def test_a_place_of_help_exists(place: tuple[str, str]) -> None:
    """Every page and heading that a screen opens stands in the manual."""
    page, heading = place

    assert not heading or heading in laid_out(page, 80).headings


def _framed() -> list[type[Framed]]:
    """Return every kind of framed screen that the package shows, and not only builds upon."""
    found: list[type[Framed]] = []
    for module in pkgutil.walk_packages(checklist.screens.__path__, "checklist.screens."):
        for kind in vars(importlib.import_module(module.name)).values():
            is_ours = inspect.isclass(kind) and issubclass(kind, Framed)
            if is_ours and kind.__module__ == module.name and kind is not Framed:
                found.append(kind)
    return [kind for kind in found if not any(kind in one.__mro__[1:] for one in found)]


def test_every_framed_screen_has_a_page_of_help() -> None:
    """No framed screen but the manual itself and the questions is without a place in it.

    A question has the page of the screen that it stands over.
    """
    without = [
        kind.__name__
        for kind in _framed()
        if not any(one.__name__ in PLACES for one in kind.__mro__)
        and not issubclass(kind, ModalScreen | HelpScreen)
    ]

    assert len(_framed()) > 15
    assert without == []


def test_every_shipped_rule_file_has_a_page_of_its_own() -> None:
    """F1 in a walk of a shipped rule file leads to its page, and never to a general one."""
    assert WALKS.keys() == set(Library().names())


async def test_f1_opens_the_page_of_the_step_and_leads_back(club: Club) -> None:
    """F1 in a walk opens the page of its step; Escape goes back, what was typed still there."""
    app = StandclearApp(club.desks["hill"])
    async with app.run_test(size=SIZE) as pilot:
        for step, page in (("thunder", "tower-work"), ("locks", "locks"), ("climb-crew", "people")):
            await at_step("tower-work", step)(pilot, app)
            walk = app.screen
            await pilot.press("f1")
            shown = await wait_for(pilot, HelpScreen)

            assert shown.page == page

            await pilot.press("f1", "escape")

            assert app.screen is walk

            await _home(pilot, app)

        await SCREENS["walk, note"](pilot, app)
        asked = app.screen
        asked.query(Field).first().value = "the third guy is rusty"
        await pilot.press("f1")
        await wait_for(pilot, HelpScreen)
        await pilot.press("escape")
        await pilot.pause()

        assert app.screen is asked
        assert asked.query(Field).first().value == "the third guy is rusty"


async def _seek(pilot: Pilot[None], shown: HelpScreen, words: str) -> None:
    await pilot.press("slash")
    shown.query_one("#find", Field).value = words
    await pilot.press("enter")
    await settled(pilot)


async def _home(pilot: Pilot[None], app: StandclearApp) -> None:
    await pilot.press("escape")
    await wait_for(pilot, HomeScreen)


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

        await _seek(pilot, shown, "volunteer at night")
        await until(pilot, lambda: "is not on this page" in text_of(app), "what was not found")
        await _seek(pilot, shown, "old result is no permission")
        await until(pilot, lambda: "old result is no" in text_of(app), "what was found")

        await pilot.press("escape")
        await pilot.pause()

        assert not isinstance(app.screen, HelpScreen)

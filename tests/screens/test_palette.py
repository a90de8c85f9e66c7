"""The palette of commands: every place by words, our words alone, also while typing."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from textual import events
from textual.command import CommandPalette
from textual.widgets import Input

from checklist.caution import BANNER
from checklist.screens.app import StandclearApp
from checklist.screens.hurt import HurtScreen
from checklist.screens.palette import PLACES
from checklist.screens.walking.walk import WalkScreen
from checklist.sessions.desk import Desk
from checklist.shipped import shipped_rules
from tests.screens.driving import settled, text_of, until, wait_for
from tests.screens.everyscreen import at_step

SIZE = (80, 24)


def listed(app: StandclearApp) -> list[str]:
    """Return what the palette lists on the screen at hand."""
    screen: Any = app.screen
    return [command.title for command in app.get_system_commands(screen)]


async def chosen(pilot: Any, words: str) -> None:
    """Open the palette, type words, and take what it finds."""
    await pilot.press("ctrl+p")
    await wait_for(pilot, CommandPalette)
    await pilot.press(*["space" if character == " " else character for character in words])
    await pilot.pause(0.6)
    await pilot.press("enter")
    await until(pilot, lambda: not CommandPalette.is_open(pilot.app))


OPENED = [place for place in PLACES if not place[2].startswith("print_")]


@pytest.mark.parametrize(("name", "what", "way"), OPENED)
async def test_every_place_is_reached_by_its_name(
    app: StandclearApp, name: str, what: str, way: str
) -> None:
    """Typed into the palette, the name of a screen opens it from home."""
    async with app.run_test(size=SIZE) as pilot:
        await settled(pilot)
        home = app.screen
        await chosen(pilot, name)
        await until(pilot, lambda: app.screen is not home)

    assert what
    assert all(hasattr(app, one) for _, _, one in PLACES)
    assert way


async def test_a_walk_is_begun_by_its_title(app: StandclearApp) -> None:
    """A rule file is begun from the palette; nothing of Textual's own is listed beside it."""
    async with app.run_test(size=SIZE) as pilot:
        await settled(pilot)
        titles = listed(app)
        await chosen(pilot, "rehearse: Before tower")
        walk = await wait_for(pilot, WalkScreen)

        assert walk.session.is_rehearsal
    assert not {"Theme", "Quit", "Keys", "Screenshot", "Maximize"} & set(titles)
    assert titles[0] == "someone is hurt"


async def test_it_opens_while_typing_and_help_comes_over_it(desk: Desk) -> None:
    """^P works in a field, lists the keys of the walk, and ^Y works over the palette."""
    app = StandclearApp(desk)
    async with app.run_test(size=SIZE) as pilot:
        await settled(pilot)
        await at_step("tower-work", "call")(pilot, app)
        await pilot.press(*"gate")
        titles = listed(app)
        await pilot.press("ctrl+p")
        await wait_for(pilot, CommandPalette)
        await pilot.press("ctrl+y")
        await wait_for(pilot, HurtScreen)
        await pilot.press("escape", "escape")
        await wait_for(pilot, WalkScreen)
        focused: Any = app.focused

        assert focused.value == "gate"
    assert {"near miss", "stop work", "finish", "home"} <= set(titles)
    assert not any(title.startswith("walk: ") for title in titles)


async def test_over_a_question_only_its_own_keys_are_listed(desk: Desk) -> None:
    """A question wants its answer: from it the palette leads nowhere else."""
    app = StandclearApp(desk)
    async with app.run_test(size=SIZE) as pilot:
        await settled(pilot)
        await at_step("tower-work", "thunder")(pilot, app)
        await pilot.press("ctrl+n")
        await pilot.pause(0.3)
        titles = listed(app)

    assert "home" not in titles
    assert "someone is hurt" in titles


async def test_home_leaves_everything_that_is_open(desk: Desk) -> None:
    """`home` in the palette leaves a walk as Escape does: its file is let go."""
    app = StandclearApp(desk, begin="tower-work")
    async with app.run_test(size=SIZE) as pilot:
        walk = await wait_for(pilot, WalkScreen)
        app.show_people()
        await pilot.pause(0.3)
        app.action_home()
        await pilot.pause(0.3)

        assert len(app.screen_stack) == 1
        assert walk.session.id
        desk.folder.hold(walk.session.id).release()


@pytest.mark.parametrize("height", [24, 60])
async def test_banner_and_the_way_to_help_stay_in_sight(desk: Desk, height: int) -> None:
    """The palette's list ends above the banner, the key line and SOMEONE IS HURT."""
    app = StandclearApp(desk)
    async with app.run_test(size=(80, height)) as pilot:
        await settled(pilot)
        await pilot.press("ctrl+p")
        await wait_for(pilot, CommandPalette)
        await until(pilot, lambda: "what holds and what does not" in text_of(app), "the list")
        seen = text_of(app)

    assert BANNER in seen
    assert "^Y SOMEONE IS HURT" in seen.splitlines()[-1]


async def test_a_title_with_markup_and_a_paste_without_end_do_no_harm(tmp_path: Path) -> None:
    """A club's title is words only, and a million characters pasted by mistake are not sought."""
    checks = tmp_path / "club-rules" / "checks"
    checks.mkdir(parents=True)
    text = (shipped_rules() / "checks" / "inside-equipment.yaml").read_text("utf-8")
    title = 'title: "Inside [x=1] D[/x]E"\n'
    text = re.sub(r"^name: .*\n", "name: mine\n", text, flags=re.MULTILINE)
    text = re.sub(r"^title: .*\n", title, text, count=1, flags=re.MULTILINE)
    (checks / "mine.yaml").write_text(text, "utf-8")
    app = StandclearApp(Desk.at(tmp_path / "logs"))
    async with app.run_test(size=SIZE) as pilot:
        await settled(pilot)
        await pilot.press("ctrl+p")
        palette = await wait_for(pilot, CommandPalette)
        field = palette.query_one(Input)
        field.post_message(events.Paste("x" * 1_000_000))
        await pilot.pause(0.1)
        after_paste = field.value
        await pilot.press(*"inside")
        await until(pilot, lambda: "Inside (x=1) D(/x)E" in text_of(app), "the title is found")

    assert app.fault is None
    assert after_paste == ""

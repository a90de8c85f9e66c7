"""Every screen, at every size and in every look: whole, with its keys, legible, and a way back."""

from __future__ import annotations

import importlib
import pkgutil
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from rich.color import ColorSystem
from rich.style import Style
from textual.screen import Screen
from textual.theme import Theme

from checklist import screens
from checklist.record.files.clock import RealClock
from checklist.record.files.disk import RealDisk
from checklist.screens.app import StandclearApp
from checklist.screens.asking import Asking
from checklist.screens.frame import Framed
from checklist.screens.home import HomeScreen
from checklist.screens.stations.exposurefinding import Finder
from checklist.screens.stations.exposureshowing import Showing
from checklist.screens.stations.exposuretrying import Trying
from checklist.screens.stations.stationshown import StationShown
from checklist.screens.themes import FEW_DARK, FEW_LIGHT, LOOKS
from checklist.screens.walking.walkorders import OrderedWalk
from checklist.screens.walking.walkshown import WalkShown
from checklist.sessions.desk import Desk
from tests.screens.driving import settled, text_of, until
from tests.screens.everyscreen import KINDS, SCREENS
from tests.screens.looking import contrast, faults, low_contrast

SIZES = [(80, 24), (100, 30), (200, 60)]


@pytest.fixture
def app(club: Path, tmp_path: Path) -> StandclearApp:
    shutil.copytree(club, tmp_path / "club")
    return StandclearApp(Desk(tmp_path / "club" / "logs", RealDisk(), RealClock()))


async def at_home(pilot: object, app: StandclearApp) -> None:
    await until(pilot, lambda: "unfinished" in text_of(app))  # type: ignore[arg-type]  # a pilot


@pytest.mark.parametrize("name", SCREENS)
async def test_every_size_and_both_looks(app: StandclearApp, name: str) -> None:
    """Banner, help, title, focus, keys and all lines stand at every size, dark and light.

    Text has the contrast of WCAG 2.2 (1.4.3) in both looks, and in those for 16 colours;
    Escape leads back. The looks are gone through at the smallest size; the larger ones are seen
    in one look each, another one from screen to screen, as restyling takes most of the time.
    """
    found: list[str] = []
    turn = list(SCREENS).index(name) % len(LOOKS)
    looks = [*LOOKS[turn:], *LOOKS[:turn]]
    async with app.run_test(size=SIZES[0]) as pilot:
        await at_home(pilot, app)
        await SCREENS[name](pilot, app)
        kind = type(app.screen)
        for look in looks:
            app.theme = look.name
            await settled(pilot)
            found += _wrong(app, look)
        for size in SIZES[1:]:
            await pilot.resize_terminal(*size)
            await settled(pilot)
            found += _wrong(app, looks[-1])
        before = app.screen
        for _ in range(3):
            if app.screen is before and not isinstance(before, HomeScreen):
                await pilot.press("escape")
                await pilot.pause(0.1)
        is_back = app.screen is not before or isinstance(before, HomeScreen)

    assert "\n".join(found) == ""
    assert is_back
    assert kind is KINDS.get(name, kind)


def test_no_kind_of_screen_is_left_out() -> None:
    """Every screen of the package that is not only the base of others is looked at here."""
    for module in pkgutil.walk_packages(screens.__path__, f"{screens.__name__}."):
        importlib.import_module(module.name)
    kinds = {kind for kind in _below(Screen) if kind.__module__.startswith(screens.__name__)}
    bases = {WalkShown, OrderedWalk, StationShown, Finder, Showing, Trying, Framed, Asking}

    assert kinds - bases == set(KINDS.values())
    assert all(kind.__subclasses__() for kind in bases)
    assert set(KINDS) <= set(SCREENS)


def _below(kind: type) -> Iterator[type]:
    one: type
    for one in kind.__subclasses__():
        yield one
        yield from _below(one)


def _wrong(app: StandclearApp, look: Theme) -> list[str]:
    """Return what is wrong with the screen as it stands, with its size and its look."""
    few = ColorSystem.STANDARD if look in (FEW_DARK, FEW_LIGHT) else ColorSystem.TRUECOLOR
    place = f"{app.size.width}x{app.size.height} {look.name}"
    return [f"{place}: {fault}" for fault in (*faults(app), *low_contrast(app, few))]


@pytest.mark.parametrize("name", ["home", "walk, reading", "walk, one key", "numbers", "hurt"])
async def test_without_colour_all_is_there(
    app: StandclearApp, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With NO_COLOR there are greys alone, with contrast; every word and the mark are there.

    The mark is a place with another background, by 3 to 1 or more (WCAG 2.2, 1.4.11).
    """
    monkeypatch.setenv("NO_COLOR", "1")
    bare = StandclearApp(app.desk)
    async with bare.run_test(size=SIZES[0]) as pilot:
        await at_home(pilot, bare)
        await SCREENS[name](pilot, bare)
        segments = [s for strip in bare.screen._compositor.render_strips() for s in strip]
        hued = {
            colour.name
            for s in segments
            if s.style
            for colour in (s.style.color, s.style.bgcolor)
            if colour and colour.triplet and len(set(colour.triplet)) > 1
        }
        behind = {s.style.bgcolor for s in segments if s.style and s.text.strip()}
        marked = any(contrast(Style(color=a, bgcolor=b)) > 3 for a in behind for b in behind)
        wrong = [*faults(bare), *low_contrast(bare)]

    assert bare.no_color
    assert hued == set()
    assert marked
    assert wrong == []

"""The pictures of the manual: name, laptop of the invented club, and the way to the screen."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from textual.pilot import Pilot

from checklist.demo.club import Club
from checklist.helppages import MANUAL
from checklist.screens.app import StandclearApp
from checklist.screens.home import HomeScreen
from tests.screens.driving import settled, text_of, until
from tests.screens.everyscreen import SCREENS, Reach, at_step, by_key

SIZE = (80, 24)
PICTURES = MANUAL / "pictures"


async def _help(pilot: Pilot[None], app: StandclearApp) -> None:
    await pilot.press("f1")
    await settled(pilot)


SHOTS: dict[str, tuple[str, Reach]] = {
    "home": ("hill", SCREENS["home"]),
    "help": ("hill", _help),
    "a step": ("hill", at_step("tower-work", "thunder")),
    "a stop": ("hill", SCREENS["walk, a stop"]),
    "a reading": ("hill", at_step("tower-work", "gust")),
    "crew": ("hill", at_step("tower-work", "climb-crew")),
    "locks in a walk": ("hill", at_step("tower-work", "locks")),
    "a final stop": ("hill", SCREENS["walk, a final stop"]),
    "tags": ("hill", by_key("t")),
    "people": ("hill", by_key("p")),
    "past sessions": ("hill", by_key("f")),
    "in class": ("hill", by_key("c")),
    "hurt": ("hill", SCREENS["hurt"]),
}
"""Everything here only looks or rehearses, so that the club's records stay as they are."""

DRAWN = ("home", "a stop")
"""What the README shows as SVG as well."""


@dataclass(frozen=True, slots=True)
class Shot:
    """One picture: 24 lines of text, and the same as SVG."""

    text: str
    svg: str


async def shot(club: Club, name: str) -> Shot:
    """Return the picture of this name, made from the invented club."""
    laptop, reach = SHOTS[name]
    app = StandclearApp(club.desks[laptop])
    async with app.run_test(size=SIZE) as pilot:
        home = app.screen
        assert isinstance(home, HomeScreen)
        await until(pilot, lambda: home._overview is not None, "home has read the folder")
        await settled(pilot)
        await reach(pilot, app)
        await settled(pilot)
        return Shot(text_of(app), app.export_screenshot(title="standclear"))


def svg_file(name: str) -> Path:
    """Return where the SVG of a picture lies."""
    return PICTURES / f"{name.replace(' ', '-')}.svg"


def marked(name: str) -> str:
    """Return the line that stands before a picture in a page."""
    return f"<!-- picture: {name} -->"


def block(name: str, text: str) -> str:
    """Return a picture as it stands in a page."""
    return f"{marked(name)}\n```text\n{text}\n```\n<!-- end -->"

"""The pictures of the manual: name, laptop of the invented club, and the way to the screen."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from textual.pilot import Pilot

from checklist.demo.club import Club
from checklist.helppages import MANUAL
from checklist.screens.app import StandclearApp
from checklist.screens.home import HomeScreen
from checklist.screens.past.audit import AuditScreen
from tests.screens.driving import settled, text_of, until
from tests.screens.everyscreen import SCREENS, Reach, at_step, by_key

SIZE = (80, 24)
PICTURES = MANUAL / "pictures"


async def _help(pilot: Pilot[None], app: StandclearApp) -> None:
    await pilot.press("f1")
    await settled(pilot)


async def _audit(pilot: Pilot[None], app: StandclearApp) -> None:
    folders = ("officer", "field-2", "copies/tampered")
    audit = AuditScreen([Path("invented") / folder / "logs" for folder in folders])
    await app.push_screen(audit)
    await until(pilot, lambda: audit.report is not None, "the audit is done")
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
    "exposure": ("hill", SCREENS["exposure"]),
    "station": ("hill", SCREENS["station"]),
    "a past session": ("hill", SCREENS["session"]),
    "audit": ("officer", _audit),
}
"""Everything here only looks or rehearses, so that the club's records stay as they are."""

DRAWN = ("home", "a stop")
"""What the README shows as SVG as well."""


_CELL = 12.2
"""Width of a character in the drawing."""

_LEADING = re.compile(
    r'x="(?P<x>[\d.]+)"(?P<y> y="[\d.]+" )textLength="(?P<length>[\d.]+)"(?P<clip>[^>]*)>'
    r"(?P<blanks>(?:&#160;)+)(?=[^<&])"
)


@dataclass(frozen=True, slots=True)
class Shot:
    """One picture: 24 lines of text, and the same as SVG."""

    text: str
    svg: str


async def shots(club: Club, *, only: str = "") -> dict[str, Shot]:
    """Return every picture by its name, one program a laptop, from the folder beside the club."""
    made: dict[str, Shot] = {}
    wanted = {name: way for name, way in SHOTS.items() if only in ("", name)}
    for laptop in dict.fromkeys(laptop for laptop, _ in wanted.values()):
        # By the path that a reader types, which is shown on some screens.
        logs = club.desks[laptop].logs.relative_to(club.folder.parent)
        app = StandclearApp(replace(club.desks[laptop], logs=logs))
        async with app.run_test(size=SIZE) as pilot:
            for name, (of, reach) in wanted.items():
                if of != laptop:
                    continue
                await _home(pilot, app)
                await reach(pilot, app)
                await settled(pilot)
                drawn = app.export_screenshot(title="standclear")
                made[name] = Shot(text_of(app), _LEADING.sub(_moved, drawn))
    return made


async def _home(pilot: Pilot[None], app: StandclearApp) -> None:
    """Go back to a home that has read the folder, its mark where it is at the start."""
    while not isinstance(app.screen, HomeScreen):
        depth = len(app.screen_stack)
        await pilot.press("escape")
        await until(pilot, partial(_is_left, app, depth), "Escape leads back")
    home = app.screen
    await until(pilot, lambda: home._overview is not None, "home has read the folder")
    await settled(pilot)


def _moved(found: re.Match[str]) -> str:
    """Return a text that begins where its first letter is; some viewers drop leading blanks."""
    blanks = found["blanks"].count(";")
    x, length = float(found["x"]) + blanks * _CELL, float(found["length"]) - blanks * _CELL
    return f'x="{x:.1f}"{found["y"]}textLength="{length:.1f}"{found["clip"]}>'


def _is_left(app: StandclearApp, depth: int) -> bool:
    return len(app.screen_stack) < depth


def svg_file(name: str) -> Path:
    """Return where the SVG of a picture lies."""
    return PICTURES / f"{name.replace(' ', '-')}.svg"


def marked(name: str) -> str:
    """Return the line that stands before a picture in a page."""
    return f"<!-- picture: {name} -->"


def block(name: str, text: str) -> str:
    """Return a picture as it stands in a page."""
    return f"{marked(name)}\n```text\n{text}\n```\n<!-- end -->"

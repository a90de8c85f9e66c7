"""Builds a station in the editor as a person would, page after page."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from textual.pilot import Pilot

from checklist.screens.app import StandclearApp
from checklist.screens.asking import AskForm, AskOne
from checklist.screens.home import HomeScreen
from checklist.screens.stations.station import StationScreen
from checklist.screens.stations.stationform import AskEntry
from checklist.screens.stations.stationshown import StationList
from checklist.screens.walking.field import Field
from checklist.screens.walking.form import Form
from checklist.screens.walking.formrow import FormRow
from tests.screens.driving import text_of, until, wait_for

Page = dict[str, str | list[str]]


async def begun(pilot: Pilot[None], path: Path, limits: str = "fcc-1310") -> StationScreen:
    """Begin a new station file from home, with the four things that every one has."""
    await wait_for(pilot, HomeScreen)
    await pilot.press("s")
    await wait_for(pilot, AskOne)
    await pilot.press("n")
    asked = await wait_for(pilot, AskForm)
    given = {
        "file": str(path),
        "name": "Larkspur Bend",
        "address": "14 Quarry Track / Larkspur Bend",
        "jurisdiction": "United States",
        "limits": limits,
    }
    for row in asked.query(FormRow):
        row.query_one(Field).value = given[row.row.name]
    asked.query_one(Form).submit()
    return await read(pilot)


async def read(pilot: Pilot[None]) -> StationScreen:
    """Wait until the editor stands there and has read its file."""
    screen = await wait_for(pilot, StationScreen)
    assert isinstance(screen, StationScreen)
    await until(pilot, lambda: bool(screen.sitting and screen._lines), "the file is read")
    await idle(pilot, screen)
    return screen


async def idle(pilot: Pilot[None], screen: StationScreen) -> str:
    """Wait until the editor does nothing, and return what stands on the terminal."""
    await pilot.pause(0.02)
    await until(pilot, lambda: not screen._is_busy and pilot.app.screen is screen, "it is idle")
    await until(pilot, lambda: all(w.is_finished for w in screen.workers), "nothing is read")
    await pilot.pause()
    assert isinstance(pilot.app, StandclearApp)
    return text_of(pilot.app)


async def to_line(pilot: Pilot[None], screen: StationScreen, left: str) -> None:
    """Put the mark on the line that begins with these words."""
    lefts = [line.left for line in screen._lines]
    screen.query_one(StationList).highlighted = lefts.index(left)
    await pilot.pause()


async def give(pilot: Pilot[None], page: Page) -> str:
    """Fill the page that is asked, give it, and return what stood there before."""
    asked: Any = await wait_for(pilot, AskEntry)
    await until(pilot, lambda: bool(asked.query(Field)), "there are fields")
    for name, value in page.items():
        lines = value if isinstance(value, list) else [value]
        for line in lines:
            rows = [row for row in asked.query(FormRow) if row.row.name == name]
            free = [row for row in rows if not row.text or not isinstance(value, list)]
            if not free:
                await asked.query_one(Form)._another(rows[-1])
                free = [r for r in asked.query(FormRow) if r.row.name == name and not r.text]
            free[0].query_one(Field).value = line
    await pilot.pause()
    assert isinstance(pilot.app, StandclearApp)
    stands = text_of(pilot.app)
    asked.query_one(Form).submit()
    await until(pilot, lambda: pilot.app.screen is not asked or _complains(asked), "it was given")
    return stands


def _complains(asked: Any) -> bool:
    return any(row.query(".understood.-wrong") for row in asked.query(FormRow))


async def added(
    pilot: Pilot[None], screen: StationScreen, section: str, *pages: Page, kind: str = ""
) -> str:
    """Add an entry to a section, page by page, and return what stands there then."""
    while screen.at:
        await pilot.press("escape")
        await pilot.pause()
    await to_line(pilot, screen, section)
    await pilot.press("a")
    if kind:
        asked: Any = await wait_for(pilot, AskOne)
        await pilot.press(next(key for key, word, _ in asked._choices if word == kind))
    for page in pages:
        await give(pilot, page)
    return await idle(pilot, screen)

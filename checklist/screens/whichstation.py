"""Asks which station file is meant, with the last one at hand."""

from __future__ import annotations

import asyncio
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from checklist.errors import StandclearError
from checklist.screens.asking import AskForm
from checklist.sessions.entryrows import Row
from checklist.sessions.laststation import last_station, remember_station

if TYPE_CHECKING:
    from checklist.screens.app import StandclearApp

_ASKED = "RF exposure around a station: which station file? rules/STATION.md says how to write one."


async def asked_station(app: StandclearApp) -> Path | None:
    """Return the station file to look at, asked until there is one; None to go back."""

    def told() -> str:
        return last_station(app.desk.folder)

    try:
        named, wrong = await asyncio.to_thread(told), ""
    except StandclearError as error:
        named, wrong = "", error.sentence()
    while True:
        row = Row("file", "station file", "~/station.yaml", value=named)
        given = await app.push_screen_wait(AskForm(_ASKED, (), [row], wrong))
        if given is None:
            return None
        named = given["file"]
        try:
            path = await asyncio.to_thread(_readable, named)
        except StandclearError as error:
            wrong = error.sentence()
            continue
        await asyncio.to_thread(_remember, app, path)
        return path


def _readable(named: str) -> Path:
    from checklist.sessions.stationread import station_bytes, station_path  # late: slow to load

    path = station_path(named)
    station_bytes(path)
    return path


def _remember(app: StandclearApp, path: Path) -> None:
    with suppress(StandclearError):  # the log folder is said to be unusable on home already
        remember_station(app.desk.folder, path)

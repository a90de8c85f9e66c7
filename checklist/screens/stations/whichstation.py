"""Asks which station file is meant: one of those known, another by its path, or a new one."""

from __future__ import annotations

import asyncio
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from checklist.errors import StandclearError
from checklist.screens.asking import AskForm, AskOne
from checklist.screens.askuntil import until_it_holds
from checklist.sessions.entryrows import Row
from checklist.sessions.stations.laststation import known_stations, remember_station

if TYPE_CHECKING:
    from checklist.screens.doors import Doors

_ASKED = "RF exposure around a station: which station file? s on the home screen writes one."
_ANOTHER, _NEW = "another", "new"


async def asked_station(app: Doors) -> Path | None:
    """Return the station file to look at, asked until there is one; None to go back."""
    known = await asyncio.to_thread(_known, app)
    if len(known) > 1:
        chosen = await _chosen(app, "RF exposure around which station?", known, can_be_new=False)
        if chosen != _ANOTHER:
            return await _taken(app, chosen)
    return await _by_path(app, _ASKED, known[0] if known else "")


async def station_to_edit(app: Doors) -> Path | None:
    """Return the station file to edit, which may be a new one; None to go back."""
    known = await asyncio.to_thread(_known, app)
    chosen = await _chosen(app, "Which station file is edited?", known, can_be_new=True)
    if chosen == _NEW:
        return await _begun(app)
    if chosen == _ANOTHER:
        return await _by_path(app, "Which station file?", "")
    return await _taken(app, chosen)


async def _chosen(app: Doors, title: str, known: tuple[str, ...], *, can_be_new: bool) -> str:
    choices = [(str(n), path, path) for n, path in enumerate(known, 1)]
    choices.append(("p", _ANOTHER, "another one, by its path"))
    if can_be_new:
        choices.append(("n", _NEW, "a new one, begun here"))
    return await app.push_screen_wait(AskOne(title, choices)) or ""


async def _taken(app: Doors, chosen: str) -> Path | None:
    if not chosen:
        return None
    try:
        path = await asyncio.to_thread(_readable, chosen)
    except StandclearError as error:
        app.say(error.sentence())
        return None
    await asyncio.to_thread(_remember, app, path)
    return path


async def _by_path(app: Doors, title: str, named: str) -> Path | None:
    wrong = ""
    while True:
        row = Row("file", "station file", "~/station.yaml", value=named)
        given = await app.push_screen_wait(AskForm(title, (), [row], wrong))
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


async def _begun(app: Doors) -> Path | None:
    """Ask for the four things that every station file has, and write the new file."""
    limits = await asyncio.to_thread(_limits, app)
    rows = [
        Row("file", "new file", "~/station.yaml"),
        Row("name", "station", "what it is called"),
        Row("address", "address", "street, number, town, told to emergency operators"),
        Row("jurisdiction", "jurisdiction", "country, and state where it matters"),
        Row("limits", "exposure limits", "one of the sets above, of that country", known=limits),
    ]  # fmt: skip
    says = [f"Sets of limits: {', '.join(limits)}."]

    def attempt(values: dict[str, str]) -> Path:
        from checklist.sessions.stations.stationread import station_path  # late: slow to load
        from checklist.sessions.stations.stationsitting import begin_station

        unknown = next((row.label for row in rows if values[row.name].strip() == "?"), "")
        if unknown:
            raise StandclearError(f"a station file cannot begin without the {unknown}")
        if values["limits"] not in limits:
            raise StandclearError(
                f"“{values['limits']}” is no set of limits", right=f"It is {', '.join(limits)}."
            )
        path = station_path(values["file"])
        begin_station(app.desk.disk, path, values)
        _remember(app, path)
        return path

    return await until_it_holds(app, "A new station file", says, rows, attempt)


def _limits(app: Doors) -> tuple[str, ...]:
    from checklist.calculations.exposure import load_limits  # late: slow to load

    library = app.desk.library
    shipped, own = library.limit_texts()
    return tuple(load_limits(shipped, library.book().sources, own))


def _readable(named: str) -> Path:
    from checklist.sessions.stations.stationread import (  # late: slow to load
        station_bytes,
        station_path,
    )

    path = station_path(named)
    station_bytes(path)
    return path


def _known(app: Doors) -> tuple[str, ...]:
    try:
        return known_stations(app.desk.folder)
    except StandclearError:  # the log folder is said to be unusable on home already
        return ()


def _remember(app: Doors, path: Path) -> None:
    with suppress(StandclearError):
        remember_station(app.desk.folder, path)

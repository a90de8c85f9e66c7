"""Asks for an entry of a station page by page: what an answer calls for comes on the next."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import TYPE_CHECKING

from checklist.errors import StandclearError
from checklist.screens.asking import AskOne
from checklist.screens.stations.stationform import Around, AskEntry, Values
from checklist.sessions.stations.stationsitting import Sitting
from checklist.station.asked import Asked
from checklist.station.records import Kinds

if TYPE_CHECKING:
    from checklist.screens.doors import Doors

_NINE = 9
RowsFor = Callable[[Values, bool], list[Asked]]
"""Returns the rows for what was typed so far; with true, those that may be left out as well."""


class Pages:
    """Asks over one sitting; everything that touches the disk runs in a thread."""

    def __init__(self, app: Doors, sitting: Sitting) -> None:
        self._app, self._sitting = app, sitting
        self._one_by_one = asyncio.Lock()

    async def _in_pages(
        self,
        title: str,
        rows_for: RowsFor,
        typed: Values,
        attempt: Callable[[Values], str],
        keep: Callable[[Values], None] | None = None,
    ) -> str:
        """Ask page by page: what an answer calls for comes on the next; then attempt.

        Where a refusal names a key that was not asked for, it is asked for beside the others.
        """
        typed, wrong, seen = dict(typed), "", set[str]()
        while True:
            every = _with_named(rows_for, typed, wrong)
            rows = [row for row in every if row.name not in seen] if not wrong else every
            if rows:
                values = await self._page(title, rows, typed, wrong, keep)
                if values is None:
                    return ""
                typed, wrong = {**typed, **values}, ""
                seen |= {row.name for row in rows}
                if any(row.name not in seen for row in rows_for(typed, False)):
                    continue
            try:
                return await self._alone(attempt, typed)
            except StandclearError as error:
                wrong = error.sentence()

    async def _until_saved(
        self, title: str, rows: list[Asked], typed: Values, attempt: Callable[[Values], str]
    ) -> str:
        return await self._in_pages(title, lambda _, __: rows, typed, attempt)

    async def _page(
        self,
        title: str,
        rows: list[Asked],
        typed: Values,
        wrong: str,
        keep: Callable[[Values], None] | None,
    ) -> Values | None:
        around = Around(self._sitting.known, self._sitting.names)

        def keep_all(values: Values) -> None:
            if keep is not None:
                keep({**typed, **values})

        page = AskEntry(title, rows, typed, around, wrong=wrong, keep=keep_all if keep else None)
        values = await self._app.push_screen_wait(page)
        if values is not None:  # rows that were emptied are empty, not as they were before
            values = {row.name: values.get(row.name, "") for row in rows}
            keep_all(values)
        return values

    async def _alone(self, attempt: Callable[[Values], str], typed: Values) -> str:
        async with self._one_by_one:
            return await asyncio.to_thread(attempt, typed)

    async def _kind_chosen(self, shape: Kinds, title: str) -> str:
        words = list(shape.kinds)[:_NINE]
        choices = [
            (str(n), word, f"{word}: {(shape.kinds[word].__doc__ or '').strip().split(chr(10))[0]}")
            for n, word in enumerate(words, 1)
        ]
        return await self._app.push_screen_wait(AskOne(title, choices)) or ""


def _with_named(rows_for: RowsFor, typed: Values, wrong: str) -> list[Asked]:
    """Return the rows that are asked for, and those that a refusal says must be added."""
    rows = rows_for(typed, False)
    if not wrong:
        return rows
    asked = {row.name for row in rows}
    named = {part.rstrip(":,") for part in wrong.split() if part.rstrip(",").endswith(":")}
    more = [one for one in rows_for(typed, True) if one.name in named and one.name not in asked]
    given = [one for one in rows_for(typed, True) if one.name in typed and one.name not in asked]
    return [*rows, *{one.name: one for one in [*given, *more]}.values()]

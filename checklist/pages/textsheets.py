"""Fills sheets of text line by line; what belongs together goes onto the next one together."""

from __future__ import annotations

from collections.abc import Sequence


class Sheets:
    """Sheets of `room` lines each, the first of them shorter by the lines that are `taken`."""

    def __init__(self, room: int, taken: int) -> None:
        self._room = room
        self._taken = taken
        self._all: list[list[str]] = [[]]

    def turn(self) -> None:
        """Begin a new sheet."""
        self._all.append([])

    def make_room(self, lines: int) -> None:
        """Begin a new sheet where so many lines do not fit any more, if they fit on one at all."""
        here = self._all[-1]
        if here and len(here) + lines > self._limit and lines <= self._room:
            self.turn()

    def put(self, group: Sequence[str], head: Sequence[str] = ()) -> None:
        """Put lines that stay on one sheet; `head` is said again where they begin a new one."""
        before = len(self._all)
        self.make_room(len(group))
        if len(self._all) > before:
            self._all[-1] += head
        for line in group:
            if len(self._all[-1]) >= self._limit:
                self.turn()
            if line or self._all[-1]:
                self._all[-1].append(line)

    def gap(self) -> None:
        """Leave a line empty, but not at the top of a sheet."""
        if self._all[-1]:
            self._all[-1].append("")

    def filled(self) -> list[list[str]]:
        """Return the sheets without empty lines at their ends; at least one."""
        for sheet in self._all:
            while sheet and not sheet[-1]:
                sheet.pop()
        return [sheet for sheet in self._all if sheet] or [[]]

    @property
    def _limit(self) -> int:
        return self._room - self._taken if len(self._all) == 1 else self._room

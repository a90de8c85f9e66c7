"""The file names of a long ledger's entries, kept as numbers: a million takes a few megabytes."""

from __future__ import annotations

from array import array
from collections.abc import Iterable, Sequence
from typing import overload


class NoteNames(Sequence[str]):
    """Names such as 00000001.note, in the order given."""

    def __init__(self, names: Iterable[str]) -> None:
        self._numbers = array("L", (int(name[:8]) for name in names))

    def __len__(self) -> int:
        """Return how many there are."""
        return len(self._numbers)

    @overload
    def __getitem__(self, place: int) -> str: ...

    @overload
    def __getitem__(self, place: slice) -> tuple[str, ...]: ...

    def __getitem__(self, place: int | slice) -> str | tuple[str, ...]:
        """Return a name, or the names of a slice."""
        if isinstance(place, slice):
            return tuple([f"{number:08}.note" for number in self._numbers[place]])
        return f"{self._numbers[place]:08}.note"

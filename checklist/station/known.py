"""What a station file may name that stands in the rule tables."""

from __future__ import annotations

from collections.abc import Collection

from checklist.rulebook import Book
from checklist.station.reading import Known

_MODES = ("duty/mode", "duty/more")
_CABLES = ("feedlines/cable",)


def known_in(book: Book, limit_sets: Collection[str] | None = None) -> Known:
    """Return the modes and cables that the tables have, with the limit sets at hand."""
    return Known(
        limit_sets=limit_sets,
        cables=tuple(key for table in _CABLES for key in book.table(table).rows),
        modes=tuple(key for table in _MODES for key in book.table(table).rows),
    )

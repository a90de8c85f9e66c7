"""What was typed and not given yet, kept while one looks elsewhere; nothing of it is on disk."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:  # home is on the screen before a walk's rows are loaded
    from checklist.sessions.entryrows import Row

Typed = tuple[tuple[str, str], ...]
"""Name of the row and its text, in order."""


class Drafts:
    """The texts that stand in fields which were left, by where they stood."""

    def __init__(self) -> None:
        self._kept: dict[Hashable, Typed] = {}

    def keep(self, place: Hashable, typed: Typed) -> None:
        """Keep what stands in the fields of a place; nothing where all is empty."""
        if any(text for _, text in typed):
            self._kept[place] = typed
        else:
            self.drop(place)

    def drop(self, place: Hashable) -> None:
        """Forget a place: its text was given."""
        self._kept.pop(place, None)

    def keep_only(self, walk: Hashable) -> None:
        """Forget what was typed in other walks and for their questions: it is not of this one."""
        self._kept = {p: t for p, t in self._kept.items() if isinstance(p, tuple) and p[0] == walk}

    def into(self, place: Hashable, rows: Sequence[Row]) -> list[Row]:
        """Return the rows with what was typed in them before, further lines behind their kind."""
        left = list(self._kept.get(place, ()))
        found: list[Row] = []
        for number, row in enumerate(rows):
            text = next((text for name, text in left if name == row.name), None)
            if text is not None:
                left.remove((row.name, text))
            found.append(row if text is None or row.secret else replace(row, value=text))
            is_last = not any(after.name == row.name for after in rows[number + 1 :])
            if row.many and is_last:
                label = f"another {row.label.removeprefix('another ')}"
                more = [text for name, text in left if name == row.name and text]
                found += [
                    replace(row, label=label, value=text, may_be_empty=True, offer=())
                    for text in more
                ]
        return found

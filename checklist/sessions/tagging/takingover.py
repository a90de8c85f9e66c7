"""Reads what another laptop's log folder tells of tags, and says what came of it."""

from __future__ import annotations

from pathlib import Path

from checklist.errors import StandclearError
from checklist.record.files.folder import LogFolder
from checklist.record.ledgers.ledger import Recorded
from checklist.record.ledgers.otherlogs import take_over
from checklist.record.lookup.recall import Recall
from checklist.sessions.past.ledgerview import view_ledger
from checklist.sessions.tagging.tags import TagsHere, Told, tags_here
from checklist.stopping import Tell, unheard


class _Look:
    """Looks at the tags of one folder; a second time only at what is new."""

    def __init__(self, folder: LogFolder, whose: str) -> None:
        self._folder, self._whose = folder, whose
        self._entries: Recall[Recorded] = Recall()
        self._told: Recall[Told] = Recall()

    def tags(self, tell: Tell) -> TagsHere:
        def entries(done: int, of: int) -> None:
            tell(f"entries of {self._whose} log", done, of)

        def sessions(done: int, of: int) -> None:
            tell(f"sessions of {self._whose} log", done, of)

        view = view_ledger(self._folder, self._entries, entries)
        return tags_here(
            self._folder, view.entries, view.states, view.problems, self._told, sessions
        )


def read_log_at(folder: LogFolder, path: Path, tell: Tell = unheard) -> str:
    """Take over what the log folder at `path` tells of tags; return what came of it.

    `tell` hears how far it is, and ends it by what it raises; nothing is taken over then.
    Raises StandclearError where it is no log folder, its ledger is not sound, it is an
    older copy than was read before, or tags stand in its walks that its ledger lacks.
    """
    other = LogFolder.look(path, folder.disk, folder.clock)
    found = _Look(other, "the other").tags(tell)
    if found.due:
        count = "a tag is" if len(found.due) == 1 else f"{len(found.due)} tags are"
        raise StandclearError(
            f"{count} in a walk there and not yet in its ledger",
            where=str(path),
            right="Start standclear on that laptop, which enters them, then read its log again.",
        )
    if found.problems:
        raise StandclearError(
            f"part of that log cannot be relied on: {found.problems[0]}",
            where=str(path),
            right="Take a whole copy, or have two people count the locks at the point.",
        )
    own = _Look(folder, "this")
    own.tags(tell)  # so that after the writing, which nothing stops, only what is new is read
    recorded, count_of_entries = take_over(folder, other, tell)
    hangs = [tag for tag in own.tags(unheard).open if tag.origin == other.origin]
    return (
        f"Read the log of laptop {other.origin[:8]} up to its entry "
        f"{recorded.entry.field('number')}: entries about tags: {count_of_entries}; "
        f"of its tags hang: {len(hangs)}."
    )

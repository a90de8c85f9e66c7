"""Reads what another laptop's log folder tells of tags, and says what came of it."""

from __future__ import annotations

from pathlib import Path

from checklist.errors import StandclearError
from checklist.record.files.folder import LogFolder
from checklist.record.ledgers.otherlogs import take_over
from checklist.sessions.tagging.tags import look_at_tags


def read_log_at(folder: LogFolder, path: Path) -> str:
    """Take over what the log folder at `path` tells of tags; return what came of it.

    Raises StandclearError where it is no log folder, its ledger is not sound, it is an
    older copy than was read before, or tags stand in its walks that its ledger lacks.
    """
    other = LogFolder.look(path, folder.disk, folder.clock)
    found = look_at_tags(other)
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
    recorded, count_of_entries = take_over(folder, other)
    hangs = [tag for tag in look_at_tags(folder).open if tag.origin == other.origin]
    return (
        f"Read the log of laptop {other.origin[:8]} up to its entry "
        f"{recorded.entry.field('number')}: entries about tags: {count_of_entries}; "
        f"of its tags hang: {len(hangs)}."
    )

"""The mark of a log folder that belongs to an invented club, so that nobody takes it for real."""

from __future__ import annotations

from pathlib import Path

MARK = "INVENTED.txt"
"""The file that marks a log folder; it lies in the folder, so that a copy has it too."""

NOT_REAL = "INVENTED CLUB: nothing on this page is real."
"""What stands on every page and tag that is printed, and first in all that a command says."""

SAID = "INVENTED CLUB"
"""What stands first in the line above, on every screen."""


def is_invented(logs: Path) -> bool:
    """Say whether the log folder bears the mark; False where that cannot be seen."""
    try:
        return (logs / MARK).is_file()
    except OSError:
        return False


def mark_for(*logs: Path) -> str:
    """Return what is printed on pages from these log folders, where one is an invented club's."""
    return NOT_REAL if any(map(is_invented, logs)) else ""


def guide_of(logs: Path) -> Path | None:
    """Return the page that tells what there is to find in an invented club, if it lies there."""
    page = logs.parent.parent / MARK
    try:
        return page if is_invented(logs) and page.is_file() else None
    except OSError:
        return None

"""Finds the log folders that somebody means by one path: the folder itself, or those below it."""

from __future__ import annotations

from pathlib import Path

from checklist.errors import StandclearError
from checklist.record.errors import FolderRefused
from checklist.record.files.disk import Disk, Kind

MOST = 200
"""Folders that are taken from one path; more are hardly meant."""

_PARTS = ("sessions", "ledger")


def log_folders_at(path: Path, disk: Disk) -> tuple[Path, ...]:
    """Return the log folders at a path: itself, else every one below it, or in `logs` below that.

    So a stick with a folder for each laptop is named once. Raises FolderRefused where none is
    there, or there are more than 200.
    """
    if _is_log_folder(path, disk):
        return (path,)
    try:
        facts = disk.facts(path)
        names = disk.names(path) if facts is not None and facts.kind is Kind.FOLDER else None
    except OSError as problem:
        raise FolderRefused(
            f"it cannot be read: {(problem.strerror or str(problem)).lower()}", where=str(path)
        ) from problem
    if names is None:
        raise FolderRefused(
            "no such folder is there", where=str(path), right="Name the log folder itself."
        )
    below = (here for name in names for here in (path / name, path / name / "logs"))
    found = tuple(here for here in below if _is_log_folder(here, disk))
    if not found:
        raise FolderRefused(
            "this is no log folder, and none is in it",
            where=str(path),
            right="Name a folder in which standclear kept its logs.",
        )
    if len(found) > MOST:
        raise FolderRefused(
            f"{len(found)} log folders are in it", where=str(path), right=f"At most {MOST} at once."
        )
    return found


def _is_log_folder(path: Path, disk: Disk) -> bool:
    try:
        parts = [disk.facts(path / part) for part in _PARTS]
    except (OSError, StandclearError, ValueError):
        return False
    return all(part is not None and part.kind is Kind.FOLDER for part in parts)

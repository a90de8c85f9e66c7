"""Finds the log folders that somebody means by a path, and opens them for the audit."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from checklist.audit.report import Tally
from checklist.errors import StandclearError
from checklist.record.errors import Damaged, FolderRefused
from checklist.record.files.clock import Clock
from checklist.record.files.disk import Disk, Kind
from checklist.record.files.folder import LogFolder
from checklist.record.verifying.report import Outcome

MOST = 200
"""Folders that are taken from one path; more are hardly meant."""

_PARTS = {"origin": Kind.FILE, "sessions": Kind.FOLDER, "ledger": Kind.FOLDER}
"""What every log folder has; with two of them it was one, and the third is a loss to be told."""


def log_folders_at(path: Path, disk: Disk) -> tuple[Path, ...]:
    """Return the log folders at a path: itself, else every one below it, or in `logs` below that.

    So a stick with a folder for each laptop is named once. Raises FolderRefused where none is
    there, or there are more than 200.
    """
    if was_log_folder(path, disk):
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
    found = tuple(here for here in below if was_log_folder(here, disk))
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


def opened(paths: Sequence[Path], disk: Disk, clock: Clock) -> tuple[list[LogFolder], list[Tally]]:
    """Return the folders for reading, and a finding for each that cannot be read as one.

    Raises FolderRefused for a path where no folder is, and where none is a log folder.
    """
    found: list[LogFolder] = []
    unread: list[Tally] = []
    refused: list[FolderRefused] = []
    for path in dict.fromkeys(paths):
        tally = Tally(str(path))
        try:
            found.append(LogFolder.look(path, disk, clock))
            continue
        except Damaged as problem:
            tally.add("form", Outcome.FAILS, problem.sentence())
        except FolderRefused as problem:
            if not _is_folder(path, disk):
                raise
            if was_log_folder(path, disk):
                said = f"A part of this log folder is lost: {problem.what}."
                tally.add("form", Outcome.FAILS, said)
            else:
                refused.append(problem)
                said = f"This cannot be read as a log folder: {problem.what}."
                tally.add("form", Outcome.CANNOT_TELL, said)
        unread.append(tally)
    if len(refused) == len(found) + len(unread) > 0:
        raise refused[0]
    return found, unread


def _is_folder(path: Path, disk: Disk) -> bool:
    try:
        facts = disk.facts(path)
    except OSError:
        return False
    return facts is not None and facts.kind is Kind.FOLDER


def was_log_folder(path: Path, disk: Disk) -> bool:
    """Say whether standclear kept its logs there, though a part may be lost since."""
    return sum(_has(path / name, kind, disk) for name, kind in _PARTS.items()) > 1


def _has(path: Path, kind: Kind, disk: Disk) -> bool:
    try:
        facts = disk.facts(path)
    except (OSError, StandclearError, ValueError):
        return False
    return facts is not None and facts.kind is kind

"""Small files that come into being complete or not at all.

The bytes are written and flushed under a temporary name, and only then given the name that
counts; whoever reads the folder sees the whole file or none.
"""

from __future__ import annotations

import errno
import secrets
from contextlib import suppress
from typing import TYPE_CHECKING

from checklist.record.files.platforms import knows_no_second_names

if TYPE_CHECKING:
    from pathlib import Path

    from checklist.record.files.disk import Disk

TEMPORARY = ".tmp"
"""The ending of a file that is not finished; whoever lists a folder passes over it."""


def write_once(disk: Disk, handle: int, data: bytes) -> None:
    """Write `data` in one call; OSError (no space) when the disk took only part of it."""
    taken = disk.write(handle, data)
    if taken != len(data):
        raise OSError(errno.ENOSPC, f"only {taken} of {len(data)} bytes were taken")


def write_whole(disk: Disk, path: Path, data: bytes) -> None:
    """Put `data` at `path`, replacing what was there, completely or not at all.

    On disk when it returns. After an OSError, the old content or the new one stands
    there whole, never a mixture.
    """
    temporary = _written_aside(disk, path, data)
    try:
        disk.replace(temporary, path)
    except OSError:
        _discard(disk, temporary)
        raise
    disk.sync_folder(path.parent)


def create_whole(disk: Disk, path: Path, data: bytes) -> None:
    """Put `data` at `path`, which must not exist yet, completely or not at all.

    On disk when it returns. FileExistsError where the name is taken. Some file systems
    (USB sticks) know no second names; there the callers' lock keeps the name free between
    the look and the rename.
    """
    temporary = _written_aside(disk, path, data)
    try:
        _name_exclusively(disk, temporary, path)
    except OSError:
        _discard(disk, temporary)
        raise
    disk.sync_folder(path.parent)
    _discard(disk, temporary)


def is_temporary(name: str) -> bool:
    """Say whether a name is that of an unfinished file, left behind by a crash."""
    return name.startswith(".") and name.endswith(TEMPORARY)


def _written_aside(disk: Disk, path: Path, data: bytes) -> Path:
    temporary = path.with_name(f".{path.name}.{secrets.token_hex(6)}{TEMPORARY}")
    handle = disk.create_new(temporary)
    try:
        try:
            if data:
                write_once(disk, handle, data)
            disk.sync(handle)
        finally:
            disk.close(handle)
    except OSError:
        _discard(disk, temporary)
        raise
    return temporary


def _name_exclusively(disk: Disk, temporary: Path, path: Path) -> None:
    try:
        disk.link(temporary, path)
    except FileExistsError:
        raise
    except (OSError, NotImplementedError) as problem:
        if not knows_no_second_names(problem):
            raise
        if disk.facts(path) is not None:
            raise FileExistsError(errno.EEXIST, "the name is taken", str(path)) from problem
        disk.replace(temporary, path)


def _discard(disk: Disk, temporary: Path) -> None:
    with suppress(OSError):  # a leftover is harmless: every listing passes over it
        disk.unlink(temporary)

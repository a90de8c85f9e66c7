"""What differs between systems: the strongest flush, folders that cannot be flushed, renaming.

Linux alone was ever run. What macOS and Windows do stands in the documentation of Python's
standard library; the tests run these branches with stand-ins in the place of the system's calls.
"""

from __future__ import annotations

import errno
import os
import sys
import time
from importlib import import_module
from pathlib import Path

SYSTEM: str = sys.platform
"""As `sys.platform` has it: `linux`, `darwin` (macOS), `win32`."""

_NOT_KNOWN = {errno.ENOTSUP, errno.EOPNOTSUPP, errno.EINVAL, errno.ENOTTY, errno.ENOSYS}
"""What a volume says that does not know a request; anything else is a flush that failed."""

_NO_SECOND_NAMES = {errno.EPERM, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS, errno.EMLINK}
_WINDOWS_NO_SECOND_NAMES = {1, 50}  # ERROR_INVALID_FUNCTION, ERROR_NOT_SUPPORTED: FAT, exFAT
_WAITS_S = (0.01, 0.02, 0.05, 0.1, 0.2, 0.3, 0.4)
"""For about a second: Windows renames over no file that a virus scanner is looking at."""


def flush(handle: int) -> None:
    """Return when the file's bytes and size are on the disk itself; OSError where they may not be.

    On macOS `fsync` stops at the drive's own cache, so F_FULLFSYNC is asked for; some network
    and USB volumes there do not know it. Windows and macOS have no `fdatasync`.
    """
    if SYSTEM == "darwin" and _flushed_fully(handle):
        return
    getattr(os, "fdatasync", os.fsync)(handle)


def _flushed_fully(handle: int) -> bool:
    fcntl = import_module("fcntl")  # Windows has none
    try:
        fcntl.fcntl(handle, fcntl.F_FULLFSYNC)
    except OSError as problem:
        if problem.errno not in _NOT_KNOWN:  # a second flush might hide that this one failed
            raise
        return False
    return True


def flush_folder(folder: Path) -> None:
    """Flush the names in `folder`; Windows cannot open a folder and orders names itself."""
    if SYSTEM == "win32":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def rename_over(existing: Path, new: Path) -> None:
    """Rename a file over whatever bears the new name; on Windows tried for about a second."""
    for wait in _WAITS_S if SYSTEM == "win32" else ():
        try:
            existing.replace(new)
        except PermissionError:  # somebody has the old one open
            time.sleep(wait)
        else:
            return
    existing.replace(new)


def knows_no_second_names(problem: BaseException) -> bool:
    """Say whether a refused link only means that this volume has none, as USB sticks have not."""
    if isinstance(problem, NotImplementedError):
        return True
    if getattr(problem, "winerror", None) in _WINDOWS_NO_SECOND_NAMES:
        return True
    return isinstance(problem, OSError) and problem.errno in _NO_SECOND_NAMES


def modes_tell() -> bool:
    """Say whether a file's mode tells who may write it; on Windows it does not."""
    return SYSTEM != "win32"

"""Every file operation of the record, through one small object that tests can replace.

`Disk` is the short list of operations that the record is built from. `RealDisk` does
them on the machine. Whole files are made from these operations alone, in
`checklist.record.files.whole`, so that a test sees, and can fail, each one.
"""

from __future__ import annotations

import errno
import os
import stat
from contextlib import suppress
from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING, Protocol

from checklist.record.errors import HeldElsewhere, TooLarge
from checklist.record.files.platforms import flush, flush_folder, rename_over

if TYPE_CHECKING:
    from pathlib import Path

_BINARY: int = getattr(os, "O_BINARY", 0)  # Windows alone has it
_NO_FOLLOW: int = getattr(os, "O_NOFOLLOW", 0)  # absent on Windows
_NO_WAIT: int = getattr(os, "O_NONBLOCK", 0)  # so that opening a named pipe cannot hang
_TO_READ = os.O_RDONLY | _BINARY | _NO_FOLLOW | _NO_WAIT
_PIECE = 1 << 16  # bytes asked for at once beyond the size that a file had


class Kind(Enum):
    """What stands at a path, looked at without following a symbolic link."""

    FILE = "file"
    FOLDER = "folder"
    LINK = "symbolic link"
    OTHER = "device or pipe"


@dataclass(frozen=True, slots=True)
class Facts:
    """What the disk says about one path."""

    kind: Kind
    size: int
    """Bytes."""

    mode: int
    """Permission bits, as in 0o600."""

    owner: int
    """The owner's user number; 0 where the system has none."""


Mark = tuple[int, ...]
"""What changes when a file is written, replaced or renamed; it proves nothing about its bytes."""


class Held(Protocol):
    """A lock that is held until it is released."""

    def release(self) -> object:
        """Give the lock back; a second call does nothing."""


class Disk(Protocol):
    """The operations that the record needs. Each raises OSError as `os` does."""

    def facts(self, path: Path) -> Facts | None:
        """Return what stands at `path`, or None where nothing does; links are not followed."""

    def names(self, folder: Path) -> list[str]:
        """Return the names in `folder`, sorted."""

    def marks(self, folder: Path) -> dict[str, Mark]:
        """Return a mark for each name in `folder`, other as soon as the file was changed."""

    def read(self, path: Path, *, at_most: int) -> bytes:
        """Return a regular file's bytes; TooLarge beyond `at_most`, OSError for anything else."""

    def read_in(self, folder: Path, name: str, *, at_most: int) -> bytes:
        """Do what `read` does with a file of `folder`, sooner, for one of thousands."""

    def make_folder(self, path: Path) -> None:
        """Create one folder that only its owner can enter (0700)."""

    def restrict(self, folder: Path) -> None:
        """Take every right on an existing folder from all but its owner (0700)."""

    def can_write(self, folder: Path) -> bool:
        """Say whether this program may create files in `folder`."""

    def lock(self, path: Path, *, wait: float) -> Held:
        """Hold the lock named by `path`; HeldElsewhere after `wait` seconds in vain."""

    def create_new(self, path: Path) -> int:
        """Create a file that must not exist (0600) and return a handle for writing."""

    def open_existing(self, path: Path) -> int:
        """Return a handle for writing into an existing regular file, from its start."""

    def seek(self, handle: int, place: int) -> None:
        """Let the next write through a handle of `open_existing` begin at byte `place`."""

    def cut(self, handle: int, size: int) -> None:
        """Drop the file's bytes from `size` on."""

    def write(self, handle: int, data: bytes) -> int:
        """Write once and return how many bytes were taken, which may be fewer than asked."""

    def sync(self, handle: int) -> None:
        """Return when the file's bytes and size are on the disk itself."""

    def close(self, handle: int) -> None:
        """Give the handle back."""

    def sync_folder(self, folder: Path) -> None:
        """Return when the names in `folder` are on the disk itself."""

    def link(self, existing: Path, new: Path) -> None:
        """Give a file a second name; FileExistsError where that name is taken."""

    def replace(self, existing: Path, new: Path) -> None:
        """Rename a file, atomically taking the place of whatever bears the new name."""

    def unlink(self, path: Path) -> None:
        """Remove one name of a file."""


class RealDisk:
    """The machine's own disk."""

    def facts(self, path: Path) -> Facts | None:
        """Return what stands at `path`, or None; links are not followed."""
        try:
            found = path.lstat()
        except (FileNotFoundError, NotADirectoryError):
            return None
        return Facts(_kind(found.st_mode), found.st_size, stat.S_IMODE(found.st_mode), found.st_uid)

    def names(self, folder: Path) -> list[str]:
        """Return the names in `folder`, sorted."""
        return sorted(entry.name for entry in os.scandir(folder))

    def marks(self, folder: Path) -> dict[str, Mark]:
        """Return size, times of content and of change, and number of each file in `folder`."""
        found: dict[str, Mark] = {}
        with os.scandir(folder) as entries:
            for entry in entries:
                with suppress(FileNotFoundError):  # a temporary name may be gone by now
                    s = entry.stat(follow_symlinks=False)
                    found[entry.name] = (s.st_size, s.st_mtime_ns, s.st_ctime_ns, s.st_ino)
        return found

    def read(self, path: Path, *, at_most: int) -> bytes:
        """Return a regular file's bytes; a link, a device or a pipe is refused."""
        return _read(str(path), at_most)

    def read_in(self, folder: Path, name: str, *, at_most: int) -> bytes:
        """Do what `read` does; a path that is joined as text takes half the time."""
        return _read(str(folder) + os.sep + name, at_most)

    def make_folder(self, path: Path) -> None:
        """Create one folder with mode 0700."""
        path.mkdir(mode=0o700)

    def restrict(self, folder: Path) -> None:
        """Set the folder's mode to 0700."""
        folder.chmod(0o700)

    def can_write(self, folder: Path) -> bool:
        """Ask the system; a read-only file system says no as well."""
        return os.access(folder, os.W_OK | os.X_OK)

    def lock(self, path: Path, *, wait: float) -> Held:
        """Hold a lock that the system gives back by itself when the program dies."""
        from filelock import FileLock, Timeout

        held = FileLock(path, mode=0o600, thread_local=False)
        try:
            held.acquire(timeout=wait)
        except Timeout:
            raise HeldElsewhere(
                "another standclear is using this",
                where=path.stem,
                right="Close it there, or wait until it is done.",
            ) from None
        return held

    def create_new(self, path: Path) -> int:
        """Create a file with mode 0600 and return a handle for writing at its end."""
        flags = os.O_WRONLY | os.O_APPEND | os.O_CREAT | os.O_EXCL | _BINARY | _NO_FOLLOW
        return os.open(path, flags, 0o600)

    def open_existing(self, path: Path) -> int:
        """Return a handle for writing into an existing regular file, from its start."""
        if not _NO_FOLLOW:
            _refuse_link(str(path))
        handle = os.open(path, os.O_WRONLY | _BINARY | _NO_FOLLOW | _NO_WAIT)
        try:
            _require_regular(handle, str(path))
        except OSError:
            os.close(handle)
            raise
        return handle

    def seek(self, handle: int, place: int) -> None:
        """Let the next write begin at byte `place`; Windows has no write that names its place."""
        os.lseek(handle, place, os.SEEK_SET)

    def cut(self, handle: int, size: int) -> None:
        """Drop the file's bytes from `size` on."""
        os.ftruncate(handle, size)

    def write(self, handle: int, data: bytes) -> int:
        """Write once and return how many bytes were taken."""
        return os.write(handle, data)

    def sync(self, handle: int) -> None:
        """Ask for the platform's strongest flush of this one file."""
        flush(handle)

    def close(self, handle: int) -> None:
        """Give the handle back."""
        os.close(handle)

    def sync_folder(self, folder: Path) -> None:
        """Flush the names in `folder`, where the system can."""
        flush_folder(folder)

    def link(self, existing: Path, new: Path) -> None:
        """Give a file a second name; FileExistsError where that name is taken."""
        os.link(existing, new)

    def replace(self, existing: Path, new: Path) -> None:
        """Rename a file over whatever bears the new name."""
        rename_over(existing, new)

    def unlink(self, path: Path) -> None:
        """Remove one name of a file."""
        path.unlink()


def _kind(mode: int) -> Kind:
    if stat.S_ISREG(mode):
        return Kind.FILE
    if stat.S_ISDIR(mode):
        return Kind.FOLDER
    return Kind.LINK if stat.S_ISLNK(mode) else Kind.OTHER


def _read(path: str, at_most: int) -> bytes:
    if not _NO_FOLLOW:
        _refuse_link(path)
    handle = os.open(path, _TO_READ)
    try:
        size = _require_regular(handle, path)
        # One byte more than there is: whoever gets less has met the end. Asking for a buffer
        # of the largest size instead would cost ten times as much.
        data = os.read(handle, min(size, at_most) + 1)
        is_all = len(data) == size <= at_most
        return data if is_all else _read_on(handle, data, at_most, path)
    finally:
        os.close(handle)


def _refuse_link(path: str) -> None:
    """Look first where the system follows links whatever it is told, as Windows does."""
    if os.path.islink(path):  # noqa: PTH114 - the path is text, for speed
        raise OSError(errno.ELOOP, os.strerror(errno.ELOOP), path)


def _require_regular(handle: int, path: str) -> int:
    """Return the file's size in bytes; OSError for anything that is no regular file."""
    found = os.fstat(handle)
    if not stat.S_ISREG(found.st_mode):
        raise OSError(errno.EINVAL, "this is not a regular file", path)
    return found.st_size


def _read_on(handle: int, data: bytes, at_most: int, path: str) -> bytes:
    """Return the whole of a file that grows, or whose system gives it piecemeal."""
    pieces, left = [data], at_most + 1 - len(data)
    while data and left > 0 and (data := os.read(handle, min(left, _PIECE))):
        pieces.append(data)
        left -= len(data)
    if left == 0:
        raise TooLarge(f"the file has more than {at_most} bytes", where=path)
    return b"".join(pieces)

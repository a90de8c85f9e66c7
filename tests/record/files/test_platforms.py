"""What macOS and Windows do otherwise, run here with stand-ins for the calls that they have.

None of it was run on those systems. The names of calls and error numbers are those of Python's
standard library documentation (fcntl, os, errno) and of Microsoft's list of system error codes.
"""

from __future__ import annotations

import errno
import fcntl
import multiprocessing
import os
import time
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import resource_tracker
from pathlib import Path
from typing import Any

import filelock
import pytest

from checklist.record.errors import FolderRefused, HeldElsewhere
from checklist.record.files import clock, disk, platforms, workers
from checklist.record.files.disk import RealDisk
from checklist.record.files.folder import LogFolder
from checklist.record.files.whole import create_whole, write_whole
from checklist.record.journals.journal import Journal
from checklist.record.verifying.verify import verify
from tests.record.making import begin, finish, open_folder, person

FULL_SYNC = 51
"""F_FULLFSYNC in macOS's <fcntl.h>."""


class Calls:
    """Hears the system calls that a stand-in takes the place of, and answers as told."""

    def __init__(self) -> None:
        self.made: list[str] = []
        self.refusals: list[OSError] = []

    def hear(self, name: str) -> Any:
        def call(*_: object) -> None:
            self.made.append(name)
            if self.refusals:
                raise self.refusals.pop(0)

        return call


@pytest.fixture
def mac(monkeypatch: pytest.MonkeyPatch) -> Calls:
    """Let the program take this for macOS: F_FULLFSYNC is there, fdatasync and boot time not."""
    calls = Calls()
    monkeypatch.setattr(platforms, "SYSTEM", "darwin")
    monkeypatch.setattr(clock, "SYSTEM", "darwin")
    monkeypatch.setattr(fcntl, "F_FULLFSYNC", FULL_SYNC, raising=False)
    monkeypatch.setattr(fcntl, "fcntl", calls.hear("F_FULLFSYNC"))
    monkeypatch.delattr(os, "fdatasync")
    monkeypatch.setattr(os, "fsync", calls.hear("fsync"))
    monkeypatch.delattr(time, "CLOCK_BOOTTIME")
    return calls


@pytest.fixture
def windows(monkeypatch: pytest.MonkeyPatch) -> Calls:
    """Let the program take this for Windows: no fdatasync, no O_NOFOLLOW, no user numbers."""
    calls = Calls()
    monkeypatch.setattr(platforms, "SYSTEM", "win32")
    monkeypatch.setattr(clock, "SYSTEM", "win32")
    monkeypatch.setattr(disk, "_NO_FOLLOW", 0)
    monkeypatch.setattr(disk, "_NO_WAIT", 0)
    monkeypatch.delattr(os, "fdatasync")
    monkeypatch.setattr(os, "fsync", calls.hear("fsync"))
    monkeypatch.delattr(os, "geteuid")
    monkeypatch.delattr(time, "CLOCK_BOOTTIME")
    return calls


def sealed(path: Path) -> LogFolder:
    """Return a log folder with one session, begun, gone on with and signed."""
    folder = open_folder(path)
    journal = begin(folder, "a" * 32)
    journal.close()
    journal, _ = Journal.resume(folder, "a" * 32)
    finish(folder, journal, person(folder, "Ada Quill"))
    journal.close()
    return folder


def test_macos_flushes_through_the_drives_cache(tmp_path: Path, mac: Calls) -> None:
    """Each file is flushed by F_FULLFSYNC, each folder by fsync; a session seals and verifies."""
    folder = sealed(tmp_path / "logs")

    assert verify(folder).failures == ()
    assert mac.made.count("F_FULLFSYNC") > 5
    assert mac.made.count("fsync") > 5


@pytest.mark.parametrize("number", [errno.ENOTSUP, errno.EINVAL, errno.ENOTTY])
def test_a_volume_that_knows_no_full_flush_gets_the_other(
    tmp_path: Path, mac: Calls, number: int
) -> None:
    """Where F_FULLFSYNC is not known, fsync takes its place."""
    mac.refusals = [OSError(number, "not known")]
    handle = os.open(tmp_path, os.O_RDONLY)
    try:
        platforms.flush(handle)
    finally:
        os.close(handle)

    assert mac.made == ["F_FULLFSYNC", "fsync"]


def test_a_full_flush_that_fails_is_not_hidden(tmp_path: Path, mac: Calls) -> None:
    """An I/O error of F_FULLFSYNC is raised: an fsync behind it might succeed, proving nothing."""
    mac.refusals = [OSError(errno.EIO, "input/output error")]
    handle = os.open(tmp_path, os.O_RDONLY)
    try:
        with pytest.raises(OSError, match="input/output"):
            platforms.flush(handle)
    finally:
        os.close(handle)

    assert mac.made == ["F_FULLFSYNC"]


def test_macos_counts_sleep_by_its_monotonic_clock(mac: Calls) -> None:
    """Without CLOCK_BOOTTIME the boot clock is CLOCK_MONOTONIC, which goes on in sleep there."""
    read = clock._boot_clock()

    assert read.args == (time.CLOCK_MONOTONIC,)  # type: ignore[attr-defined]  # it is a partial
    assert read() > 0


def test_windows_keeps_and_verifies_a_session(tmp_path: Path, windows: Calls) -> None:
    """With no folder flushed and no mode believed a session seals and verifies all the same."""
    folder = sealed(tmp_path / "logs")
    files = windows.made.count("fsync")
    platforms.flush_folder(folder.path)

    assert verify(folder).failures == ()
    assert files > 5
    assert windows.made.count("fsync") == files


def test_windows_modes_are_not_believed(tmp_path: Path, windows: Calls) -> None:
    """What Windows shows as writable for all is no reason to refuse a log folder there."""
    folder = open_folder(tmp_path / "logs")
    folder.keys.chmod(0o777)

    assert open_folder(folder.path).origin == folder.origin


def test_windows_refuses_links_by_looking_first(tmp_path: Path, windows: Calls) -> None:
    """Without O_NOFOLLOW a link is looked at before it is opened, to read and to write."""
    (tmp_path / "file").write_bytes(b"x")
    (tmp_path / "link").symlink_to(tmp_path / "file")
    folder = open_folder(tmp_path / "logs")
    (tmp_path / "elsewhere").symlink_to(folder.path)

    with pytest.raises(OSError, match="symbolic"):
        RealDisk().read(tmp_path / "link", at_most=10)
    with pytest.raises(OSError, match="symbolic") as refused:
        RealDisk().open_existing(tmp_path / "link")
    with pytest.raises(FolderRefused, match="symbolic link"):
        open_folder(tmp_path / "elsewhere")

    assert refused.value.filename == str(tmp_path / "link")
    assert RealDisk().read(tmp_path / "file", at_most=10) == b"x"


def _refusing(monkeypatch: pytest.MonkeyPatch, times: int) -> list[float]:
    """Let a rename be refused so often, as while a virus scanner looks; return what is slept."""
    slept: list[float] = []
    left, real = [times], Path.replace

    def replace(self: Path, new: Path) -> Path:
        if left[0]:
            left[0] -= 1
            raise PermissionError(errno.EACCES, "the file is in use")
        return real(self, new)

    monkeypatch.setattr(Path, "replace", replace)
    monkeypatch.setattr(time, "sleep", slept.append)
    return slept


def test_windows_renames_once_nobody_looks(
    tmp_path: Path, windows: Calls, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A file that somebody has open for a moment is replaced when it is free."""
    (tmp_path / "kept").write_bytes(b"old")
    slept = _refusing(monkeypatch, 3)
    write_whole(RealDisk(), tmp_path / "kept", b"new")

    assert (tmp_path / "kept").read_bytes() == b"new"
    assert len(slept) == 3


def test_windows_gives_up_renaming_and_leaves_the_old_whole(
    tmp_path: Path, windows: Calls, monkeypatch: pytest.MonkeyPatch
) -> None:
    """After about a second the refusal is raised; the old file stands, and nothing unfinished."""
    (tmp_path / "kept").write_bytes(b"old")
    slept = _refusing(monkeypatch, 100)
    with pytest.raises(PermissionError):
        write_whole(RealDisk(), tmp_path / "kept", b"new")

    assert [p.name for p in tmp_path.iterdir()] == ["kept"]
    assert (tmp_path / "kept").read_bytes() == b"old"
    assert 0.5 < sum(slept) < 2


def test_other_systems_rename_at_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Elsewhere a refused rename has another cause and is said at once."""
    slept = _refusing(monkeypatch, 1)
    with pytest.raises(PermissionError):
        write_whole(RealDisk(), tmp_path / "kept", b"new")

    assert slept == []


@pytest.mark.parametrize("code", [1, 50])
def test_a_stick_under_windows_has_no_second_names(
    tmp_path: Path, windows: Calls, monkeypatch: pytest.MonkeyPatch, code: int
) -> None:
    """Where a link is refused as on FAT, a file is made whole by a rename; no name is taken."""

    def link(*_: object) -> None:
        problem = OSError(errno.EINVAL, "incorrect function")
        problem.winerror = code  # type: ignore[attr-defined]  # Windows alone has it
        raise problem

    monkeypatch.setattr(os, "link", link)
    create_whole(RealDisk(), tmp_path / "a", b"first")
    with pytest.raises(FileExistsError):
        create_whole(RealDisk(), tmp_path / "a", b"second")

    assert (tmp_path / "a").read_bytes() == b"first"
    assert [p.name for p in tmp_path.iterdir()] == ["a"]


def test_another_refusal_of_a_link_is_raised(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A full disk is no volume without second names."""

    def link(*_: object) -> None:
        raise OSError(errno.ENOSPC, "no space left")

    monkeypatch.setattr(os, "link", link)
    with pytest.raises(OSError, match="no space"):
        create_whole(RealDisk(), tmp_path / "a", b"first")

    assert list(tmp_path.iterdir()) == []


def test_windows_counts_by_pythons_own_clock(windows: Calls) -> None:
    """Without CLOCK_BOOTTIME and off macOS the boot clock is time.monotonic_ns."""
    assert clock._boot_clock() is time.monotonic_ns


def test_any_lock_of_the_library_holds_and_is_given_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With another kind of lock one program holds, the next is told so; given back, it is free.

    The library picks the kind by the system; that of Windows calls the system itself and cannot
    run here. The soft one shares its face, and takes the same options.
    """
    monkeypatch.setattr(filelock, "FileLock", filelock.SoftFileLock)
    held = RealDisk().lock(tmp_path / "ledger.lock", wait=0)
    with pytest.raises(HeldElsewhere, match="another standclear"):
        RealDisk().lock(tmp_path / "ledger.lock", wait=0)
    held.release()
    RealDisk().lock(tmp_path / "ledger.lock", wait=0).release()

    assert issubclass(filelock.WindowsFileLock, filelock.BaseFileLock)
    assert issubclass(filelock.SoftFileLock, filelock.BaseFileLock)


def test_windows_starts_processes_without_a_helper(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where `spawn` is the only method, no tracker is started, and 61 processes are the most."""
    asked: list[tuple[int, str]] = []

    class Pool(ProcessPoolExecutor):
        def __init__(self, count: int, context: Any) -> None:
            asked.append((count, context.get_start_method()))
            super().__init__(1, context)

    def refused() -> None:
        raise ImportError("_posixsubprocess")

    monkeypatch.setattr(multiprocessing, "get_all_start_methods", lambda: ["spawn"])
    monkeypatch.setattr(resource_tracker, "ensure_running", refused)
    monkeypatch.setattr(workers, "ProcessPoolExecutor", Pool)
    monkeypatch.setattr(os, "cpu_count", lambda: 128)
    monkeypatch.setattr(os, "process_cpu_count", lambda: 128, raising=False)
    with workers.workers_for(workers.WORTH_IT, [open_folder(tmp_path / "logs")]) as many:
        assert many.count == 61
    assert asked == [(61, "spawn")]


def test_one_flush_through_the_drives_cache_suffices(tmp_path: Path, mac: Calls) -> None:
    """Where F_FULLFSYNC was done no second flush follows, which would cost as much again."""
    handle = os.open(tmp_path, os.O_RDONLY)
    try:
        platforms.flush(handle)
    finally:
        os.close(handle)

    assert mac.made == ["F_FULLFSYNC"]


def test_a_system_without_links_has_no_second_names() -> None:
    """Python says so by NotImplementedError; a refusal of another kind is none of that."""
    assert platforms.knows_no_second_names(NotImplementedError())
    assert platforms.knows_no_second_names(OSError(errno.EPERM, "not permitted"))
    assert not platforms.knows_no_second_names(OSError(errno.EACCES, "denied"))

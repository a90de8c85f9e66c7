"""The machine's own disk: killed programs, full disks, two programs, other users, odd files."""

from __future__ import annotations

import errno
import os
import signal
import stat
import subprocess
import sys
import time
from pathlib import Path

import pytest

from checklist.record.errors import FolderRefused, HeldElsewhere, NotSaved, TooLarge
from checklist.record.files import disk
from checklist.record.files.disk import RealDisk
from checklist.record.files.folder import LogFolder
from checklist.record.files.whole import create_whole, write_once, write_whole
from checklist.record.journals.journal import Journal
from checklist.record.journals.seal import resume_session
from checklist.record.ledgers.ledger import Ledger
from checklist.record.verifying.verify import verify
from tests.conftest import Tried
from tests.record.making import HandClock, begin, finish, open_folder, person

ROOT = Path(__file__).parents[3]
NOBODY = 65534

CHILD = """
import sys
from pathlib import Path
from tests.record.making import begin, open_folder
from checklist.record.journals.seal import resume_session
folder = open_folder(Path(sys.argv[1]))
session = "d" * 32
if folder.session_file(session).exists():
    journal, _ = resume_session(folder, session)
else:
    journal = begin(folder, session)
while True:
    line = journal.append("answered", {"step": len(journal.lines)})
    sys.stdout.write(f"{line.number}\\n")
    sys.stdout.flush()
"""


def start(code: str, *arguments: str) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-c", code, *arguments], cwd=ROOT, stdout=subprocess.PIPE, text=True
    )


def kill_in(folder: Path, *, after_lines: int, then_seconds: float) -> int:
    """Run the child until it has told so many answers, and kill it; return the last it told."""
    child = start(CHILD, str(folder))
    assert child.stdout is not None
    for _ in range(after_lines):
        child.stdout.readline()
    time.sleep(then_seconds)
    child.send_signal(signal.SIGKILL)
    rest = child.communicate()[0]
    told = [int(line) for line in rest.split("\n")[:-1] if line.strip()]
    return told[-1] if told else 0


def kills(folder: Path, count: int) -> None:
    last = 0
    for number in range(count):
        told = kill_in(folder, after_lines=1 + number, then_seconds=0.003 * (number % 7))
        log = LogFolder.open(folder, RealDisk(), HandClock())
        journal, _ = resume_session(log, "d" * 32)
        found = len(journal.lines)
        journal.close()

        assert max(told, last) <= found
        assert not told or found <= told + 1
        assert verify(log).failures == ()
        last = found


def test_killed_at_random_moments(tmp_path: Path, tried: Tried) -> None:
    """A real kill -9 loses no answer that was told; at most one more is there."""
    kills(tmp_path / "logs", 8)
    tried("kills", 8)


@pytest.mark.long
def test_killed_often(tmp_path: Path, tried: Tried) -> None:
    """The same, a hundred times."""
    kills(tmp_path / "logs", 100)
    tried("kills", 100)


def test_short_write_of_a_real_disk(tmp_path: Path) -> None:
    """Where the system takes a part of a line (RLIMIT_FSIZE), it is NOT SAVED and is mended."""
    code = """
import resource, signal, sys
from pathlib import Path
from tests.record.making import begin, open_folder
from checklist.record.errors import NotSaved
folder = open_folder(Path(sys.argv[1]))
journal = begin(folder, "e" * 32)
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
journal.append("answered", {"step": 1})
size = journal.path.stat().st_size
resource.setrlimit(resource.RLIMIT_FSIZE, (size, size))
while True:
    try:
        journal.append("answered", {"step": len(journal.lines)})
    except NotSaved as problem:
        print(len(journal.lines), size, problem)
        break
"""
    told, _ = start(code, str(tmp_path / "logs")).communicate()
    folder = open_folder(tmp_path / "logs")
    lines, size = map(int, told.split()[:2])
    assert folder.session_file("e" * 32).stat().st_size == size
    journal, torn = resume_session(folder, "e" * 32)

    assert "NOT SAVED" in told
    assert len(journal.lines) == lines > 50
    assert torn is not None
    assert torn.kept_at.stat().st_size == torn.size > 0


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="a device of Linux")
def test_full_disk_is_an_error() -> None:
    """The device that is always full refuses, and the refusal is not swallowed."""
    handle = os.open("/dev/full", os.O_WRONLY)
    try:
        with pytest.raises(OSError, match=os.strerror(errno.ENOSPC)):
            write_once(RealDisk(), handle, b"x")
    finally:
        os.close(handle)


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="a device of Linux")
def test_a_journal_on_a_full_disk_says_not_saved(tmp_path: Path) -> None:
    """A real ENOSPC in the middle of a session ends in NOT SAVED, and nothing told is lost."""
    journal = begin(open_folder(tmp_path / "logs"), "f" * 32)
    assert journal._handle is not None
    full = os.open("/dev/full", os.O_WRONLY)
    os.dup2(full, journal._handle)
    os.close(full)
    with pytest.raises(NotSaved, match="NOT SAVED"):
        journal.append("answered", {})
    journal.close()
    again, torn = resume_session(open_folder(tmp_path / "logs"), "f" * 32)

    assert torn is None
    assert len(again.lines) == 1


def test_two_programs_on_one_session(tmp_path: Path) -> None:
    """While another program has a session open, it cannot be opened; after a kill it can."""
    child = start(CHILD, str(tmp_path / "logs"))
    assert child.stdout is not None
    child.stdout.readline()
    folder = open_folder(tmp_path / "logs")
    with pytest.raises(HeldElsewhere, match="another standclear"):
        Journal.resume(folder, "d" * 32)
    child.kill()
    child.communicate()
    journal, _ = Journal.resume(folder, "d" * 32)

    assert len(journal.lines) >= 2


def test_two_programs_on_one_ledger(tmp_path: Path) -> None:
    """Two programs that add entries at once make one chain with nothing lost."""
    code = """
import sys
from pathlib import Path
from tests.record.making import open_folder
from checklist.record.ledgers.entries import Draft
from checklist.record.ledgers.ledger import Ledger
folder = open_folder(Path(sys.argv[1]))
for number in range(25):
    Ledger(folder).append(Draft("near miss", fields=(("what", f"{sys.argv[2]} {number}"),)))
"""
    folder = open_folder(tmp_path / "logs")
    children = [start(code, str(folder.path), name) for name in ("one", "two")]
    for child in children:
        child.communicate(timeout=60)
    said = [recorded.entry.field("what") for recorded in Ledger(folder).entries()]

    assert sorted(map(str, said)) == sorted(f"{n} {i}" for n in ("one", "two") for i in range(25))


def test_two_programs_begin_one_folder(tmp_path: Path) -> None:
    """Two first starts at the same moment agree on one origin."""
    code = """
import sys
from pathlib import Path
from tests.record.making import open_folder
print(open_folder(Path(sys.argv[1])).origin)
"""
    children = [start(code, str(tmp_path / "logs")) for _ in range(3)]
    origins = {child.communicate(timeout=60)[0].strip() for child in children}

    assert len(origins) == 1
    assert origins == {open_folder(tmp_path / "logs").origin}


def test_modes_under_umask_zero(tmp_path: Path) -> None:
    """Even where the user's umask is 000, nobody else may enter, read or write."""
    before = os.umask(0)
    try:
        folder = open_folder(tmp_path / "logs")
        journal = begin(folder)
        finish(folder, journal, person(folder, "Ada Quill"))
        journal.close()
    finally:
        os.umask(before)
    found = {path: stat.S_IMODE(path.stat().st_mode) for path in folder.path.rglob("*")}

    assert all(mode == (0o700 if path.is_dir() else 0o600) for path, mode in found.items())
    assert stat.S_IMODE(folder.path.stat().st_mode) == 0o700
    assert len(found) > 12


def test_a_wide_folder_is_narrowed_on_first_use_and_refused_later(tmp_path: Path) -> None:
    """A checkout's group-writable logs/ is narrowed once; widened later, it is refused."""
    wide = tmp_path / "logs"
    wide.mkdir()
    wide.chmod(0o775)
    open_folder(wide)
    assert stat.S_IMODE(wide.stat().st_mode) == 0o700
    wide.chmod(0o770)

    with pytest.raises(FolderRefused, match="other users of this computer can change"):
        open_folder(wide)


@pytest.mark.parametrize("part", ["keys", "ledger", "sessions"])
def test_a_part_that_others_can_write_is_refused(tmp_path: Path, part: str) -> None:
    """A folder inside that others can write is refused, with the command that mends it."""
    folder = open_folder(tmp_path / "logs")
    (folder.path / part).chmod(0o722)

    with pytest.raises(FolderRefused, match=f"chmod go-w .*{part}"):
        open_folder(folder.path)


def test_a_key_file_that_others_can_write_is_refused(tmp_path: Path) -> None:
    """A key's card that others can write is not believed."""
    from checklist.record.roll.keys import keys_of

    folder = open_folder(tmp_path / "logs")
    person(folder, "Ada Quill")
    next(folder.keys.glob("*.json")).chmod(0o666)

    with pytest.raises(FolderRefused, match="other users"):
        keys_of(folder)


@pytest.mark.parametrize("part", ["", "keys", "sessions"])
def test_symbolic_links_are_refused(tmp_path: Path, part: str) -> None:
    """A link in the place of the log folder, or of a folder in it, is refused."""
    folder = open_folder(tmp_path / "logs")
    place = folder.path / part if part else folder.path
    place.rename(tmp_path / "elsewhere")
    place.symlink_to(tmp_path / "elsewhere")

    with pytest.raises(FolderRefused, match="symbolic link"):
        open_folder(folder.path)


def test_a_session_file_that_is_a_link_is_refused(tmp_path: Path) -> None:
    """A session file replaced by a link is neither opened nor followed."""
    folder = open_folder(tmp_path / "logs")
    journal = begin(folder, "a" * 32)
    journal.close()
    path = folder.session_file("a" * 32)
    path.rename(tmp_path / "elsewhere")
    path.symlink_to(tmp_path / "elsewhere")

    with pytest.raises(FolderRefused, match="symbolic link"):
        Journal.resume(folder, "a" * 32)
    assert any(check.name == "session file" for check in verify(folder).failures)


@pytest.mark.parametrize("name", ["../origin", "..", "A" * 32, "a" * 31, "a" * 32 + "\n", ""])
def test_names_that_are_paths_are_refused(tmp_path: Path, name: str) -> None:
    """Only names of the program's own making lead to a file."""
    folder = open_folder(tmp_path / "logs")

    with pytest.raises(FolderRefused):
        folder.session_file(name)
    with pytest.raises(FolderRefused):
        folder.kept_file(folder.rules, name)


@pytest.mark.skipif(os.geteuid() != 0, reason="only root can become another user")
def test_a_read_only_folder_is_one_sentence(tmp_path: Path) -> None:
    """Another user, who cannot write the folder, gets one clear sentence and no traceback."""
    tmp_path.chmod(0o755)
    for parent in list(tmp_path.parents)[:2]:
        parent.chmod(0o755)
    (tmp_path / "closed").mkdir(mode=0o755)
    code = """
import os, sys
from pathlib import Path
from tests.record.making import open_folder
from checklist.record.errors import FolderRefused
from checklist.record.files.disk import RealDisk
import checklist.record.journals.journal, checklist.record.journals.seal
import checklist.record.verifying.verify, platformdirs
os.setgid(65534); os.setuid(65534)
for place in (Path(sys.argv[1]), Path(sys.argv[1]) / "logs"):
    try:
        open_folder(place)
    except FolderRefused as problem:
        print(problem)
"""
    child = start(code, str(tmp_path / "closed"))
    said = child.communicate(timeout=60)[0].splitlines()

    assert child.returncode == 0
    assert len(said) == 2
    assert "read-only for you" in said[0] or "cannot be made or written" in said[0]
    assert "cannot be made or written: permission denied" in said[1]


def test_devices_and_pipes_are_not_read(tmp_path: Path) -> None:
    """A pipe or a device in the place of a file is refused at once and does not hang."""
    os.mkfifo(tmp_path / "pipe")
    for path in (tmp_path / "pipe", Path("/dev/zero")):
        with pytest.raises(OSError, match="not a regular file"):
            RealDisk().read(path, at_most=10)


def test_create_whole_takes_no_name_twice(tmp_path: Path) -> None:
    """A name that is taken is never overwritten, and nothing unfinished is left behind."""
    disk = RealDisk()
    create_whole(disk, tmp_path / "a", b"first")
    with pytest.raises(FileExistsError):
        create_whole(disk, tmp_path / "a", b"second")

    assert (tmp_path / "a").read_bytes() == b"first"
    assert disk.names(tmp_path) == ["a"]


def test_write_whole_replaces(tmp_path: Path) -> None:
    """What was there is replaced, and nothing unfinished is left behind."""
    disk = RealDisk()
    write_whole(disk, tmp_path / "a", b"first")
    write_whole(disk, tmp_path / "a", b"second")

    assert (tmp_path / "a").read_bytes() == b"second"
    assert disk.names(tmp_path) == ["a"]


def test_a_file_that_grows_is_read_whole(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """What was added after its size was asked for is read too, up to the largest size allowed."""
    path = tmp_path / "grown"
    path.write_bytes(b"one two three")
    monkeypatch.setattr(disk, "_require_regular", lambda *_: 4)

    assert RealDisk().read(path, at_most=13) == b"one two three"
    with pytest.raises(TooLarge, match="more than 12 bytes"):
        RealDisk().read(path, at_most=12)


def test_a_file_is_read_in_its_folder(tmp_path: Path) -> None:
    """The quicker way by folder and name gives what the path gives, and refuses the same."""
    (tmp_path / "a").write_bytes(b"x")

    assert RealDisk().read_in(tmp_path, "a", at_most=1) == b"x"
    with pytest.raises(FileNotFoundError):
        RealDisk().read_in(tmp_path, "b", at_most=1)


def test_a_device_is_not_written_to() -> None:
    """What is no regular file is let go again at once, and the refusal names it."""
    device = Path(os.devnull)
    with pytest.raises(OSError, match="not a regular file") as refused:
        RealDisk().open_existing(device)

    assert refused.value.filename == os.devnull
    assert refused.value.errno == errno.EINVAL


def test_a_write_that_was_cut_short_is_a_full_disk() -> None:
    """The system took a part and said nothing: the rest did not fit."""

    class Short(RealDisk):
        def write(self, handle: int, data: bytes) -> int:
            return len(data) - 1

    with pytest.raises(OSError, match="only 2 of 3 bytes") as refused:
        write_once(Short(), 0, b"abc")

    assert refused.value.errno == errno.ENOSPC

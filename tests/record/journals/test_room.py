"""Room behind the lines of a session that goes on: what stands there, and that it goes."""

from __future__ import annotations

import errno
from contextlib import suppress

import pytest

from checklist.record.errors import Damaged, NotSaved
from checklist.record.files.folder import LogFolder
from checklist.record.journals import journal as journal_module
from checklist.record.journals.journal import Journal
from checklist.record.journals.lines import ROOM, compose, read_lines, scan
from checklist.record.journals.seal import abandon, resume_session
from checklist.record.journals.states import session_states
from checklist.record.lookup.recall import Recall
from checklist.record.verifying.verify import verify
from checklist.sessions.tagging.tags import Told, _told
from tests.record.crashdisk import ROOT, CrashDisk
from tests.record.making import HandClock, begin, finish, person

SESSION = "a" * 32


@pytest.fixture
def disk() -> CrashDisk:
    return CrashDisk()


@pytest.fixture
def folder(disk: CrashDisk) -> LogFolder:
    return LogFolder.open(ROOT / "logs", disk, HandClock())


@pytest.fixture
def journal(folder: LogFolder) -> Journal:
    made = begin(folder, SESSION)
    made.append("answered", {"step": 1})
    return made


def content(journal: Journal) -> bytes:
    return journal._folder.disk.read(journal.path, at_most=1 << 20)


def lines_of(journal: Journal) -> bytes:
    return b"".join(map(compose, journal.lines))


def test_answers_are_written_over_the_room(journal: Journal) -> None:
    """The file grows with its first answer and then not, until there is no room left."""
    sizes = [len(content(journal))]
    assert sizes[0] == journal.digest().size + ROOM
    while len(journal.lines) < 150:
        journal.append("answered", {"step": len(journal.lines)})
        assert content(journal).rstrip(b"\0") == lines_of(journal)
        sizes.append(len(content(journal)))

    assert len(set(sizes)) <= 1 + sizes[-1] // ROOM < 5


@pytest.mark.parametrize("ending", ["let go", "closed", "given up"])
def test_no_room_is_left_behind(folder: LogFolder, journal: Journal, ending: str) -> None:
    """Whichever way a session is left, its file is its lines and nothing else."""
    assert content(journal).endswith(b"\0")
    if ending == "closed":
        finish(folder, journal, person(folder, "Ada Quill"))
        assert content(journal) == lines_of(journal)
    journal.close()
    if ending == "given up":
        abandon(folder, SESSION, "wind rose to 25 mph")
    lines = read_lines(folder.disk, journal.path)

    assert content(journal) == b"".join(map(compose, lines))
    assert verify(folder).failures == ()


def test_room_is_no_torn_tail(folder: LogFolder, journal: Journal) -> None:
    """After a kill the room is still there: it is not called torn, and nothing is set aside."""
    folder.disk.locks.clear()  # type: ignore[attr-defined]  # the system does it when a program dies
    assert read_lines(folder.disk, journal.path) == journal.lines
    assert verify(folder).failures == ()
    again, torn = resume_session(folder, SESSION)

    assert torn is None
    assert again.lines == journal.lines
    assert folder.disk.names(folder.quarantine) == []


def test_a_torn_write_in_the_room_is_set_aside_without_it(
    disk: CrashDisk, folder: LogFolder, journal: Journal
) -> None:
    """What a short write left in the room is kept to its last byte, the blanks after it are not."""
    disk.fail_at, disk.failure, disk.short = disk.done, errno.ENOSPC, 40
    with pytest.raises(NotSaved):
        journal.append("answered", {"step": 2})
    journal.close()
    assert content(journal).endswith(b"\0")
    again, torn = resume_session(folder, SESSION)

    assert torn is not None
    assert torn.size == len(disk.read(torn.kept_at, at_most=1000)) == 40
    assert len(again.lines) == 2


@pytest.mark.parametrize("at", [0, 1, ROOM // 2, ROOM - 2])
def test_anything_else_in_the_room_is_torn(journal: Journal, at: int) -> None:
    """One other byte anywhere in the room is said, and so is a newline."""
    data, good = content(journal), journal.digest().size
    for byte in b"x\n\x01":
        changed = data[: good + at] + bytes([byte]) + data[good + at + 1 :]

        assert scan(changed, SESSION).torn == changed[good:].rstrip(b"\0")


def test_a_whole_line_after_blanks_is_damage(journal: Journal) -> None:
    """A line that does not follow the one before at once is no torn write."""
    lines = lines_of(journal)
    line = lines.splitlines(keepends=True)[1]
    with pytest.raises(Damaged, match="line 3"):
        scan(lines + bytes(9) + b"\n" + line + bytes(9), SESSION)


def test_blanks_behind_a_last_line_are_a_finding(folder: LogFolder, journal: Journal) -> None:
    """An ended session has no room: blanks that stand there are torn and fail verification."""
    finish(folder, journal, person(folder, "Ada Quill"))
    handle = folder.disk.open_existing(journal.path)
    folder.disk.seek(handle, journal.digest().size)
    folder.disk.write(handle, bytes(5))

    assert scan(content(journal), SESSION).torn == bytes(5)
    assert {check.name for check in verify(folder).failures} == {"line hashes", "session file"}


def test_a_writer_that_leaves_room_behind_is_found_out(
    folder: LogFolder, journal: Journal, monkeypatch: pytest.MonkeyPatch
) -> None:
    """These tests have teeth: sealed without the cut, the file is not the one that was signed."""
    monkeypatch.setattr(CrashDisk, "cut", lambda *_: None)
    finish(folder, journal, person(folder, "Ada Quill"))

    assert verify(folder).failures


def test_a_file_at_its_largest_takes_no_room(
    journal: Journal, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Lines and room together stay within what every reader takes."""
    largest = journal.digest().size + 3000 + ROOM
    monkeypatch.setattr(journal_module, "LARGEST_FILE", largest)
    with suppress(NotSaved):
        while True:
            journal.append("answered", {"step": 2})
            assert len(content(journal)) <= largest

    assert largest - 400 < journal.digest().size <= largest


def test_what_a_running_session_says_of_tags_is_read_anew(
    folder: LogFolder, journal: Journal, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where a disk's times are coarse, a line in the room leaves the file's mark as it was."""
    monkeypatch.setattr(CrashDisk, "marks", lambda *_: {f"{SESSION}.jsonl": (1,)})
    recall = Recall[Told]()
    before = list(_told(folder, session_states(folder), recall))
    journal.append("answered", {"step": 2})

    assert list(_told(folder, session_states(folder), recall)) != before

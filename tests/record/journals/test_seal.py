"""Sealing: who signed, who is missing, what is refused, and what doing it again does."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from checklist.record.errors import Damaged, EntryRefused, RecordError
from checklist.record.files.folder import LogFolder
from checklist.record.journals import begin as begin_module
from checklist.record.journals.journal import Journal
from checklist.record.journals.lines import ABANDONED, read_lines
from checklist.record.journals.seal import (
    Signing,
    abandon,
    begin_session,
    resume_session,
    seal,
    sign_late,
)
from checklist.record.journals.states import SessionState, State, session_states, state_of
from checklist.record.verifying.verify import verify
from tests.record.clubs import laptop
from tests.record.crashdisk import CrashDisk, MemoryLock
from tests.record.making import HandClock, begin, come_late, finish, open_folder, person

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture
def folder(tmp_path: Path) -> LogFolder:
    return open_folder(tmp_path / "logs")


def state(folder: LogFolder, session_id: str) -> State:
    return session_states(folder)[session_id].state


def test_all_signed_is_sealed(folder: LogFolder) -> None:
    """When everyone expected has signed, the session is sealed and takes nothing more."""
    journal = begin(folder)
    recorded = finish(folder, journal, person(folder, "Ada Quill"), person(folder, "Ben Marsh"))

    assert recorded.entry.kind == "sealed"
    assert state(folder, journal.session_id) is State.SEALED
    with pytest.raises(RecordError, match="closed and takes no more"):
        journal.append("answered", {})
    journal.close()
    with pytest.raises(EntryRefused, match="has ended: sealed"):
        resume_session(folder, journal.session_id)


def test_one_missing_is_not_sealed_until_signed_late(folder: LogFolder) -> None:
    """A missing signature is told by name and role, and completes the session when given."""
    ada, ben = person(folder, "Ada Quill"), person(folder, "Ben Marsh")
    journal = begin(folder)
    recorded = finish(folder, journal, ada, absent=("Ben Marsh",))
    before = session_states(folder)[journal.session_id]
    assert (recorded.entry.kind, before.state) == ("closed", State.SIGNATURE_MISSING)
    assert [(due.person, due.role) for due in before.missing] == [("Ben Marsh", "helper")]
    late = come_late(folder, journal.session_id, ben)

    assert late.entry.target == recorded.sha256
    assert late.entry.file == recorded.entry.file
    assert state(folder, journal.session_id) is State.SEALED
    with pytest.raises(EntryRefused, match="no signature is missing"):
        come_late(folder, journal.session_id, ben)


def test_a_missing_signature_cannot_move(folder: LogFolder) -> None:
    """Neither another person, nor another role, nor another key can fill the missing place."""
    ada, ben, carl = (person(folder, name) for name in ("Ada Quill", "Ben Marsh", "Carl Fen"))
    other = person(folder, "Ben Marsh")
    journal = begin(folder)
    signings = [
        Signing("Ada Quill", "in charge", ada),
        Signing("Ben Marsh", "helper", known_key=ben.public),
    ]
    seal(folder, journal, verdict="stopped", signings=signings)
    wrong = [
        Signing("Carl Fen", "helper", carl),
        Signing("Ben Marsh", "worker", ben),
        Signing("Ben Marsh", "helper", other),
        Signing("Ada Quill", "in charge", ada),
    ]
    for signing in wrong:
        with pytest.raises(EntryRefused, match=r"Missing: Ben Marsh \(helper\)"):
            sign_late(folder, journal.session_id, [signing])
    sign_late(folder, journal.session_id, [Signing("Ben Marsh", "helper", ben)])

    assert state(folder, journal.session_id) is State.SEALED


def test_another_persons_key_is_refused(folder: LogFolder) -> None:
    """A key signs for the person it was made for and nobody else, and nothing is written."""
    ada = person(folder, "Ada Quill")
    journal = begin(folder)
    with pytest.raises(EntryRefused, match="cannot sign for Ben Marsh"):
        seal(
            folder,
            journal,
            verdict="no stop found",
            signings=[Signing("Ben Marsh", "worker", ada)],
        )

    assert not journal.is_closed
    assert len(list(folder.ledger.iterdir())) == 1


def test_nobody_to_sign_is_refused(folder: LogFolder) -> None:
    """A session without a single expected signer cannot be ended as anything."""
    journal = begin(folder)
    with pytest.raises(EntryRefused, match="must name its signers"):
        seal(folder, journal, verdict="no stop found", signings=[])

    assert not journal.is_closed


@pytest.mark.parametrize("verdict", ["safe", "", "No stop found", "no stop found\nkind sealed"])
def test_other_verdicts_are_refused(folder: LogFolder, verdict: str) -> None:
    """There are three verdicts, and `safe` is none of them."""
    journal = begin(folder)
    with pytest.raises(EntryRefused, match="no verdict"):
        finish(folder, journal, person(folder, "Ada Quill"), verdict=verdict)

    assert not journal.is_closed


def test_sealing_again_gives_the_same_entry(folder: LogFolder) -> None:
    """Done again, as after a crash, sealing adds nothing; with another verdict it is refused."""
    ada = person(folder, "Ada Quill")
    journal = begin(folder)
    first = finish(folder, journal, ada)
    assert finish(folder, journal, ada) == first
    with pytest.raises(EntryRefused, match="closed already"):
        finish(folder, journal, ada, verdict="stopped")

    assert len(list(folder.ledger.iterdir())) == 2


def test_an_abandoned_session_shows(folder: LogFolder) -> None:
    """A session that was given up stays, with its reason, in file and ledger."""
    journal = begin(folder)
    journal.close()
    recorded = abandon(folder, journal.session_id, "wind rose to 25 mph")

    assert recorded.entry.field("reason") == "wind rose to 25 mph"
    assert state(folder, journal.session_id) is State.ABANDONED
    assert read_lines(folder.disk, journal.path)[-1].data == {"reason": "wind rose to 25 mph"}
    assert verify(folder).failures == ()
    with pytest.raises(EntryRefused, match="has ended"):
        abandon(folder, journal.session_id, "again")


def test_giving_up_that_was_cut_short_keeps_its_first_reason(folder: LogFolder) -> None:
    """A crash came between the session's last line and its entry: the line's reason counts."""
    journal = begin(folder)
    journal.append(ABANDONED, {"reason": "wind rose to 25 mph"})
    journal.close()
    recorded = abandon(folder, journal.session_id, "typed again")

    assert recorded.entry.field("reason") == "wind rose to 25 mph"
    assert verify(folder).failures == ()


def test_a_damaged_session_can_be_given_up(folder: LogFolder) -> None:
    """A session that cannot be opened any more does not block for ever: it is given up as it is."""
    journal = begin(folder)
    for number in range(3):
        journal.append("answered", {"step": number})
    journal.close()
    journal.path.write_bytes(journal.path.read_bytes().replace(b'"step":1', b'"step":7'))
    with pytest.raises(Damaged, match="hash differs"):
        resume_session(folder, journal.session_id)
    recorded = abandon(folder, journal.session_id, "the file is damaged")

    assert "hash differs" in str(recorded.entry.field("damage"))
    assert state(folder, journal.session_id) is State.ABANDONED
    assert verify(folder).failures == ()
    journal.path.write_bytes(journal.path.read_bytes().replace(b'"step":7', b'"step":1'))
    assert len(verify(folder).failures) == 1


def test_nobody_signs_a_changed_file(folder: LogFolder) -> None:
    """A late signature is refused when the session's file is not the one that was closed."""
    journal = begin(folder)
    finish(folder, journal, person(folder, "Ada Quill"), absent=("Ben Marsh",))
    journal.close()
    data = journal.path.read_bytes()
    journal.path.write_bytes(data.replace(b"Ridge Hollow", b"Ridge Hallow"))

    with pytest.raises(Damaged):
        come_late(folder, journal.session_id, person(folder, "Ben Marsh"))


def test_nobody_signs_another_sound_file(folder: LogFolder) -> None:
    """A file that reads well but lacks the last line is told from what was closed by its hash."""
    journal = begin(folder)
    finish(folder, journal, person(folder, "Ada Quill"), absent=("Ben Marsh",))
    journal.close()
    lines = journal.path.read_bytes().splitlines(keepends=True)
    journal.path.write_bytes(b"".join(lines[:-1]))

    with pytest.raises(Damaged) as refused:
        come_late(folder, journal.session_id, person(folder, "Ben Marsh"))
    assert refused.value.sentence() == (
        f"{journal.path}: the session's file is not the one that was closed. "
        "Restore it from a copy of the log folder before anyone signs."
    )


def test_begin_refuses_before_it_writes(folder: LogFolder) -> None:
    """An edition with a blank, or a name with an escape, is refused and leaves nothing behind."""
    for name, edition in (("x", "2026 11"), ("x\x1b[2J", "1"), ("x\ny", "1"), ("", "1")):
        with pytest.raises(EntryRefused):
            begin_session(folder, rule_name=name, edition=edition, rule_bytes=b"x")

    assert list(folder.sessions.iterdir()) == []


def test_a_session_without_entry_is_entered_when_resumed(folder: LogFolder) -> None:
    """A crash between a session's file and its entry is mended by going on with it."""
    journal = begin(folder, "a" * 32)
    journal.close()
    next(folder.ledger.iterdir()).unlink()
    assert session_states(folder)["a" * 32].begun is None
    again, _ = resume_session(folder, "a" * 32)
    again.close()

    assert session_states(folder)["a" * 32].begun is not None


def test_a_session_that_ends_while_it_is_opened_is_refused(
    folder: LogFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another program may end a session between the first look and the lock; that is seen."""
    journal = begin(folder)
    finish(folder, journal, person(folder, "Ada Quill"))
    journal.close()
    looks = iter([SessionState(State.RUNNING)])
    monkeypatch.setattr(begin_module, "state_of", lambda group: next(looks, state_of(group)))
    with pytest.raises(EntryRefused, match="has ended: sealed"):
        resume_session(folder, journal.session_id)
    Journal.resume(folder, journal.session_id)[0].close()


def test_one_person_in_two_roles_signs_once(folder: LogFolder) -> None:
    """Two roles of one person are two signers and one signature, and all of it verifies."""
    ada = person(folder, "Ada Quill")
    signings = [Signing("Ada Quill", "in charge", ada), Signing("Ada Quill", "worker", ada)]
    recorded = seal(folder, begin(folder), verdict="no stop found", signings=signings)

    assert (len(recorded.entry.signers), len(recorded.signatures)) == (2, 1)
    assert verify(folder).failures == ()


def test_a_session_that_has_ended_is_not_touched_by_going_on(folder: LogFolder) -> None:
    """A torn end on its file stays, for a review to find: nothing is set aside or cut off."""
    journal = begin(folder)
    finish(folder, journal, person(folder, "Ada Quill"))
    journal.close()
    with journal.path.open("ab") as file:
        file.write(b"torn")
    before = journal.path.read_bytes()
    with pytest.raises(EntryRefused, match="has ended: sealed"):
        resume_session(folder, journal.session_id)

    assert journal.path.read_bytes() == before


def test_who_signed_later_stands_with_the_state(folder: LogFolder) -> None:
    """The late entries are named, and what was corrected is something else."""
    ada, ben = person(folder, "Ada Quill"), person(folder, "Ben Marsh")
    journal = begin(folder)
    finish(folder, journal, ada, absent=("Ben Marsh",))
    late = come_late(folder, journal.session_id, ben)
    found = session_states(folder)[journal.session_id]

    assert (found.state, found.late, found.corrected) == (State.SEALED, (late,), None)


class NamingDisk(CrashDisk):
    """Keeps the names of the locks that are held, in their order."""

    def __init__(self) -> None:
        super().__init__()
        self.held: list[str] = []

    def lock(self, path: Path, *, wait: float) -> MemoryLock:
        self.held.append(path.stem)
        return super().lock(path, wait=wait)


def test_the_ledger_is_read_and_written_under_its_lock_alone() -> None:
    """Going on with a session holds the ledger's lock for each look, and the session's own."""
    disk = NamingDisk()
    folder = laptop("laptop", HandClock(), disk)
    begin(folder, "a" * 32).close()
    disk.held.clear()
    resume_session(folder, "a" * 32)[0].close()

    assert disk.held == ["ledger", "a" * 32, "ledger"]

"""A power cut or a refusing disk at every change, in every state that may be left behind."""

from __future__ import annotations

import errno
from contextlib import suppress
from dataclasses import dataclass, field
from itertools import islice
from typing import TYPE_CHECKING

import pytest

from checklist.record.errors import NotSaved, RecordError
from checklist.record.files.folder import LogFolder
from checklist.record.journals import journal as journal_module
from checklist.record.journals.journal import Journal, TornTail
from checklist.record.journals.seal import resume_session
from checklist.record.journals.states import State, session_states
from checklist.record.ledgers.ledger import Ledger
from checklist.record.verifying.report import Outcome
from checklist.record.verifying.verify import verify
from tests.conftest import Tried
from tests.record.crashdisk import ROOT, CrashDisk, PowerCut
from tests.record.making import HandClock, begin, come_late, finish, person

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from checklist.record.roll.keys import UnlockedKey

LOG = ROOT / "logs"
FIRST, SECOND = "a" * 32, "b" * 32


@dataclass
class Told:
    """What the person at the screen was told is saved."""

    origin: str = ""
    begun: list[str] = field(default_factory=list)
    answers: dict[str, int] = field(default_factory=dict)
    ended: dict[str, State] = field(default_factory=dict)


@pytest.fixture(scope="module")
def people() -> tuple[UnlockedKey, UnlockedKey]:
    folder = LogFolder.open(LOG, CrashDisk(), HandClock())
    return person(folder, "Ada Quill"), person(folder, "Ben Marsh")


def evening(disk: CrashDisk, told: Told, people: tuple[UnlockedKey, UnlockedKey]) -> None:
    """Two sessions: one sealed at once, one closed and completed by a late signature."""
    ada, ben = people
    folder = LogFolder.open(LOG, disk, HandClock())
    told.origin = folder.origin
    for session_id in (FIRST, SECOND):
        journal = begin(folder, session_id)
        told.begun.append(session_id)
        for number in range(2):
            journal.append("answered", {"step": number})
            told.answers[session_id] = number + 1
        if session_id == FIRST:
            finish(folder, journal, ada, ben)
            told.ended[session_id] = State.SEALED
        else:
            finish(folder, journal, ada, absent=("Ben Marsh",))
            told.ended[session_id] = State.SIGNATURE_MISSING
        journal.close()
    come_late(folder, SECOND, ben)
    told.ended[SECOND] = State.SEALED


def count_changes(people: tuple[UnlockedKey, UnlockedKey]) -> int:
    disk = CrashDisk()
    evening(disk, Told(), people)
    return disk.done


def check(disk: CrashDisk, told: Told, people: tuple[UnlockedKey, UnlockedKey]) -> None:
    """Everything that was told is there, nothing is broken, and the work can be completed."""
    folder = LogFolder.open(LOG, disk, HandClock())
    assert not told.origin or folder.origin == told.origin
    states = session_states(folder)
    assert set(told.begun) <= set(states)
    assert set(states) <= {*told.begun, FIRST, SECOND}
    for session_id, state in states.items():
        if session_id in told.ended:
            _check_ended(state.state, told.ended[session_id])
        answers = told.answers.get(session_id, 0)
        if state.state is State.RUNNING:
            _go_on(folder, session_id, answers, people)
        if session_states(folder)[session_id].state is State.SIGNATURE_MISSING:
            come_late(folder, session_id, people[1])
    assert all(s.state is State.SEALED for s in session_states(folder).values())
    assert verify(folder).failures == ()


def _check_ended(found: State, told: State) -> None:
    assert found is told or (told is State.SIGNATURE_MISSING and found is State.SEALED)


def _go_on(
    folder: LogFolder, session_id: str, answers: int, people: tuple[UnlockedKey, UnlockedKey]
) -> tuple[Journal, TornTail | None]:
    before = verify(folder, session_id)
    assert before.failures == ()
    journal, torn = resume_session(folder, session_id)
    found = [line for line in journal.lines if line.what == "answered"]
    assert answers <= len(found) <= answers + 1
    assert [line.data for line in found] == [{"step": n} for n in range(len(found))]
    if not journal.is_closed:
        journal.append("answered", {"step": len(found)})
    finish(folder, journal, *people)
    journal.close()
    return journal, torn


def cut_everywhere(
    make: Callable[[], CrashDisk],
    people: tuple[UnlockedKey, UnlockedKey],
    *,
    pieces: int = 8,
    step: int = 1,
) -> tuple[int, int]:
    """Cut the power at every change and check every state; return how many of both."""
    changes, states = count_changes(people), 0
    for stop_at in range(0, changes + 1, step):
        disk, told = make(), Told()
        disk.stop_at = stop_at
        with suppress(PowerCut):
            evening(disk, told, people)
        for booted in disk.after_power_cut(pieces):
            states += 1
            booted.can_link = disk.can_link
            check(booted, told, people)
    return changes, states


def refuse_everywhere(
    people: tuple[UnlockedKey, UnlockedKey], failure: int, short: int | None, *, step: int = 1
) -> tuple[int, int]:
    """Refuse every change once and go on; return how many refusals were said, and states."""
    said = states = 0
    for fail_at in range(0, count_changes(people), step):
        disk, told = CrashDisk(), Told()
        disk.fail_at, disk.failure, disk.short = fail_at, failure, short
        try:
            evening(disk, told, people)
        except RecordError:
            said += 1
        disk.locks.clear()
        for booted in islice(disk.after_power_cut(4), 6):
            states += 1
            check(booted, told, people)
        # The same machine goes on: its cache may show what the disk does not hold.
        after = _then_on_the_same_machine(disk, told, people)
        for booted in islice(disk.after_power_cut(4), 6):
            states += 1
            check(booted, after, people)
    return said, states


def test_power_cut_at_every_change(people: tuple[UnlockedKey, UnlockedKey], tried: Tried) -> None:
    """Whatever change the power goes at, and whatever of it is on disk, nothing told is lost."""
    changes, states = cut_everywhere(CrashDisk, people)
    tried("operations", changes)
    tried("states", states)

    assert changes > 60
    assert states > 200


@pytest.mark.long
def test_power_cut_at_every_byte(people: tuple[UnlockedKey, UnlockedKey], tried: Tried) -> None:
    """The same with every single prefix of the bytes that were on their way."""
    changes, states = cut_everywhere(CrashDisk, people, pieces=100_000)
    tried("operations", changes)
    tried("states", states)

    assert states > 1000


REFUSALS = {
    "EIO": (errno.EIO, None),
    "ENOSPC": (errno.ENOSPC, None),
    "short write": (errno.ENOSPC, 7),
}


@pytest.mark.parametrize("refusal", REFUSALS)
def test_refusal_at_every_change(
    refusal: str, people: tuple[UnlockedKey, UnlockedKey], tried: Tried
) -> None:
    """When any one change is refused, it is said, what was told stands, and going on works."""
    said, states = refuse_everywhere(people, *REFUSALS[refusal])
    tried("operations", said)
    tried("states", states)

    assert said > 60


def _then_on_the_same_machine(
    disk: CrashDisk, told: Told, people: tuple[UnlockedKey, UnlockedKey]
) -> Told:
    check(disk, told, people)
    folder = LogFolder.open(LOG, disk, HandClock())
    found = session_states(folder)
    answers = dict(told.answers)
    for session_id in found:
        path = folder.session_file(session_id)
        answers[session_id] = disk.read(path, at_most=1 << 20).count(b'"what":"answered"')
    return Told(told.origin, list(found), answers, dict.fromkeys(found, State.SEALED))


def test_a_failed_flush_poisons_the_writer() -> None:
    """After one refused flush nothing more is taken, until the session is opened anew."""
    disk = CrashDisk()
    folder = LogFolder.open(LOG, disk, HandClock())
    journal = begin(folder, FIRST)
    disk.fail_at = disk.done + 1
    with pytest.raises(NotSaved, match="NOT SAVED"):
        journal.append("answered", {"step": 0})
    disk.fail_at = None
    with pytest.raises(NotSaved):
        journal.append("answered", {"step": 0})
    journal.close()
    again, _ = resume_session(folder, FIRST)
    again.append("answered", {"step": 1})
    again.close()
    for booted in disk.after_power_cut():
        report = verify(LogFolder.open(LOG, booted, HandClock()))

        assert all(check.outcome is not Outcome.FAILS for check in report.checks)
        assert b'"step":1' in booted.read(folder.session_file(FIRST), at_most=1 << 20)


def test_without_second_names_for_files(people: tuple[UnlockedKey, UnlockedKey]) -> None:
    """A file system that knows no links, such as a USB stick's, holds the same promises."""
    _, states = cut_everywhere(_Linkless, people, step=3)

    assert states > 60


class _Linkless(CrashDisk):
    def __init__(self) -> None:
        super().__init__()
        self.can_link = False


class _NeverFlushes(CrashDisk):
    def sync(self, handle: int) -> None:
        self._change("sync")


class _NeverFlushesNames(CrashDisk):
    def sync_folder(self, folder: Path) -> None:
        self._change("sync_folder")


@pytest.mark.parametrize("mutant", [_NeverFlushes, _NeverFlushesNames])
def test_a_program_that_does_not_flush_is_found_out(
    mutant: type[CrashDisk], people: tuple[UnlockedKey, UnlockedKey], tried: Tried
) -> None:
    """These tests have teeth: without flushing files, or names, something told is lost."""
    with pytest.raises((AssertionError, RecordError)):
        cut_everywhere(mutant, people)
    tried("mutants", 1)


def _does_nothing(*_: object) -> None:
    return None


MUTANTS = {
    "trusts the cache after a failed flush": (journal_module, "write_whole"),
    "calls sealed what is only seen": (Ledger, "sync"),
}


@pytest.mark.parametrize("mutant", MUTANTS)
def test_a_careless_program_is_found_out(
    mutant: str,
    people: tuple[UnlockedKey, UnlockedKey],
    monkeypatch: pytest.MonkeyPatch,
    tried: Tried,
) -> None:
    """These tests have teeth: each shortcut loses something that was told."""
    monkeypatch.setattr(*MUTANTS[mutant], _does_nothing)
    if mutant.startswith("calls"):
        monkeypatch.setattr(LogFolder, "open", _open_without_flush)
    with pytest.raises((AssertionError, RecordError)):
        refuse_everywhere(people, errno.EIO, None)
    tried("mutants", 1)


_open = LogFolder.open


def _open_without_flush(path: Path, disk: CrashDisk, clock: HandClock) -> LogFolder:
    with suppress(RecordError):
        return LogFolder.look(path, disk, clock)
    return _open(path, disk, clock)


def test_going_on_after_a_refused_write_is_found_out(tried: Tried) -> None:
    """These tests have teeth: a writer that is not poisoned loses what it tells."""
    folder = LogFolder.open(LOG, CrashDisk(), HandClock())
    disk = folder.disk
    assert isinstance(disk, CrashDisk)
    journal = begin(folder, FIRST)
    disk.fail_at = disk.done + 1
    with pytest.raises(NotSaved):
        journal.append("answered", {"step": 0})
    journal._poison = ""
    journal.append("answered", {"step": 1})
    journal.close()

    for booted in disk.after_power_cut():
        again, _ = resume_session(LogFolder.open(LOG, booted, HandClock()), FIRST)

        assert [line.what for line in again.lines] == ["begun"]
    tried("mutants", 1)


def test_a_program_that_repairs_no_tail_is_found_out(
    monkeypatch: pytest.MonkeyPatch, tried: Tried
) -> None:
    """These tests have teeth: a torn tail that is left there stands behind the last line."""
    folder = LogFolder.open(LOG, CrashDisk(), HandClock())
    disk = folder.disk
    assert isinstance(disk, CrashDisk)
    journal = begin(folder, FIRST)
    disk.fail_at, disk.short = disk.done, 900
    with pytest.raises(NotSaved):
        journal.append("answered", {"step": "0" * 1000})
    journal.close()
    disk.fail_at = None
    monkeypatch.setattr(journal_module, "write_whole", _does_nothing)
    again, _ = resume_session(folder, FIRST)
    again.append("closed", {"verdict": "no stop found"})
    again.close()
    monkeypatch.undo()
    tried("mutants", 1)
    _, torn = resume_session(folder, FIRST)

    assert torn is not None

"""A power cut or a refusing disk at every change, in every state that may be left behind."""

from __future__ import annotations

import errno
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import pytest

from checklist.record.errors import NotSaved, RecordError
from checklist.record.folder import LogFolder
from checklist.record.journal import Journal, TornTail
from checklist.record.report import Outcome
from checklist.record.seal import resume_session
from checklist.record.states import State, session_states
from checklist.record.verify import verify
from tests.record.crashdisk import ROOT, CrashDisk, PowerCut
from tests.record.making import HandClock, begin, come_late, finish, person

if TYPE_CHECKING:
    from checklist.record.keys import UnlockedKey

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


def test_power_cut_at_every_change(
    people: tuple[UnlockedKey, UnlockedKey], capsys: pytest.CaptureFixture[str]
) -> None:
    """Whatever change the power goes at, and whatever of it is on disk, nothing told is lost."""
    changes = count_changes(people)
    states = 0
    for stop_at in range(changes + 1):
        disk, told = CrashDisk(), Told()
        disk.stop_at = stop_at
        try:
            evening(disk, told, people)
        except PowerCut:
            pass
        for booted in disk.after_power_cut():
            states += 1
            check(booted, told, people)

    assert changes > 60
    assert states > 500
    with capsys.disabled():
        print(f"\n  {changes} changes, {states} disk states, 0 losses")


REFUSALS = {
    "EIO": (errno.EIO, None),
    "ENOSPC": (errno.ENOSPC, None),
    "short write": (errno.ENOSPC, 7),
}


@pytest.mark.parametrize("refusal", REFUSALS)
def test_refusal_at_every_change(
    refusal: str, people: tuple[UnlockedKey, UnlockedKey], capsys: pytest.CaptureFixture[str]
) -> None:
    """When any one change is refused, it is said, what was told stands, and going on works."""
    failure, short = REFUSALS[refusal]
    said = states = 0
    for fail_at in range(count_changes(people)):
        disk, told = CrashDisk(), Told()
        disk.fail_at, disk.failure, disk.short = fail_at, failure, short
        try:
            evening(disk, told, people)
        except RecordError:
            said += 1
        disk.locks.clear()
        # The same machine goes on: its cache may show what the disk does not hold.
        for booted in list(disk.after_power_cut())[:6]:
            states += 1
            check(booted, told, people)
        after = _then_on_the_same_machine(disk, told, people)
        for booted in list(disk.after_power_cut())[:6]:
            states += 1
            check(booted, after, people)

    assert said > 40
    with capsys.disabled():
        print(f"\n  {refusal}: {said} refusals said, {states} disk states, 0 losses")


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


def test_a_failed_flush_poisons_the_writer(people: tuple[UnlockedKey, UnlockedKey]) -> None:
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
    for stop_at in range(0, 100, 3):
        disk, told = CrashDisk(), Told()
        disk.can_link, disk.stop_at = False, stop_at
        try:
            evening(disk, told, people)
        except PowerCut:
            pass
        for booted in disk.after_power_cut():
            booted.can_link = False
            check(booted, told, people)

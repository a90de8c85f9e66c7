"""The power goes at every operation of hanging and taking off; nothing that was said is lost."""

from __future__ import annotations

import copy
from contextlib import suppress
from dataclasses import dataclass, field
from functools import cache
from typing import TYPE_CHECKING

import pytest

from checklist.record.errors import RecordError
from checklist.record.files.folder import LogFolder
from checklist.record.journals.journal import Journal
from checklist.record.journals.seal import Signing, begin_session
from checklist.record.verifying.verify import verify
from checklist.sessions.session import Session
from checklist.sessions.tagging.duetags import complete_due
from checklist.sessions.tagging.hanging import Hanging, hang
from checklist.sessions.tagging.tags import TagsHere, look_at_tags
from checklist.sessions.tagging.untagging import take_off
from checklist.walk.entry import read_answer
from checklist.walk.walk import Walk
from tests.conftest import Tried
from tests.record.crashdisk import ROOT, CrashDisk, PowerCut
from tests.record.making import HandClock, person
from tests.rulefile.making import book, small

if TYPE_CHECKING:
    from checklist.record.roll.keys import UnlockedKey

LOG = ROOT / "logs"
SESSION = "c" * 32
WREN = "Wren Holloway"


@dataclass
class Told:
    """What the people at the point were told is entered: locks that hang, and that are off."""

    hangs: set[str] = field(default_factory=set)
    off: set[str] = field(default_factory=set)
    coming_off: set[str] = field(default_factory=set)
    """Being taken off at this moment: they may hang or not."""


@pytest.fixture(scope="module")
def key() -> UnlockedKey:
    return person(LogFolder.open(LOG, CrashDisk(), HandClock()), WREN)


@cache
def begun() -> CrashDisk:
    """Return a disk with one walk begun and left; copied for every run."""
    disk = CrashDisk()
    folder = LogFolder.open(LOG, disk, HandClock())
    begin_session(
        folder, rule_name="mast-base", edition="1", rule_bytes=b"x\n", session_id=SESSION
    ).close()
    disk.done = 0
    disk.log.clear()
    return disk


def afternoon(disk: CrashDisk, told: Told, key: UnlockedKey) -> None:
    """Two locks in a walk, one outside it; one of each taken off again."""
    folder = LogFolder.open(LOG, disk, HandClock())
    journal, _ = Journal.resume(folder, SESSION)
    walk = Walk(small(), book())
    session = Session(walk, folder.clock, folder=folder, journal=journal)
    step = walk.rule_file.step("tags")
    session.answer("tags", read_answer(step, [f"breaker 14, 1, {WREN}", f"plug 2, 2, {WREN}"]))
    told.hangs |= {"1", "2"}
    hang(folder, Hanging("breaker 14", "3", WREN, "rotator", "8 h"))
    told.hangs.add("3")
    for lock in ("1", "3"):
        tag = next(tag for tag in look_at_tags(folder).open if tag.lock == lock)
        told.hangs.remove(lock)
        told.coming_off = {lock}
        take_off(folder, tag, Signing(WREN, "worker", key), "0")
        told.coming_off = set()
        told.off.add(lock)
    session.close()


def check(disk: CrashDisk, told: Told, key: UnlockedKey) -> None:
    """Hold what was told against the disk, enter what is due, and take everything off."""
    folder = LogFolder.open(LOG, disk, HandClock())
    found = look_at_tags(folder)
    locks = {tag.lock for tag in found.open}
    assert told.hangs <= locks
    assert not told.off & locks
    assert told.coming_off <= locks | {tag.lock for tag in found.tags.all}
    _complete(folder, complete_due(folder, found), key)


def _complete(folder: LogFolder, found: TagsHere, key: UnlockedKey) -> None:
    assert found.due == ()
    for tag in found.open:
        take_off(folder, tag, Signing(WREN, "worker", key), "0")
    assert look_at_tags(folder).open == ()
    assert verify(folder).failures == ()


def fresh() -> CrashDisk:
    return copy.deepcopy(begun())


def changes(key: UnlockedKey) -> int:
    disk = fresh()
    afternoon(disk, Told(), key)
    return disk.done


def test_power_cut_at_every_operation(key: UnlockedKey, tried: Tried) -> None:
    """In every state in which the machine may come up, no tag that was told is lost or back."""
    states = 0
    for stop_at in range(changes(key) + 1):
        disk, told = fresh(), Told()
        disk.stop_at = stop_at
        with suppress(PowerCut):
            afternoon(disk, told, key)
        for booted in disk.after_power_cut():
            states += 1
            check(booted, told, key)
    tried("operations", changes(key))
    tried("states", states)

    assert states > changes(key)


def test_refusal_at_every_operation(key: UnlockedKey) -> None:
    """A disk that refuses any one operation is a sentence, and the tags stay as they were told."""
    said = 0
    for fail_at in range(changes(key)):
        disk, told = fresh(), Told()
        disk.fail_at = fail_at
        try:
            afternoon(disk, told, key)
        except RecordError:
            said += 1
        disk.fail_at = None
        disk.locks.clear()
        check(disk, told, key)

    assert said > 0

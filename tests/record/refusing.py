"""What the record refuses where its folder was meddled with, is full, or is another's."""

from __future__ import annotations

import errno
import os
import re
import tempfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from checklist.errors import StandclearError
from checklist.record.files.disk import RealDisk
from checklist.record.files.folder import LogFolder
from checklist.record.files.kept import attach, keep, read
from checklist.record.journals.journal import Journal
from checklist.record.journals.lines import read_lines
from checklist.record.ledgers.entries import Draft, Signer
from checklist.record.ledgers.ledger import Ledger, note_path, read_note
from checklist.record.ledgers.otherlogs import take_over
from checklist.record.lookup.registers import Person, Registers
from checklist.record.roll.appointing import appoint, roster_file
from checklist.record.roll.keys import keys_of
from checklist.record.roll.roster import Roster
from checklist.record.roll.spoken import key_code
from checklist.record.roll.takingover import take_roster
from tests.record.dying_disk import DyingDisk
from tests.record.making import HandClock, begin, come_late, finish, open_folder, person
from tests.record.refusingothers import ROOMS as ROOMS_OF_OTHERS


def _look(path: Path) -> Callable[[], object]:
    return lambda: LogFolder.look(path, RealDisk(), HandClock())


def _folders(base: Path) -> dict[str, Callable[[], object]]:
    (base / "a-file").touch()
    (base / "half" / "sessions").mkdir(parents=True)
    (base / "named" / "sessions").mkdir(parents=True)
    (base / "named" / "ledger").mkdir()
    return {
        "a folder that is not there": _look(base / "nowhere"),
        "a folder that is a file": _look(base / "a-file"),
        "a folder without ledger": _look(base / "half"),
        "a folder without origin": _look(base / "named"),
    }


def _sessions(base: Path) -> dict[str, Callable[[], object]]:
    folder = open_folder(base / "sessions")
    for digit, data in {"1": b"", "2": b"no line\n"}.items():
        folder.session_file(digit * 32).write_bytes(data)
    folder.session_file("3" * 32).mkdir()
    begin(folder, "4" * 32).close()
    with folder.session_file("4" * 32).open("ab") as file:
        file.write(b"torn")
    held = begin(folder, "5" * 32)
    return {
        "a session file that is empty": lambda: Journal.resume(folder, "1" * 32),
        "a session file that holds no line": lambda: Journal.resume(folder, "2" * 32),
        "a session file that is a folder": lambda: read_lines(
            folder.disk, folder.session_file("3" * 32)
        ),
        "a session file with a torn end": lambda: read_lines(
            folder.disk, folder.session_file("4" * 32)
        ),
        "a session that is open": lambda: Journal.resume(folder, held.session_id),
    }


def _ledgers(base: Path) -> dict[str, Callable[[], object]]:
    folder, gap, sound = (open_folder(base / name) for name in ("ledger", "gap", "sound"))
    ada, missed = person(sound, "Ada Quill"), Draft("near miss", fields=(("what", "x"),))
    for where in (folder, gap, gap, gap):
        Ledger(where).append(missed)
    note_path(gap, 2).unlink()
    for digit in "ab":
        journal = begin(sound, digit * 32)
        finish(sound, journal, ada, absent=("Ben Marsh",))
        journal.close()
    kept_lines = journal.path.read_bytes().splitlines(keepends=True)
    journal.path.write_bytes(b"".join(kept_lines[:-1]))
    first = note_path(folder, 1).read_bytes()
    for number, data in {7: first, 8: b"no note", 9: first.replace(b"near", b"nigh")}.items():
        note_path(folder, number).write_bytes(data)
    note_path(folder, 10).mkdir()
    return {
        f"an entry that {what}": lambda name=f"{number:08}.note": read_note(folder, name)
        for number, what in {
            7: "has another number", 8: "is no note", 9: "was changed", 10: "is a folder",
        }.items()
    } | {
        "an entry after one that is missing": lambda: Ledger(gap).append(missed),
        "a ledger with a gap": lambda: Ledger(gap).entries(),
        "a signature that nobody waits for": lambda: come_late(sound, "a" * 32, ada),
        "a changed file, signed late": lambda: come_late(sound, "b" * 32, ada),
    }  # fmt: skip


def _signing(base: Path) -> dict[str, Callable[[], object]]:
    folder = open_folder(base / "signing")
    ada, ben = person(folder, "Ada Quill"), person(folder, "Ben Marsh")
    twice = replace(ada, person="Ben Marsh")
    signers = (
        Signer("Ada Quill", "helper", ada.public, is_here=True),
        Signer("Ben Marsh", "worker", ada.public, is_here=True),
    )
    what = (("what", "a wrench fell"),)
    return {
        "a key that nobody signs with": lambda: Ledger(folder).append(
            Draft("near miss", fields=what), [ben]
        ),
        "one key for two people": lambda: Ledger(folder).append(
            Draft("near miss", signers=signers, fields=what), [ada, twice]
        ),
        "no roster": lambda: roster_file(Roster(())),
    }


def _full(base: Path) -> dict[str, Callable[[], object]]:
    """Return what is tried on a disk that is full from its next operation on."""
    folder = open_folder(base / "full", disk := DyingDisk())
    journal = begin(folder, "b" * 32)
    folder.registers.write_bytes(b"[]")
    folder.registers.chmod(0o600)

    def full(doing: Callable[[], object]) -> Callable[[], object]:
        def tried() -> object:
            disk.error = OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
            disk.at = len(disk.done) + 1
            return doing()

        return tried

    return {
        "a full disk: a kept file": full(lambda: keep(folder, "rules", b"x")),
        "a full disk: an entry": full(
            lambda: Ledger(folder).append(Draft("near miss", fields=(("what", "x"),)))
        ),
        "a full disk: a session": full(lambda: begin(folder, "c" * 32)),
        "a full disk: a line": full(lambda: journal.append("answered", {})),
        "a full disk: damaged registers": full(
            lambda: Registers.open(folder).remember_person(Person("Ada Quill"))
        ),
        "a full disk: a key": full(lambda: person(folder, "Ada Quill")),
        "the line after it": lambda: journal.append("answered", {}),
    }


def _others(base: Path) -> dict[str, Callable[[], object]]:
    own, older, changed = (open_folder(base / name) for name in ("own", "older", "changed"))
    for other in (older, changed):
        Ledger(other).append(Draft("near miss", fields=(("what", "x"),)))
        take_over(own, other)
        note_path(other, 1).unlink()
    Ledger(changed).append(Draft("near miss", fields=(("what", "another"),)))
    return {
        "the folder in use": lambda: take_over(own, own),
        "a copy that is older": lambda: take_over(own, older),
        "a copy of another history": lambda: take_over(own, changed),
    }


def _kept(base: Path) -> dict[str, Callable[[], object]]:
    folder = open_folder(base / "kept")
    sha256 = keep(folder, "rules", b"x")
    folder.kept_file(folder.path / "rules", sha256).write_bytes(b"y")
    (base / "half").mkdir()
    (base / "empty.jpg").touch()
    person(folder, "Ada Quill")
    card = next(folder.keys.glob("*.json"))
    (folder.keys / "1.json").write_bytes(card.read_bytes())
    return {
        "a kept file that was changed": lambda: read(folder, "rules", sha256),
        "a kept file that is gone": lambda: read(folder, "rules", "0" * 64),
        "an attachment that is not there": lambda: attach(folder, base / "photo.jpg"),
        "an attachment that is a folder": lambda: attach(folder, base / "half"),
        "an attachment that is empty": lambda: attach(folder, base / "empty.jpg"),
        "a card under another name": lambda: keys_of(folder),
    }


def _rosters(base: Path) -> dict[str, Callable[[], object]]:
    officer, station = (open_folder(base / name) for name in ("officer", "station"))
    full = open_folder(base / "full-station", disk := DyingDisk())
    stranger = open_folder(base / "stranger")
    vera, mallory = person(officer, "Vera Holm"), person(stranger, "Ben Marsh")
    appoint(officer, vera)
    appoint(stranger, mallory)
    data, code = roster_file(Roster.read(officer)), key_code(vera.public)
    take_roster(station, data, code)
    other = roster_file(Roster.read(stranger))

    def on_a_full_disk() -> object:
        disk.error, disk.at = OSError(errno.ENOSPC, os.strerror(errno.ENOSPC)), len(disk.done) + 1
        return take_roster(full, data, code)

    return {
        "a roster before any code": lambda: take_roster(open_folder(base / "nobody"), data),
        "a roster with another's code": lambda: take_roster(
            station, data, key_code(mallory.public)
        ),
        "a roster of another officer": lambda: take_roster(station, other),
        "a roster on a full disk": on_a_full_disk,
        "the officer once more": lambda: appoint(officer, vera),
    }


ROOMS = (
    _folders, _sessions, _ledgers, _signing, _full, _others, _kept, _rosters, *ROOMS_OF_OTHERS,
)  # fmt: skip


def refusals_of(room: Callable[[Path], dict[str, Callable[[], object]]]) -> dict[str, str]:
    """Return each refusal as a sentence, without the way to the files and without hashes."""
    said: dict[str, str] = {}
    with tempfile.TemporaryDirectory() as name:
        for of, tried in room(Path(name)).items():
            try:
                sentence = f"(it is taken: {tried()!r})"
            except StandclearError as refused:
                sentence = refused.sentence()
            plain = re.sub("[0-9a-f]{32,64}", "(hash)", re.sub(r"/\S+/", "", sentence))
            said[of] = re.sub("laptop [0-9a-f]{8}", "laptop (origin)", plain)
    return said

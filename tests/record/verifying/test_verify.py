"""Every change to a finished record is found; what cannot be told is said and never passes."""

from __future__ import annotations

import shutil
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from checklist.record.errors import RecordError
from checklist.record.files.disk import RealDisk
from checklist.record.files.folder import LogFolder
from checklist.record.journals.journal import FileMark
from checklist.record.journals.seal import begin_session, resume_session, rule_of
from checklist.record.ledgers.entries import Draft, RuleMark, Signer
from checklist.record.ledgers.ledger import Ledger
from checklist.record.verifying.report import Outcome
from checklist.record.verifying.verify import verify
from tests.conftest import Tried
from tests.record.crashdisk import ROOT, CrashDisk, Inode
from tests.record.making import HandClock, begin, come_late, finish, open_folder, person, small_log

if TYPE_CHECKING:
    from collections.abc import Iterator

    from checklist.record.roll.keys import UnlockedKey
    from checklist.record.verifying.report import Report

LOG = ROOT / "logs"


def finished_log() -> tuple[LogFolder, CrashDisk]:
    """One session that is sealed, and one that was closed and completed late."""
    disk = CrashDisk()
    folder = LogFolder.open(LOG, disk, HandClock())
    ada, ben = person(folder, "Ada Quill"), person(folder, "Ben Marsh")
    journal = begin(folder, "1" * 32)
    journal.append("answered", {"step": "lines", "typed": "41 ft"})
    finish(folder, journal, ada, ben)
    late = begin(folder, "2" * 32)
    finish(folder, late, ada, absent=("Ben Marsh",), verdict="stopped")
    come_late(folder, "2" * 32, ben)
    return folder, disk


def looks_sound(folder: LogFolder) -> bool:
    """Say whether nothing but what can never be told here is held against the folder."""
    try:
        report = verify(LogFolder.look(folder.path, folder.disk, folder.clock))
    except RecordError:
        return False
    known = {"identity", "completeness"}
    return all(c.outcome is Outcome.HOLDS or c.name in known for c in report.checks)


def tampers(data: bytes, step: int) -> Iterator[tuple[str, bytes]]:
    for at in range(0, len(data), step):
        for bit in range(8):
            changed = bytearray(data)
            changed[at] ^= 1 << bit
            yield f"bit {bit} of byte {at} flipped", bytes(changed)
        yield f"byte {at} deleted", data[:at] + data[at + 1 :]
        yield f"byte {at} doubled", data[: at + 1] + data[at:]
        yield f"cut at byte {at}", data[:at]
    yield "a newline added", data + b"\n"
    yield "a blank added", data + b" "


def tamper_everywhere(step: int) -> tuple[int, list[str]]:
    """Tamper with every file of a small log, and return how often and what was missed."""
    folder, disk = finished_log()
    assert looks_sound(folder)
    changes, missed = 0, []
    for path, inode in list(disk.names_now.items()):
        if inode is None or path.parent.name in {"keys", "locks"}:
            continue
        whole = bytes(inode.cached)
        for what, changed in tampers(whole, step):
            if changed == whole:
                continue
            changes += 1
            inode.cached[:] = changed
            if looks_sound(folder):
                missed.append(f"{path.name}: {what}")
        inode.cached[:] = whole
    return changes, missed


def test_every_change_of_a_byte_is_found(tried: Tried) -> None:
    """Flip, delete, double and cut, at every 13th byte of every file: none is missed."""
    changes, missed = tamper_everywhere(13)
    tried("bytes", changes, len(missed))

    assert missed == []
    assert changes > 3000


@pytest.mark.long
def test_every_change_of_every_byte_is_found(tried: Tried) -> None:
    """Flip, delete, double and cut, at every byte of every file: none is missed."""
    changes, missed = tamper_everywhere(1)
    tried("bytes", changes, len(missed))

    assert missed == []
    assert changes > 40_000


def test_structure_cannot_be_changed(tried: Tried) -> None:
    """Deleting, swapping, doubling and splicing whole files and lines is found, each time."""
    folder, disk = finished_log()
    changes, missed = 0, []
    files = {p: bytes(i.cached) for p, i in disk.names_now.items() if i is not None}
    for what, change in structural(files):
        names = dict(disk.names_now)
        for path, data in change.items():
            if data is None:
                disk.names_now.pop(path)
            else:
                disk.names_now[path] = Inode(bytearray(data))
        changes += 1
        if looks_sound(folder):
            missed.append(what)
        disk.names_now = names
    tried("structure", changes, len(missed))

    assert missed == []
    assert changes > 40
    assert looks_sound(folder)


Change = tuple[str, dict[Path, bytes | None]]


def structural(files: dict[Path, bytes]) -> Iterator[Change]:
    """Yield changes that leave every single file or line whole."""
    notes = sorted(p for p in files if p.parent.name == "ledger")
    sessions = sorted(p for p in files if p.parent.name == "sessions")
    rules = [p for p in files if p.parent.name == "rules"]
    for path in notes + sessions + rules:
        yield f"{path.name} deleted", {path: None}
    for one, two in [*pairwise(notes), *pairwise(sessions)]:
        yield f"{one.name} and the next swapped", {one: files[two], two: files[one]}
    for one in notes:
        yield f"{one.name} once more", {one.with_name(f"{len(notes) + 1:08}.note"): files[one]}
        yield from _signature_changes(one, files[one])
    for path in sessions:
        yield from _line_changes(path, files[path])


def _line_changes(path: Path, data: bytes) -> Iterator[Change]:
    lines = data.splitlines(keepends=True)
    for at, line in enumerate(lines):
        others = lines[:at] + lines[at + 1 :]
        changes = {
            "dropped": others,
            "doubled": [*lines[:at], line, *lines[at:]],
            "moved to the front": [line, *others],
            "moved to the end": [*others, line],
        }
        for what, changed in changes.items():
            if changed != lines:
                yield f"{path.name[:4]} line {at + 1} {what}", {path: b"".join(changed)}


def _signature_changes(path: Path, data: bytes) -> Iterator[Change]:
    text, _, below = data.partition(b"\n\n")
    lines = below.splitlines(keepends=True)
    changes = {"dropped": lines[1:], "doubled": lines[:1] + lines, "turned": lines[::-1]}
    for what, changed in changes.items():
        if changed != lines:
            yield f"{path.name} signatures {what}", {path: text + b"\n\n" + b"".join(changed)}


def outcomes(report: Report, name: str) -> set[Outcome]:
    return {check.outcome for check in report.checks if check.name == name}


def test_a_sound_log_holds_but_never_claims_more(tmp_path: Path) -> None:
    """Nothing fails; who signed, and what was cut off, stays `cannot tell`, and so does all."""
    folder = open_folder(tmp_path / "logs")
    ids = small_log(folder)
    report = verify(folder)

    assert report.failures == ()
    assert outcomes(report, "signatures") == {Outcome.HOLDS}
    assert outcomes(report, "identity") == {Outcome.CANNOT_TELL}
    assert report.overall is Outcome.CANNOT_TELL
    assert outcomes(verify(folder, ids["sealed"]), "end") == {Outcome.HOLDS}
    assert outcomes(verify(folder, ids["late"]), "end") == {Outcome.HOLDS}
    assert outcomes(verify(folder, ids["missing"]), "end") == {Outcome.WARNING}
    assert outcomes(verify(folder, ids["abandoned"]), "end") == {Outcome.WARNING}


def test_a_missing_signature_is_named(tmp_path: Path) -> None:
    """The one who has not signed stands in the sentence, and the word sealed only with NOT."""
    folder = open_folder(tmp_path / "logs")
    ids = small_log(folder)
    said = [c.sentence for c in verify(folder, ids["missing"]).checks if c.name == "end"]

    assert said == ["NOT SEALED: the signature of Ben Marsh (helper) is missing."]


def test_a_copy_is_only_looked_at(tmp_path: Path) -> None:
    """Verifying a copy changes nothing in it and needs no right to write."""
    folder = open_folder(tmp_path / "logs")
    small_log(folder)
    copy = tmp_path / "copy"
    shutil.copytree(folder.path, copy)
    before = {p: (p.stat().st_mtime_ns, p.stat().st_size) for p in copy.rglob("*")}
    assert verify(LogFolder.look(copy, RealDisk(), HandClock())).failures == ()

    assert {p: (p.stat().st_mtime_ns, p.stat().st_size) for p in copy.rglob("*")} == before


def test_a_cut_ledger_is_not_taken_for_whole(tmp_path: Path) -> None:
    """When the newest entries are cut off, the session file without its end gives it away."""
    folder = open_folder(tmp_path / "logs")
    journal = begin(folder, "1" * 32)
    finish(folder, journal, person(folder, "Ada Quill"))
    (folder.ledger / "00000002.note").unlink()
    assert outcomes(verify(folder), "end") == {Outcome.WARNING, Outcome.CANNOT_TELL}
    (folder.ledger / "00000001.note").unlink()

    assert Outcome.CANNOT_TELL in outcomes(verify(folder), "end")


def test_one_key_under_two_names_fails(tmp_path: Path) -> None:
    """A key that signs as two people is found, even where every signature verifies."""
    folder = open_folder(tmp_path / "logs")
    ada = person(folder, "Ada Quill")
    finish(folder, begin(folder), ada)
    alias = type(ada)("Ben Marsh", ada.public, ada._secret)
    finish(folder, begin(folder), alias)

    assert outcomes(verify(folder), "names") == {Outcome.FAILS}


@pytest.mark.parametrize(
    ("moved", "told"),
    [(-3600.0, "back by 60 min 0 s"), (90.0, "forward by 1 min 30 s"), (1.5, None), (-1.5, None)],
)
def test_a_clock_that_was_set_is_told(tmp_path: Path, moved: float, told: str | None) -> None:
    """A wall clock set back or forward by more than 2 s is a warning with its size."""
    clock = HandClock()
    folder = LogFolder.open(tmp_path / "logs", RealDisk(), clock)
    journal = begin(folder)
    clock.set_wall(moved)
    journal.append("answered", {})
    said = [c.sentence for c in verify(folder).checks if c.name == "clock"]

    assert [told in sentence for sentence in said] == [True] if told else "not moved" in said[0]
    assert verify(folder).failures == ()


def test_lost_attachments_and_rules_are_found(tmp_path: Path) -> None:
    """A photo or a rule file that is gone, or changed, fails by its hash."""
    from checklist.record.files.kept import attach

    folder = open_folder(tmp_path / "logs")
    photo = tmp_path / "photo.jpg"
    photo.write_bytes(b"the label of the set")
    journal = begin(folder)
    journal.append("attached", attach(folder, photo).as_data())
    assert outcomes(verify(folder), "attachments") == {Outcome.HOLDS}
    next((folder.path / "attachments").iterdir()).write_bytes(b"another label of the set")
    next(folder.rules.iterdir()).unlink()

    assert outcomes(verify(folder), "attachments") == {Outcome.FAILS}
    assert outcomes(verify(folder), "rule files") == {Outcome.FAILS}


def test_an_unknown_session_is_said(tmp_path: Path) -> None:
    """Asking for a session that is not there is one sentence."""
    with pytest.raises(RecordError, match="no session"):
        verify(open_folder(tmp_path / "logs"), "0" * 32)


def test_a_torn_tail_of_a_running_session_is_a_warning(tmp_path: Path) -> None:
    """An unfinished write is no failure, and verifying does not touch it."""
    folder = open_folder(tmp_path / "logs")
    journal = begin(folder, "1" * 32)
    journal.close()
    path = folder.session_file("1" * 32)
    with path.open("ab") as file:
        file.write(b'{"n":2,"prev')
    size = path.stat().st_size

    assert outcomes(verify(folder), "line hashes") == {Outcome.WARNING}
    assert path.stat().st_size == size
    again, torn = resume_session(folder, "1" * 32)
    assert torn is not None
    assert torn.kept_at.read_bytes() == b'{"n":2,"prev'
    assert len(again.lines) == 1


def test_a_session_of_another_folder_is_found(tmp_path: Path) -> None:
    """A whole folder of entries brought in from another laptop does not pass as this one's."""
    one, two = open_folder(tmp_path / "one"), open_folder(tmp_path / "two")
    begin_session(one, rule_name="x", edition="1", rule_bytes=b"x").close()
    shutil.copytree(one.ledger, two.ledger, dirs_exist_ok=True)
    shutil.copytree(one.sessions, two.sessions, dirs_exist_ok=True)

    assert outcomes(verify(two), "origin") == {Outcome.FAILS}
    with pytest.raises(RecordError, match="another log folder"):
        Ledger(two).append(Draft("near miss"))


def with_entries(folder: LogFolder, *drafts: Draft, key: UnlockedKey) -> Report:
    """Add entries that a careless or lying program might write, well formed and well signed."""
    for draft in drafts:
        sign_with = [key] if any(signer.is_here for signer in draft.signers) else []
        Ledger(folder).append(draft, sign_with)
    return verify(folder)


PAIRINGS = {
    "begins twice": (["begun", "begun"], "begins a session a second time"),
    "never began": (["abandoned"], "ends a session that never began"),
    "ends twice": (["begun", "abandoned", "abandoned"], "ends a session a second time"),
    "ends before it begins": (["abandoned", "begun"], "ends a session that never began"),
}


@pytest.mark.parametrize("pairing", PAIRINGS)
def test_beginnings_and_ends_must_pair(tmp_path: Path, pairing: str) -> None:
    """Every session begins once and ends at most once, whatever a program may have written."""
    kinds, said = PAIRINGS[pairing]
    folder = open_folder(tmp_path / "logs")
    mark, rule = FileMark("0" * 64, 0), RuleMark("x", "1", "0" * 64)
    drafts = [Draft(kind, "1" * 32, mark, rule=rule if kind == "begun" else None) for kind in kinds]
    report = with_entries(folder, *drafts, key=person(folder, "Ada Quill"))

    assert any(said in c.sentence for c in report.failures if c.name == "pairing")


@pytest.mark.parametrize("flaw", ["none", "target", "file", "role", "person", "not missing"])
def test_a_late_signature_must_be_awaited(tmp_path: Path, flaw: str) -> None:
    """A late signature counts only for the entry, file, person and role that wait for it."""
    folder = open_folder(tmp_path / "logs")
    ada, ben = person(folder, "Ada Quill"), person(folder, "Ben Marsh")
    closed = finish(folder, begin(folder, "1" * 32), ada, absent=("Ben Marsh",))
    key = ada if flaw in {"person", "not missing"} else ben
    role = {"role": "worker", "not missing": "in charge"}.get(flaw, "helper")
    late = Draft(
        "signed late",
        "1" * 32,
        FileMark("0" * 64, 0) if flaw == "file" else closed.entry.file,
        target="0" * 64 if flaw == "target" else closed.sha256,
        signers=(Signer(key.person, role, key.public, is_here=True),),
    )
    report = with_entries(folder, late, key=key)

    assert outcomes(report, "pairing") == {Outcome.HOLDS if flaw == "none" else Outcome.FAILS}
    assert (outcomes(report, "end") == {Outcome.HOLDS}) is (flaw == "none")


@pytest.mark.parametrize("flaw", ["none", "verdict", "edition"])
def test_what_is_signed_must_be_what_the_file_says(tmp_path: Path, flaw: str) -> None:
    """An entry with the right hash but another verdict, or rule, than its file says fails."""
    folder = open_folder(tmp_path / "logs")
    ada = person(folder, "Ada Quill")
    journal = begin(folder, "1" * 32)
    journal.append("closed", {"verdict": "stopped"})
    rule = rule_of(journal.lines[0])
    draft = Draft(
        "sealed",
        "1" * 32,
        journal.digest(),
        "no stop found" if flaw == "verdict" else "stopped",
        replace(rule, edition="2027") if flaw == "edition" else rule,
        signers=(Signer("Ada Quill", "in charge", ada.public, is_here=True),),
    )
    report = with_entries(folder, draft, key=ada)

    assert outcomes(report, "session file") == {Outcome.HOLDS if flaw == "none" else Outcome.FAILS}


def test_an_entry_dated_before_the_last_is_told(tmp_path: Path) -> None:
    """A clock set back between two entries is a warning with its size, and no broken chain."""
    clock = HandClock()
    folder = LogFolder.open(tmp_path / "logs", RealDisk(), clock)
    Ledger(folder).append(Draft("near miss"))
    clock.set_wall(-7200)
    Ledger(folder).append(Draft("near miss"))
    said = [c for c in verify(folder).checks if c.name == "order of time"]

    assert [c.outcome for c in said] == [Outcome.WARNING]
    assert "119 min 59 s before" in said[0].sentence

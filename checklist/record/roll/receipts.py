"""Receipts: a safety officer's signature under how far a ledger had come, and when.

They stand in receipts/ of the station's folder, and again in the officer's. With a receipt,
a ledger that was cut, rolled back or written anew no longer passes; without one it would.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate
from typing import TYPE_CHECKING

from checklist.ages import span_text
from checklist.record.errors import Damaged, EntryRefused, NotSaved, RecordError
from checklist.record.files.clock import read_stamp, stamp
from checklist.record.files.disk import Kind
from checklist.record.files.linereader import LineReader, whole
from checklist.record.files.whole import create_whole, is_temporary
from checklist.record.journals.lines import hash_of
from checklist.record.ledgers import notes
from checklist.record.roll.keys import require_sound
from checklist.record.roll.roster import is_signed_by
from checklist.record.roll.spoken import head_code
from checklist.record.verifying.report import Outcome

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime
    from pathlib import Path

    from checklist.record.files.folder import LogFolder
    from checklist.record.ledgers.ledger import Recorded
    from checklist.record.roll.keys import UnlockedKey
    from checklist.record.roll.roster import Roster

TITLE = "standclear receipt 1"
FOLDER = "receipts"
"""In a station's log folder: the receipts that were given for it."""


@dataclass(frozen=True, slots=True)
class Receipt:
    """What one receipt says, signed by the officer that it names."""

    origin: str
    number: int
    """Of the newest entry that was seen."""

    sha256: str
    """Of that entry, signatures included."""

    at: datetime
    officer: str
    """The public key that signs."""

    officer_name: str
    program: str
    problem: str = ""
    """Why the file is no receipt; everything else is then empty."""

    @property
    def code(self) -> str:
        """What is read aloud or written into the paper log."""
        return f"{self.number} {head_code(self.sha256)}"


@dataclass(frozen=True, slots=True)
class ReceiptFinding:
    """What one receipt says about a ledger."""

    receipt: Receipt
    outcome: Outcome
    sentence: str


@dataclass(frozen=True, slots=True)
class Tail:
    """What of a ledger no receipt covers."""

    entries: int
    since: datetime | None
    """The time of the oldest of them; None where every entry is covered."""

    def sentence(self, now: datetime) -> str:
        """Say how much could still be cut off unseen."""
        if self.since is None or self.entries == 0:
            return "Every entry is covered by a receipt."
        days = max((now - self.since).days, 0)
        age = "less than a day" if days == 0 else "1 day" if days == 1 else f"{days} days"
        if self.entries == 1:
            return f"1 entry is without a receipt, for {age}: it could be cut off unseen."
        return (
            f"{self.entries} entries are without a receipt, the oldest for {age}: "
            "they could be cut off unseen."
        )


@dataclass(frozen=True)  # without slots, which leave cached_property no room
class Covered:
    """What all receipts of a folder say together."""

    findings: tuple[ReceiptFinding, ...]
    tail: Tail
    covers: int
    """The number of the newest entry under a receipt that holds; 0 without any."""

    received: dict[int, datetime]
    """The time of each receipt that holds, by the number that it covers up to."""

    def received_at(self, number: int) -> datetime | None:
        """Return when an entry was first under a receipt that holds, or None."""
        numbers, times = self._firsts
        place = bisect_left(numbers, number)
        return times[place] if place < len(times) else None

    @cached_property
    def _firsts(self) -> tuple[list[int], list[datetime]]:
        """The numbers that receipts cover up to, and the first time at which each was covered."""
        numbers = sorted(self.received)
        latest_first = accumulate((self.received[number] for number in reversed(numbers)), min)
        return numbers, [*latest_first][::-1]


def make_receipt(
    origin: str, number: int, sha256: str, at: datetime, key: UnlockedKey, program: str
) -> tuple[Receipt, bytes]:
    """Return a receipt and its signed note."""
    at = at.replace(microsecond=at.microsecond // 1000 * 1000)
    receipt = Receipt(origin, number, sha256, at, key.public, key.person, program)
    text = _to_text(receipt)
    return receipt, notes.compose(notes.Note(text, (key.sign(text),)))


def read_receipt(data: bytes) -> Receipt:
    """Return what a receipt's note says; Damaged where it is not in form or not signed."""
    note = notes.parse(data)
    lines = LineReader(note.text, TITLE)
    try:
        origin, number = lines.due("origin"), whole(lines.due("number"))
        sha256, at, program = lines.due("hash"), read_stamp(lines.due("time")), lines.due("program")
        officer, name = lines.parts("officer", 2)
        lines.end()
        receipt = Receipt(origin, number, sha256, at, officer, name, program)
        if _to_text(receipt) != note.text:
            raise Damaged("it is not spelled in the one form that is accepted")
        require_sound(officer)
    except (RecordError, ValueError) as problem:
        said = problem.what if isinstance(problem, RecordError) else str(problem)
        raise Damaged(f"the receipt is not in form: {said}") from problem
    if [signature.name for signature in note.signatures] != [officer] or not is_signed_by(
        note, officer
    ):
        raise Damaged("the receipt is not signed by the officer whom it names")
    return receipt


def receipts_of(folder: LogFolder) -> tuple[Receipt, ...]:
    """Return every receipt that the folder holds, oldest first; never raises for a bad one."""
    path = folder.path / FOLDER
    facts = folder.disk.facts(path)
    if facts is None:
        return ()
    if facts.kind is not Kind.FOLDER:
        return (_bad(f"{FOLDER} is a {facts.kind.value}"),)
    found = []
    for name in folder.disk.names(path):
        if is_temporary(name):
            continue
        try:
            found.append(read_receipt(folder.disk.read(path / name, at_most=notes.LARGEST_NOTE)))
        except (RecordError, OSError) as problem:
            said = problem.what if isinstance(problem, RecordError) else str(problem.strerror)
            found.append(_bad(f"{name[:80]}: {said}"))
    return tuple(sorted(found, key=lambda one: (one.number, one.sha256)))


def check_against(
    receipts: Sequence[Receipt], ledger: Sequence[Recorded], origin: str, roster: Roster
) -> Covered:
    """Return what receipts say about the entries of one ledger, which stand in order.

    A receipt that is not by a safety officer of the roster covers nothing.
    """
    by_number = {recorded.entry.number: recorded for recorded in ledger}
    findings, received = [], dict[int, "datetime"]()
    for receipt in receipts:
        finding = _finding(receipt, by_number, origin, roster)
        findings.append(finding)
        if finding.outcome in {Outcome.HOLDS, Outcome.WARNING} and not receipt.problem:
            first = received.get(receipt.number, receipt.at)
            received[receipt.number] = min(first, receipt.at)
    covers = max(received, default=0)
    tail = [recorded for recorded in ledger if recorded.entry.number > covers]
    since = tail[0].entry.at if tail else None
    return Covered(tuple(findings), Tail(len(tail), since), covers, received)


def keep_receipt(folder: Path, data: bytes, at: LogFolder) -> Path:
    """Put a receipt's note into `folder`, on the disk of `at`; a second time changes nothing."""
    receipt = read_receipt(data)
    path = folder / f"{receipt.number:08}-{hash_of(data)[:16]}.note"
    try:
        if at.disk.facts(folder) is None:
            at.disk.make_folder(folder)
        at.disk.sync_folder(folder.parent)
        if at.disk.facts(path) is None:
            create_whole(at.disk, path, data)
        at.disk.sync_folder(folder)
    except OSError as problem:
        raise NotSaved(
            f"NOT SAVED, the receipt could not be written: {problem.strerror or problem}",
            where=str(folder),
            right="Make room, or make the folder writable; then do it again.",
        ) from problem
    return path


def take_receipt(folder: LogFolder, data: bytes) -> Receipt:
    """Put a receipt that came as a file into the folder that it was given for."""
    receipt = read_receipt(data)
    if receipt.origin != folder.origin:
        raise EntryRefused(
            f"this receipt is for the log {receipt.origin[:8]}, not for {folder.origin[:8]}",
            right="Take it on the laptop that it was given for.",
        )
    keep_receipt(folder.path / FOLDER, data, folder)
    return receipt


def _finding(
    receipt: Receipt, by_number: dict[int, Recorded], origin: str, roster: Roster
) -> ReceiptFinding:
    outcome, sentence = _judged(receipt, by_number, origin, roster)
    return ReceiptFinding(receipt, outcome, sentence)


def _judged(
    receipt: Receipt, by_number: dict[int, Recorded], origin: str, roster: Roster
) -> tuple[Outcome, str]:
    if receipt.problem:
        return Outcome.WARNING, f"A file that is no receipt stands there: {receipt.problem}."
    said = (
        f"the receipt of {receipt.at:%d %b %Y %H:%M} by {receipt.officer_name} "
        f"for entry {receipt.number}"
    )
    if receipt.origin != origin:
        return Outcome.WARNING, f"{_up(said)} is for another log folder."
    if roster.newest is None:
        return Outcome.CANNOT_TELL, (
            f"Whether {said} is a safety officer's cannot be told: "
            f"{roster.problem or 'no officer is pinned here'}."
        )
    who = roster.identity(receipt.officer, receipt.officer_name, "safety officer", receipt.at, None)
    if receipt.officer not in roster.officers or who.outcome is Outcome.FAILS:
        return Outcome.CANNOT_TELL, f"{_up(said)} is by no officer of the roster. {who.sentence}"
    if who.outcome is Outcome.CANNOT_TELL:
        return Outcome.CANNOT_TELL, f"{_up(said)} proves nothing. {who.sentence}"
    entry = by_number.get(receipt.number)
    if entry is None:
        last = max(by_number, default=0)
        return Outcome.FAILS, f"Entries were cut off: {said} was given, and it ends at {last}."
    if entry.sha256 != receipt.sha256:
        return Outcome.FAILS, (
            f"There are two histories: {said} names another entry {receipt.number} than stands "
            "here."
        )
    return _clocks(receipt, entry, by_number, said)


def _clocks(
    receipt: Receipt, entry: Recorded, by_number: dict[int, Recorded], said: str
) -> tuple[Outcome, str]:
    """Compare the officer's clock with the station's at the places where order is certain."""
    if entry.entry.at > receipt.at:
        gap = (entry.entry.at - receipt.at).total_seconds()
        return Outcome.WARNING, (
            f"{_up(said)} is dated {span_text(gap)} before that entry: one of two clocks is wrong."
        )
    return Outcome.HOLDS, f"{_up(said)} holds."


def _up(text: str) -> str:
    return text[:1].upper() + text[1:]


def _bad(problem: str) -> Receipt:
    from datetime import UTC, datetime

    return Receipt("", 0, "", datetime.fromtimestamp(0, UTC), "", "", "", problem)


def _to_text(receipt: Receipt) -> str:
    lines = [
        TITLE,
        f"origin {receipt.origin}",
        f"number {receipt.number}",
        f"hash {receipt.sha256}",
        f"time {stamp(receipt.at)}",
        f"program {receipt.program}",
        f"officer {receipt.officer} {receipt.officer_name}",
    ]
    return "\n".join(lines) + "\n"

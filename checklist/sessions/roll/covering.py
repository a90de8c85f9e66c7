"""How far the safety officer has seen this ledger, and what stands without a receipt."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from checklist.record.errors import RecordError
from checklist.record.files.folder import LogFolder
from checklist.record.ledgers.ledger import Ledger, read_note
from checklist.record.roll.receipts import (
    Covered,
    Receipt,
    Tail,
    check_against,
    receipts_of,
    take_receipt,
)
from checklist.record.roll.receiving import receipts_given
from checklist.record.roll.roster import Roster
from checklist.record.verifying.report import Outcome
from checklist.stopping import unheard

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime
    from pathlib import Path

    from checklist.record.files.clock import Clock
    from checklist.record.files.disk import Disk
    from checklist.record.ledgers.entries import Signer
    from checklist.record.ledgers.ledger import Recorded
    from checklist.record.lookup.recall import Recall
    from checklist.record.roll.keyholders import Identity
    from checklist.stopping import Tell


@dataclass(frozen=True, slots=True)
class Vouching:
    """Whose word counts for a folder that came from elsewhere: one's own roster and receipts."""

    roster: Roster
    own: LogFolder | None = None
    """The log folder that keeps them; None where there is none yet."""

    @classmethod
    def of(cls, logs: Path, disk: Disk, clock: Clock) -> Vouching:
        """Return what is known at a log folder; nothing where there is none, and none is made."""
        if disk.facts(logs / "origin") is None:
            return cls(Roster())
        own = LogFolder.look(logs, disk, clock)
        return cls(Roster.read(own), own)

    @property
    def is_known(self) -> bool:
        """Whether a roster is in force there."""
        return self.roster.newest is not None


@dataclass(frozen=True, slots=True)
class Covering:
    """What roster and receipts say of a whole ledger."""

    roster: Roster
    covered: Covered
    unread: str = ""
    """Why the receipts kept here cannot be read, or empty."""

    @property
    def tail(self) -> Tail:
        """The entries that no receipt covers."""
        return self.covered.tail

    @property
    def is_pinned(self) -> bool:
        """Whether a safety officer's key is pinned here, so that receipts can be judged."""
        return self.roster.newest is not None

    @property
    def problems(self) -> tuple[str, ...]:
        """A sentence for a roster that does not hold and for each receipt that contradicts."""
        failing = (f.sentence for f in self.covered.findings if f.outcome is Outcome.FAILS)
        roster = [f"{self.roster.problem}."] if self.roster.problem else []
        unread = [self.unread] if self.unread else []
        return (*roster, *unread, *failing)

    def whose(self, recorded: Recorded, signer: Signer) -> Identity:
        """Say whose key made a signature in an entry, by the roster; never raises."""
        received = self.covered.received_at(recorded.entry.number)
        at = recorded.entry.at
        return self.roster.identity(signer.key, signer.person, signer.role, at, received)

    def says_of(self, number: int | None, now: datetime) -> str:
        """Say whether a receipt covers the entry of this number, then how long the tail is."""
        received = self.covered.received_at(number) if number else None
        tail = self.tail_text(now)
        return (
            f"Seen by the safety officer on {received:%d %b %Y %H:%M}. {tail}" if received else tail
        )

    def tail_text(self, now: datetime) -> str:
        """Return how much could still be cut off unseen, in one sentence."""
        return tail_text(self.tail, self.covered.covers, now)


def tail_text(tail: Tail, covers: int, now: datetime) -> str:
    """Return the tail in one sentence; a ledger without an entry has nothing to cover."""
    if tail.entries == 0 and covers == 0:
        return "The ledger has no entry yet."
    return tail.sentence(now)


def receipts_line(
    folder: LogFolder,
    number: int | None,
    now: datetime,
    recall: Recall[Recorded] | None = None,
) -> str:
    """Return what receipts say of one entry of a folder and of the tail, in one or two sentences.

    Reads the whole ledger where a roster is kept, so that it belongs off the event loop; never
    raises for what it finds.
    """
    found = covering_here(folder, recall=recall)
    return found if isinstance(found, str) else line_of(found, number, now)


def tail_of(folder: LogFolder, recall: Recall[Recorded] | None = None) -> str:
    """Return what no receipt covers, where a safety officer is pinned; else an empty text."""
    found = covering_here(folder, recall=recall)
    if isinstance(found, str):
        return found
    if not found.is_pinned:
        return " ".join(found.problems)
    return " ".join((*found.problems, found.tail_text(folder.clock.now())))


def line_of(found: Covering, number: int | None, now: datetime) -> str:
    """Return what covers one entry, and how long the tail is, with whatever contradicts."""
    return " ".join((*found.problems, found.says_of(number, now)))


def receipt_taken(folder: LogFolder, data: bytes) -> tuple[Receipt, Outcome, str]:
    """Keep a receipt that came as a file; return it, and what it says of the ledger here.

    It is kept as well where it contradicts the ledger: then it is evidence. Raises EntryRefused
    for another folder's, RecordError where the ledger cannot be read.
    """
    receipt = take_receipt(folder, data)
    entries = Ledger(folder).entries()
    roster = Roster.read(folder, entries)
    (found,) = check_against((receipt,), entries, folder.origin, roster).findings
    said = f"The receipt up to entry {receipt.number} is kept here."
    if found.outcome is not Outcome.HOLDS:
        said = f"{said} {found.sentence}"
    if found.outcome is Outcome.FAILS:
        said = f"{said} Tell the safety officer, and change nothing in this folder."
    return receipt, found.outcome, said


def covering_here(
    folder: LogFolder,
    vouching: Vouching | None = None,
    recall: Recall[Recorded] | None = None,
    tell: Tell = unheard,
) -> Covering | str:
    """Return what covers a folder's ledger, by its own roster or by another laptop's.

    Where that cannot be told, returns why, in a sentence. Reads the whole ledger where there
    is a roster to judge receipts by, `tell` hearing how far; with `recall`, only what is new.
    """
    ledger = Ledger(folder)
    try:
        if not (vouching and vouching.is_known) and not _has_roster(folder):
            names = ledger.names()  # then no receipt can be judged, and none covers anything
            since = read_note(folder, names[0]).entry.at if names else None
            return Covering(Roster(), Covered((), Tail(len(names), since), 0, {}))
        return covering(folder, ledger.entries(recall, tell), vouching)
    except RecordError as problem:
        return f"What receipts cover cannot be told: {problem.what}."
    except OSError as problem:
        return f"What receipts cover cannot be told: {problem.strerror or problem}."


def covering(
    folder: LogFolder, entries: Sequence[Recorded], vouching: Vouching | None = None
) -> Covering:
    """Return what covers these entries, which are the folder's, in order.

    Receipts are judged by the roster pinned in the folder, or by that of `vouching`, whose
    own receipts then count as well.
    """
    unread = ""
    if vouching is not None and vouching.is_known:
        roster = vouching.roster
    else:
        try:
            roster = Roster.read(folder, entries)
        except OSError as problem:
            roster = Roster(problem=f"the roster cannot be read: {problem.strerror or problem}")
    try:
        receipts = receipts_of(folder)
        if vouching is not None and vouching.own is not None:
            given = receipts_given(vouching.own, folder.origin)
            receipts = tuple(dict.fromkeys((*receipts, *given)))
    except OSError as problem:
        receipts = ()
        unread = f"The receipts kept here cannot be read: {problem.strerror or problem}."
    return Covering(roster, check_against(receipts, entries, folder.origin, roster), unread)


def _has_roster(folder: LogFolder) -> bool:
    return folder.disk.facts(folder.roster) is not None and bool(folder.disk.names(folder.roster))

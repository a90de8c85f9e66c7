"""How far the safety officer has seen this ledger, and what stands without a receipt."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from checklist.record.errors import RecordError
from checklist.record.ledger import Ledger, read_note
from checklist.record.receipts import Tail, check_against, receipts_of
from checklist.record.report import Outcome
from checklist.record.roster import Roster

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from checklist.record.folder import LogFolder
    from checklist.record.ledger import Recorded
    from checklist.record.receipts import Covered


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


def receipts_line(folder: LogFolder, number: int | None, now: datetime) -> str:
    """Return what receipts say of one entry of a folder and of the tail, in one or two sentences.

    Reads the whole ledger where a roster is kept, so that it belongs off the event loop; never
    raises for what it finds.
    """
    ledger = Ledger(folder)
    try:
        if not _has_roster(folder):  # then no receipt can be judged, and none covers anything
            names = ledger.names()
            since = read_note(folder, names[0]).entry.at if names else None
            return tail_text(Tail(len(names), since), 0, now)
        found = covering(folder, ledger.entries())
    except RecordError as problem:
        return f"What receipts cover cannot be told: {problem.what}."
    except OSError as problem:
        return f"What receipts cover cannot be told: {problem.strerror or problem}."
    return " ".join((*found.problems, found.says_of(number, now)))


def covering(folder: LogFolder, entries: Sequence[Recorded]) -> Covering:
    """Return what covers these entries, which are the folder's, in order."""
    unread = ""
    try:
        roster = Roster.read(folder, entries)
    except OSError as problem:
        roster = Roster(problem=f"the roster cannot be read: {problem.strerror or problem}")
    try:
        receipts = receipts_of(folder)
    except OSError as problem:
        receipts = ()
        unread = f"The receipts kept here cannot be read: {problem.strerror or problem}."
    return Covering(roster, check_against(receipts, entries, folder.origin, roster), unread)


def _has_roster(folder: LogFolder) -> bool:
    return folder.disk.facts(folder.roster) is not None and bool(folder.disk.names(folder.roster))

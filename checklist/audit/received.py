"""What receipts say of one ledger, without holding the ledger in memory."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from datetime import datetime

from checklist.audit.report import Tally
from checklist.record.errors import RecordError
from checklist.record.folder import LogFolder
from checklist.record.ledger import Recorded, note_path, read_note
from checklist.record.receipts import Receipt, Tail, check_against, receipts_of
from checklist.record.report import Outcome
from checklist.record.roster import Roster


def check_receipts(
    folder: LogFolder, names: Sequence[str], kept: Sequence[Receipt], roster: Roster, tally: Tally
) -> tuple[tuple[int, datetime], ...]:
    """Hold a ledger against its receipts, those that the auditor keeps among them.

    Returns number and time of each that holds, in order of number. Only the entries that a
    receipt speaks of are read.
    """
    receipts = _once((*receipts_of(folder), *(one for one in kept if one.origin == folder.origin)))
    wanted = {f"{one.number:08}.note" for one in receipts} & set(names)
    ledger = _entries(folder, sorted({*wanted, *names[-1:]}))
    covered = check_against(receipts, ledger, folder.origin, roster)
    for finding in covered.findings:
        tally.add("receipts", finding.outcome, finding.sentence, entry=finding.receipt.number)
    last = int(names[-1][:8]) if names else 0
    first = _entries(folder, [note_path(folder, covered.covers + 1).name])
    since = first[0].entry.at if first else None
    tail = Tail(max(last - covered.covers, 0), since)
    now = folder.clock.now()
    said = tail.sentence(now)
    tally.add("tail", Outcome.CANNOT_TELL if tail.entries else Outcome.HOLDS, said)
    return tuple(sorted(covered.received.items()))


def _once(receipts: Sequence[Receipt]) -> tuple[Receipt, ...]:
    return tuple(dict.fromkeys(receipts))


def _entries(folder: LogFolder, names: Sequence[str]) -> list[Recorded]:
    found = []
    for name in names:
        with suppress(RecordError):  # said where the ledger itself is read
            found.append(read_note(folder, name))
    return found

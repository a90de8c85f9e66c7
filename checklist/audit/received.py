"""What receipts and the officer's own memory say of one ledger, without holding it in memory."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from datetime import datetime
from pathlib import Path

from checklist.audit import advice
from checklist.audit.report import Evidence, Tally
from checklist.record.errors import Damaged, RecordError
from checklist.record.files.folder import LogFolder
from checklist.record.ledgers import notes
from checklist.record.ledgers.ledger import Recorded, note_path, read_note
from checklist.record.ledgers.tags import tags_of
from checklist.record.lookup.remembered import Departure, Kept, departure, evidence, newest_seen
from checklist.record.roll.receipts import Receipt, Tail, check_against, receipts_of
from checklist.record.roll.receiving import RECEIVED, receipts_given, seen
from checklist.record.roll.roster import Roster
from checklist.record.verifying.report import Outcome
from checklist.sessions.tagging.tags import AT_THE_POINT

NO_ENTRY = (
    "The ledger has no entry; whether it ever had one cannot be told, as no receipt speaks of it."
)
_LONGEST = 8000
"""Characters of a note that are kept as evidence; the entries that this program writes are less."""


def check_receipts(
    folder: LogFolder, names: Sequence[str], own: LogFolder | None, roster: Roster, tally: Tally
) -> tuple[tuple[int, datetime], ...]:
    """Hold a ledger against its receipts and against what the auditor's folder `own` remembers.

    Returns number and time of each receipt that holds, in order of number. Only the entries
    that a receipt speaks of are read.
    """
    kept = _kept(folder, own, tally)
    receipts = tuple(dict.fromkeys((*receipts_of(folder), *kept)))
    wanted = {f"{one.number:08}.note" for one in receipts}.intersection(names)
    ledger = _entries(folder, sorted({*wanted, *names[-1:]}))
    covered = check_against(receipts, ledger, folder.origin, roster)
    for finding in covered.findings:
        tally.add("receipts", finding.outcome, finding.sentence, entry=finding.receipt.number)
    last = int(names[-1][:8]) if names else 0
    first = _entries(folder, [note_path(folder, covered.covers + 1).name])
    since = first[0].entry.at if first else None
    _check_tail(Tail(max(last - covered.covers, 0), since), last, folder, tally)
    if own is not None and own.origin != folder.origin and roster.newest is not None:
        _check_memory(folder, own, tally)
    return tuple(sorted(covered.received.items()))


def _kept(folder: LogFolder, own: LogFolder | None, tally: Tally) -> tuple[Receipt, ...]:
    if own is None:
        return ()
    try:
        return receipts_given(own, folder.origin)
    except OSError as problem:
        said = problem.strerror or str(problem)
        tally.add(
            "receipts", Outcome.CANNOT_TELL, f"The receipts that you keep cannot be read: {said}."
        )
        return ()


def _check_tail(tail: Tail, last: int, folder: LogFolder, tally: Tally) -> None:
    if last == 0:
        tally.add("tail", Outcome.CANNOT_TELL, NO_ENTRY)
    elif tail.entries and tail.since is None:
        said = f"{tail.entries} entries are without a receipt; of what age cannot be told."
        tally.add("tail", Outcome.CANNOT_TELL, said)
    else:
        outcome = Outcome.CANNOT_TELL if tail.entries else Outcome.HOLDS
        tally.add("tail", outcome, tail.sentence(folder.clock.now()))


def _check_memory(folder: LogFolder, own: LogFolder, tally: Tally) -> None:
    """Hold the ledger against every entry that was seen of it before, and say what contradicts."""

    def here(number: int) -> bytes | None:
        try:
            path = note_path(folder, number)
            return folder.disk.read(path, at_most=notes.LARGEST_NOTE)
        except (OSError, RecordError):
            return None

    try:
        known = newest_seen(own, folder.origin)
        if not known:
            tally.add(
                "seen before", Outcome.CANNOT_TELL,
                "This ledger was never seen here, so it can be compared with nothing earlier.",
            )  # fmt: skip
            return
        found = departure(own, folder.origin, here)
        for one in evidence(own, folder.origin):
            _say_evidence(one, tally)
        if found is not None:
            _say_locks(seen(own, folder.origin)[found.number - 1 :], tally)
    except (Damaged, OSError) as problem:
        said = problem.sentence() if isinstance(problem, Damaged) else str(problem)
        tally.add("seen before", Outcome.CANNOT_TELL, said)
        return
    if found is None:
        said = f"It goes on from everything that was seen of it here, up to entry {known}."
        tally.add("seen before", Outcome.HOLDS, said)
        return
    _say_departure(found, known, folder, own.path / RECEIVED / folder.origin, tally)


def _say_locks(gone: Sequence[Recorded], tally: Tally) -> None:
    """Say which locks hang by entries that were seen here before and are not in the folder.

    A lock whose entry was cut off still hangs; nobody must be let near it for that.
    """
    for tag in tags_of(gone).open:
        tally.add(
            "tags", Outcome.WARNING,
            f"Lock {tag.lock} of {tag.person} hangs at {tag.point} since "
            f"{tag.since:%Y-%m-%d %H:%M} by an entry that was seen here before and is not in this "
            f"folder. {AT_THE_POINT}",
            session=tag.session,
        )  # fmt: skip


def _say_departure(
    found: Departure, known: int, folder: LogFolder, kept: Path, tally: Tally
) -> None:
    both = [Evidence("seen here before", _text(found.seen))]
    if found.here is None:
        said = (
            f"Entry {found.number} was seen here before, with everything up to entry {known}, "
            f"and is not there any more. {advice.ENDS_EARLY.format(kept=kept)}"
        )
    else:
        said = (
            f"There are two histories of this ledger: entry {found.number} is not the one that "
            f"was seen here before. {advice.TWO_HISTORIES}"
        )
        both.append(Evidence(str(folder.path), _text(found.here)))
    tally.add("seen before", Outcome.FAILS, said, entry=found.number, evidence=tuple(both))


def _say_evidence(kept: Kept, tally: Tally) -> None:
    parting = kept.departure
    if parting is None or parting.here is None:
        said = (
            f"A copy that ended at entry {kept.last} was once handed in for a receipt, after more "
            f"had been seen; it is kept as evidence in {kept.path}. {advice.HANDED_IN_OLD}"
        )
        tally.add("evidence", Outcome.WARNING, said)
        return
    said = (
        f"Another history of this ledger was once handed in for a receipt: its entry "
        f"{parting.number} differs. It is kept as evidence in {kept.path}. "
        f"{advice.HANDED_IN_OTHER}"
    )
    shown = (
        Evidence("seen first", _text(parting.seen)),
        Evidence("handed in later", _text(parting.here)),
    )
    tally.add("evidence", Outcome.FAILS, said, entry=parting.number, evidence=shown)


def _text(note: bytes) -> str:
    return note.decode("utf-8", "replace")[:_LONGEST]


def _entries(folder: LogFolder, names: Sequence[str]) -> list[Recorded]:
    found = []
    for name in names:
        with suppress(RecordError):  # said where the ledger itself is read
            found.append(read_note(folder, name))
    return found

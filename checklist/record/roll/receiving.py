"""The officer's side of a receipt: compare with what was seen last, store, and only then sign.

In the officer's own log folder, `received/ORIGIN/` keeps for each station every entry that
was seen, in files NUMBER.entries named by the last entry in them, the receipts given, and in
`evidence/` whatever contradicts them.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING

from checklist import __version__
from checklist.record.errors import Damaged, EntryRefused, NotSaved
from checklist.record.files.bundle import ENTRIES, LARGEST_BUNDLE, pack, unpack
from checklist.record.files.whole import create_whole
from checklist.record.journals.lines import hash_of
from checklist.record.ledgers import notes
from checklist.record.ledgers.entries import FIRST_PREVIOUS
from checklist.record.ledgers.entrytext import from_text
from checklist.record.ledgers.ledger import Ledger, Recorded
from checklist.record.roll.keys import require_sound
from checklist.record.roll.receipts import (
    FOLDER,
    Receipt,
    check_against,
    keep_receipt,
    make_receipt,
)
from checklist.record.roll.receipts import receipts_of as receipts_in
from checklist.record.roll.roster import Roster
from checklist.record.verifying.report import Outcome
from checklist.stopping import unheard

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from checklist.record.files.folder import LogFolder
    from checklist.record.roll.keys import UnlockedKey
    from checklist.stopping import Tell

RECEIVED = "received"
"""In the officer's log folder: what was seen of each station's ledger."""

LOCK = "received"
_NAME = re.compile(r"[0-9]{8}\.entries")
_ORIGIN = re.compile(r"[0-9a-f]{32}")


class Contradiction(Damaged):
    """A ledger is not the one that was seen before; what shows it has been kept."""


@dataclass(frozen=True, slots=True)
class Given:
    """A receipt that was given."""

    receipt: Receipt
    data: bytes
    fresh: int
    """How many entries had not been seen before."""


def entries_file(folder: LogFolder, after: int = 0, tell: Tell = unheard) -> bytes:
    """Return the folder's entries after a number in one file, for the officer.

    With `after`, the last entry that was seen before comes first, as the link.
    """
    entries = Ledger(folder).entries(tell=tell)
    if not entries or after > len(entries):
        raise EntryRefused(
            f"this ledger ends at entry {len(entries)}", right="Name a number up to that."
        )
    return pack(ENTRIES, [recorded.data for recorded in entries[max(after - 1, 0) :]])


def receive_folder(
    officer: LogFolder, station: LogFolder, key: UnlockedKey, tell: Tell = unheard
) -> Given:
    """Give a receipt for everything in a station's ledger, and put it into its folder.

    `tell` hears how far it is, and ends it by what it raises; nothing has been written then.
    Raises as `receive` does, and Contradiction where receipts in that folder do not hold.
    """
    try:
        entries = Ledger(station).entries(tell=tell)
    except Damaged as problem:
        raise Damaged(
            f"that ledger is not sound, and gets no receipt: {problem.what}",
            where=problem.where,
            right="standclear verify tells more.",
        ) from problem
    covered = check_against(receipts_in(station), entries, station.origin, _roster_of(officer, key))
    for finding in covered.findings:
        if finding.outcome is Outcome.FAILS:
            data = pack(ENTRIES, [recorded.data for recorded in entries])
            kept = _keep_evidence(officer, station.origin, data)
            raise Contradiction(finding.sentence, where=str(station.path), right=_shown(kept))
    given = _receive(officer, entries, key, tell)
    keep_receipt(station.path / FOLDER, given.data, station)
    return given


def receive_file(officer: LogFolder, data: bytes, key: UnlockedKey, tell: Tell = unheard) -> Given:
    """Give a receipt for the entries in a file that `entries_file` made; `tell` as above."""
    if len(data) > LARGEST_BUNDLE:
        raise Damaged("the file is larger than any file of entries")
    return _receive(officer, _parsed(data, tell), key, tell)


def seen(officer: LogFolder, origin: str, tell: Tell = unheard) -> tuple[Recorded, ...]:
    """Return every entry of a station's ledger that the officer has on disk, in order.

    Raises Damaged where what was kept is damaged.
    """
    base = officer.path / RECEIVED / origin
    if officer.disk.facts(base) is None:
        return ()
    found: list[Recorded] = []
    for name in filter(_NAME.fullmatch, officer.disk.names(base)):
        try:
            pieces = _parsed(officer.disk.read(base / name, at_most=LARGEST_BUNDLE), tell)
            _require_link(pieces, found[-1] if found else None, origin)
        except OSError as problem:
            raise Damaged(
                f"what was seen before cannot be read: {problem.strerror}", where=str(base / name)
            ) from problem
        except Damaged as problem:
            raise Damaged(
                f"what was seen before is damaged: {problem.what}",
                where=str(base / name),
                right="Restore it from a copy; until then no receipt is given for this log.",
            ) from problem
        found += pieces
    return tuple(found)


def receipts_given(officer: LogFolder, origin: str) -> tuple[Receipt, ...]:
    """Return the receipts that the officer's folder holds for one station."""
    return receipts_in(replace(officer, path=officer.path / RECEIVED / origin))


def _receive(
    officer: LogFolder, entries: Sequence[Recorded], key: UnlockedKey, tell: Tell
) -> Given:
    if not entries:
        raise EntryRefused("that ledger has no entry yet", right="Walk something first.")
    origin = entries[0].entry.origin
    _roster_of(officer, key)
    for done, recorded in enumerate(entries):
        tell("signatures", done, len(entries))
        _require_signed(recorded)
    with officer.lock(LOCK):
        before = seen(officer, origin, tell)
        fresh = _fresh(officer, before, entries, origin)
        # From here on nothing stops it: what is stored is signed for.
        newest = fresh[-1] if fresh else before[-1]
        if fresh:
            _store(officer, origin, fresh)
        receipt, data = make_receipt(
            origin, newest.entry.number, newest.sha256, officer.clock.now(), key,
            f"standclear {__version__}",
        )  # fmt: skip
        keep_receipt(officer.path / RECEIVED / origin / FOLDER, data, officer)
    return Given(receipt, data, len(fresh))


def _fresh(
    officer: LogFolder, before: Sequence[Recorded], entries: Sequence[Recorded], origin: str
) -> list[Recorded]:
    """Return the entries that are new; Contradiction where they do not go on from `before`."""
    known = {recorded.entry.number: recorded for recorded in before}
    for recorded in entries:
        same = known.get(recorded.entry.number)
        if same is not None and same.sha256 != recorded.sha256:
            kept = _keep_evidence(officer, origin, pack(ENTRIES, [r.data for r in entries]))
            raise Contradiction(
                f"there are two histories: entry {recorded.entry.number} is not the one that "
                "was seen before",
                where=f"log {origin[:8]}",
                right=_shown(kept),
            )
    if before and entries[-1].entry.number < before[-1].entry.number:
        kept = _keep_evidence(officer, origin, pack(ENTRIES, [r.data for r in entries]))
        raise Contradiction(
            f"it ends at entry {entries[-1].entry.number}, and entry {before[-1].entry.number} "
            "was seen before: it was cut off, rolled back, or is an old copy",
            where=f"log {origin[:8]}",
            right=_shown(kept),
        )
    fresh = [recorded for recorded in entries if recorded.entry.number not in known]
    if fresh:
        _require_link(fresh, before[-1] if before else None, origin)
    return fresh


def _require_link(entries: Sequence[Recorded], last: Recorded | None, origin: str) -> None:
    """Raise Damaged unless the entries follow `last` and each other."""
    number = last.entry.number if last else 0
    previous = last.sha256 if last else FIRST_PREVIOUS
    for recorded in entries:
        entry = recorded.entry
        number += 1
        if entry.number != number:
            raise Damaged(
                f"entry {number} is missing: the next one is {entry.number}",
                right=f"Make the file again with everything after entry {number - 1}.",
            )
        if entry.origin != origin or entry.previous != previous:
            raise Damaged(f"entry {number} does not follow the one before it")
        previous = recorded.sha256


def _require_signed(recorded: Recorded) -> None:
    """Raise Damaged unless the entry carries exactly the signatures that it announces."""
    entry = recorded.entry
    announced = list(dict.fromkeys(signer.key for signer in entry.signers if signer.is_here))
    note = notes.parse(recorded.data)
    if [s.name for s in note.signatures] != announced or not all(
        notes.is_signed(note, s, require_sound(s.name)) for s in note.signatures
    ):
        raise Damaged(
            f"a signature of entry {entry.number} does not verify; no receipt is given",
            right="standclear verify tells more.",
        )


def _roster_of(officer: LogFolder, key: UnlockedKey) -> Roster:
    roster = Roster.read(officer)
    if roster.newest is None or roster.newest.officer != key.public:
        raise EntryRefused(
            roster.problem or "receipts are given by the safety officer in office",
            right="Appoint one here, or have the officer's laptop do it.",
        )
    return roster


def _parsed(data: bytes, tell: Tell) -> list[Recorded]:
    found = []
    pieces = unpack(ENTRIES, data)
    for done, piece in enumerate(pieces):
        tell("entries", done, len(pieces))
        note = notes.parse(piece)
        found.append(Recorded(from_text(note.text), note.signatures, piece, hash_of(piece)))
    if any(after.entry.number != before.entry.number + 1 for before, after in pairwise(found)):
        raise Damaged("the entries in the file are not in order")
    return found


def _store(officer: LogFolder, origin: str, fresh: list[Recorded]) -> None:
    base = officer.path / RECEIVED / origin
    name = f"{fresh[-1].entry.number:08}.entries"
    _write(officer, base / name, pack(ENTRIES, [recorded.data for recorded in fresh]))


def _keep_evidence(officer: LogFolder, origin: str, data: bytes) -> Path:
    base = officer.path / RECEIVED / origin / "evidence"
    path = base / f"{hash_of(data)}.entries"
    if officer.disk.facts(path) is None:
        _write(officer, path, data)
    return path


def _write(officer: LogFolder, path: Path, data: bytes) -> None:
    try:
        _make_folders(officer, path.parent)
        create_whole(officer.disk, path, data)
    except OSError as problem:
        raise NotSaved(
            f"NOT SAVED, what was seen could not be written: {problem.strerror or problem}",
            where=str(path),
            right="Make room or mend the disk; no receipt has been given.",
        ) from problem


def _make_folders(officer: LogFolder, path: Path) -> None:
    if path != officer.path:
        _make_folders(officer, path.parent)
        if officer.disk.facts(path) is None:
            officer.disk.make_folder(path)
        officer.disk.sync_folder(path.parent)


def _shown(kept: Path) -> str:
    return f"No receipt is given. Both are kept as evidence, this one in {kept}."

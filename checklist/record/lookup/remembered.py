"""What a safety officer's folder remembers of a ledger, held against what is handed in now.

Only the last entry of each stored file is compared while it agrees: the entries here are
chained by their hashes, so the same entry at one number means the same entries before it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from checklist.record.errors import Damaged
from checklist.record.files.bundle import ENTRIES, LARGEST_BUNDLE, unpack
from checklist.record.ledgers import notes
from checklist.record.ledgers.entrytext import from_text
from checklist.record.roll.receiving import RECEIVED

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from checklist.record.files.folder import LogFolder

EVIDENCE = "evidence"
"""Beside what was seen of a ledger: what contradicted it."""

_NAME = re.compile(r"([0-9]{8})\.entries")
_KEPT = re.compile(r"[0-9a-f]{64}\.entries")


@dataclass(frozen=True, slots=True)
class Departure:
    """The first entry at which a ledger is not the one that was seen before."""

    number: int
    seen: bytes
    """The note as the officer saw it."""

    here: bytes | None
    """The note that stands there now; None where there is none any more."""


@dataclass(frozen=True, slots=True)
class Kept:
    """Something that once contradicted what had been seen, kept as evidence."""

    path: Path
    last: int
    """The number of the newest entry in it."""

    departure: Departure | None
    """Where it departs from what was seen; None where it only ended earlier."""


def newest_seen(officer: LogFolder, origin: str) -> int:
    """Return the number of the newest entry that was seen of a ledger, 0 where none ever was."""
    return max((number for number, _ in _stored(officer, origin)), default=0)


def departure(
    officer: LogFolder, origin: str, here: Callable[[int], bytes | None]
) -> Departure | None:
    """Return the first entry at which a ledger departs from what was seen, or None.

    `here` gives the bytes of the ledger's entries. Raises Damaged where what is kept cannot
    be read: then nothing can be compared.
    """
    for number, path in _stored(officer, origin):
        pieces = _pieces(officer, path)
        if not pieces:
            continue
        if here(number) == pieces[-1]:
            continue
        for at, piece in enumerate(pieces, start=number - len(pieces) + 1):
            now = here(at)
            if now != piece:
                return Departure(at, piece, now)
    return None


def evidence(officer: LogFolder, origin: str) -> Iterator[Kept]:
    """Yield what is kept of a ledger's other histories; Damaged where it cannot be read."""
    base = officer.path / RECEIVED / origin / EVIDENCE
    if officer.disk.facts(base) is None:
        return
    for name in filter(_KEPT.fullmatch, officer.disk.names(base)):
        pieces = _pieces(officer, base / name)
        if pieces:
            first = _number_of(pieces[0], base / name)
            last = first + len(pieces) - 1
            yield Kept(base / name, last, _parting(officer, origin, first, pieces))


def _parting(officer: LogFolder, origin: str, first: int, pieces: list[bytes]) -> Departure | None:
    for number, path in _stored(officer, origin):
        if number < first:
            continue
        seen = _pieces(officer, path)
        for at, piece in enumerate(seen, start=number - len(seen) + 1):
            place = at - first
            if 0 <= place < len(pieces) and pieces[place] != piece:
                return Departure(at, piece, pieces[place])
    return None


def _stored(officer: LogFolder, origin: str) -> list[tuple[int, Path]]:
    base = officer.path / RECEIVED / origin
    if officer.disk.facts(base) is None:
        return []
    found = []
    for name in officer.disk.names(base):
        matched = _NAME.fullmatch(name)
        if matched:
            found.append((int(matched.group(1)), base / name))
    return found


def _pieces(officer: LogFolder, path: Path) -> list[bytes]:
    try:
        data = officer.disk.read(path, at_most=LARGEST_BUNDLE)
        return unpack(ENTRIES, data)
    except OSError as problem:
        said = problem.strerror or str(problem)
        raise Damaged(f"what was seen before cannot be read: {said}", where=str(path)) from problem
    except Damaged as problem:
        raise Damaged(
            f"what was seen before is damaged: {problem.what}",
            where=str(path),
            right="Restore it from a copy.",
        ) from problem


def _number_of(piece: bytes, path: Path) -> int:
    try:
        return from_text(notes.parse(piece).text).number
    except Damaged as problem:
        said = f"what was kept is damaged: {problem.what}"
        raise Damaged(said, where=str(path)) from problem

"""What another laptop's ledger tells of tags, kept here as the very notes that stand there.

`others/ORIGIN/NUMBER.note` is a copy, byte for byte, of an entry that hangs or takes off a
tag. An entry `log read` in the own ledger says how far that ledger was read, and when; it
is written last, so that what it speaks of is on disk.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from checklist.record.errors import Damaged, EntryRefused, FolderRefused, NotSaved, RecordError
from checklist.record.files.disk import Kind
from checklist.record.files.whole import create_whole
from checklist.record.journals.lines import hash_of
from checklist.record.ledgers import notes
from checklist.record.ledgers.entries import FIRST_PREVIOUS, Draft, Entry
from checklist.record.ledgers.entrytext import from_text
from checklist.record.ledgers.ledger import Ledger, Recorded
from checklist.record.ledgers.tags import HUNG, LOG_READ, TAKEN_OFF
from checklist.stopping import unheard, unstoppable

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import datetime
    from pathlib import Path

    from checklist.record.files.folder import LogFolder
    from checklist.stopping import Tell

FOLDER = "others"
"""In a log folder: what was taken over from other laptops, by their origin."""

_ORIGIN = re.compile(r"[0-9a-f]{32}")
_NAME = re.compile(r"[0-9]{8}\.note")
_COUNT = re.compile(r"0|[1-9][0-9]{0,7}")
_OF_TAGS = (HUNG, TAKEN_OFF)


@dataclass(frozen=True, slots=True)
class LogRead:
    """How far another laptop's ledger was read."""

    origin: str
    number: int
    """Of its newest entry then; 0 for an empty ledger."""

    sha256: str
    """Of that entry."""

    at: datetime
    """When it was read."""


@dataclass(frozen=True, slots=True)
class OtherTags:
    """The entries about tags that were taken over from other laptops."""

    entries: tuple[Recorded, ...] = ()
    problems: tuple[str, ...] = ()
    """One sentence for each copy that cannot be read."""

    damaged: frozenset[str] = frozenset()
    """The origins of those: what is kept of their logs does not count as the whole."""


def logs_read(entries: Iterable[Recorded]) -> dict[str, LogRead]:
    """Return for each other laptop the last reading of its ledger that these entries tell of."""
    found: dict[str, LogRead] = {}
    for recorded in entries:
        if recorded.entry.kind == LOG_READ and (read := _read_of(recorded.entry)) is not None:
            found[read.origin] = read
    return found


def other_tags(folder: LogFolder) -> OtherTags:
    """Return what was taken over from other laptops; never raises for what it finds."""
    found: list[Recorded] = []
    problems: list[str] = []
    damaged: set[str] = set()
    base = folder.path / FOLDER
    if folder.disk.facts(base) is None:
        return OtherTags()
    for origin in filter(_ORIGIN.fullmatch, _names(folder, base, problems)):
        for name in filter(_NAME.fullmatch, _names(folder, base / origin, problems)):
            try:
                found.append(_copy(folder, base / origin / name, origin))
            except (RecordError, OSError) as problem:
                said = problem.what if isinstance(problem, RecordError) else str(problem.strerror)
                problems.append(f"A copied entry of laptop {origin[:8]}, {name}: {said}.")
                damaged.add(origin)
    return OtherTags(tuple(found), tuple(problems), frozenset(damaged))


def take_over(folder: LogFolder, other: LogFolder, tell: Tell = unheard) -> tuple[Recorded, int]:
    """Take over what another log folder's ledger tells of tags.

    Returns the entry that says so, and how many entries about tags are kept from there.
    `tell` hears how far it is; it stops the reading, and no longer the writing.
    Raises FolderRefused for the own folder, Damaged where that ledger is not sound or is not
    the one that was read before, EntryRefused where this copy is older than that, NotSaved.
    """
    if other.origin == folder.origin:
        raise FolderRefused("this is the log folder in use", where=str(other.path))
    entries = Ledger(other).entries(tell=tell)
    own = Ledger(folder).entries(tell=tell)
    _require_going_on(logs_read(own).get(other.origin), entries, other)
    about_tags = [recorded for recorded in entries if recorded.entry.kind in _OF_TAGS]
    try:
        _keep(folder, other.origin, about_tags, unstoppable(tell))
    except OSError as problem:
        raise NotSaved(
            f"NOT SAVED, the other laptop's entries could not be written: {problem.strerror}",
            where=str(folder.path / FOLDER),
            right="Make room or mend the disk, then import again.",
        ) from problem
    fields = (
        ("of", other.origin),
        ("number", str(len(entries))),
        ("hash", entries[-1].sha256 if entries else FIRST_PREVIOUS),
        ("tags", str(len(about_tags))),
    )
    return Ledger(folder).append(Draft(LOG_READ, fields=fields)), len(about_tags)


def _require_going_on(
    before: LogRead | None, entries: tuple[Recorded, ...], other: LogFolder
) -> None:
    if before is None:
        return
    if len(entries) < before.number:
        raise EntryRefused(
            f"this copy ends at entry {len(entries)}; entry {before.number} was read on "
            f"{before.at:%d %b %H:%M}",
            where=str(other.path),
            right="Take a newer copy, or the laptop's own folder.",
        )
    if before.number and entries[before.number - 1].sha256 != before.sha256:
        raise Damaged(
            f"its entry {before.number} is not the one that was read on {before.at:%d %b %H:%M}",
            where=str(other.path),
            right="Show both to the safety officer; count the locks at the point meanwhile.",
        )


def _keep(folder: LogFolder, origin: str, entries: Sequence[Recorded], tell: Tell) -> None:
    base = folder.path / FOLDER
    for path in (base, base / origin):
        if folder.disk.facts(path) is None:
            folder.disk.make_folder(path)
            folder.disk.sync_folder(path.parent)
    for done, recorded in enumerate(entries):
        tell("entries about tags written", done, len(entries))
        path = base / origin / f"{recorded.entry.number:08}.note"
        if folder.disk.facts(path) is None:
            create_whole(folder.disk, path, recorded.data)
        elif folder.disk.read(path, at_most=notes.LARGEST_NOTE) != recorded.data:
            raise Damaged(
                f"entry {recorded.entry.number} differs from the copy that was kept before",
                where=str(path),
                right="Show both to the safety officer.",
            )
    folder.disk.sync_folder(base / origin)


def _copy(folder: LogFolder, path: Path, origin: str) -> Recorded:
    data = folder.disk.read(path, at_most=notes.LARGEST_NOTE)
    note = notes.parse(data)
    entry = from_text(note.text)
    if entry.origin != origin or path.name != f"{entry.number:08}.note":
        raise Damaged("it belongs elsewhere")
    return Recorded(entry, note.signatures, data, hash_of(data))


def _names(folder: LogFolder, path: Path, problems: list[str]) -> list[str]:
    facts = folder.disk.facts(path)
    if facts is None or facts.kind is not Kind.FOLDER:
        problems.append(f"{path.name} in {FOLDER} is no folder.")
        return []
    try:
        return folder.disk.names(path)
    except OSError as problem:
        problems.append(f"{path.name} in {FOLDER} cannot be listed: {problem.strerror}.")
        return []


def _read_of(entry: Entry) -> LogRead | None:
    origin, number, sha256 = (entry.field(name) or "" for name in ("of", "number", "hash"))
    if not _ORIGIN.fullmatch(origin) or not _COUNT.fullmatch(number):
        return None
    return LogRead(origin, int(number), sha256, entry.at)

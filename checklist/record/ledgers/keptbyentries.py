"""Which kept files an entry of the ledger stands for: a corrected answer's, an audit's report."""

from __future__ import annotations

from typing import TYPE_CHECKING

from checklist.record.errors import RecordError
from checklist.record.files import kept
from checklist.record.files.strictjson import parse

if TYPE_CHECKING:
    from collections.abc import Iterator

    from checklist.record.files.folder import LogFolder
    from checklist.record.ledgers.entries import Entry

CORRECTED, AUDITED = "corrected", "audited"
"""The kinds of entry that name kept files."""


def files_named(folder: LogFolder, entry: Entry) -> Iterator[tuple[str, str]]:
    """Yield folder and SHA-256 of each kept file that an entry names, and that those name in turn.

    What is no name of a file in the one form that is accepted names nothing here; whoever
    reads the entry says so. A file that is gone or changed is yielded, and names none itself.
    """
    if entry.kind == AUDITED:
        yield "attachments", entry.field("report") or ""
    if entry.kind != CORRECTED:
        return
    for part, sha256 in _references((entry.field("answer") or "").encode()):
        yield part, sha256
        if part == "attachments":
            yield from _references(_content(folder, sha256))


def flaw_of(folder: LogFolder, part: str, sha256: str) -> str:
    """Return what is wrong with a kept file that an entry names, or an empty text."""
    try:
        if part == "rules":
            kept.read(folder, "rules", sha256)
        elif part == "attachments":
            kept.read(folder, "attachments", sha256)
        else:
            return "it is named in no folder that is known"
    except RecordError as problem:
        return problem.what
    return ""


def _content(folder: LogFolder, sha256: str) -> bytes:
    try:
        return kept.read(folder, "attachments", sha256)
    except RecordError:
        return b""


def _references(data: bytes) -> Iterator[tuple[str, str]]:
    try:
        found = parse(data)
    except RecordError:
        return
    yield from kept.references(found)

"""Files kept under the name of their own content: rule files in use, photos and papers."""

from __future__ import annotations

import errno
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from checklist.plaintext import shown
from checklist.record.errors import Damaged, NotSaved, RecordError, TooLarge
from checklist.record.files.disk import Kind
from checklist.record.files.whole import create_whole
from checklist.record.journals.lines import hash_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from pathlib import Path

    from checklist.record.files.folder import LogFolder
    from checklist.record.files.strictjson import Json

Part = Literal["rules", "attachments"]
"""Which of the two folders a file is kept in."""

LARGEST = {"rules": 8 * 1024 * 1024, "attachments": 32 * 1024 * 1024}
"""Bytes in one kept file: a rule file is text, an attachment a photo or a scan."""


class FileRefused(RecordError):
    """A file that someone named cannot be kept."""


@dataclass(frozen=True, slots=True)
class Reference:
    """How a session names a kept file."""

    part: Part
    sha256: str
    size: int
    """Bytes."""

    name: str
    """The name it had where it came from; text only, never used as a path."""

    def as_data(self) -> dict[str, object]:
        """Return the reference as it stands in a session's line."""
        return {"kept": self.part, "sha256": self.sha256, "size": self.size, "name": self.name}


def keep(folder: LogFolder, part: Part, data: bytes) -> str:
    """Keep `data` and return its SHA-256; what is kept already is checked, not written again.

    Raises NotSaved when the disk refuses, FileRefused when it is too large.
    """
    if len(data) > LARGEST[part]:
        raise FileRefused(
            f"the file has {len(data)} bytes", right=f"At most {LARGEST[part]} can be kept."
        )
    sha256 = hash_of(data)
    path = folder.kept_file(folder.path / part, sha256)
    try:
        if folder.disk.facts(path) is None:
            create_whole(folder.disk, path, data)
        else:
            read(folder, part, sha256)
            folder.disk.sync_folder(path.parent)
    except FileExistsError:  # another program kept the same bytes at the same moment
        read(folder, part, sha256)
    except OSError as problem:
        raise NotSaved(
            f"NOT SAVED, the file could not be kept: {problem.strerror or problem}",
            where=str(path.parent),
            right="Make room or mend the disk, then do it again.",
        ) from problem
    return sha256


def read(folder: LogFolder, part: Part, sha256: str) -> bytes:
    """Return the kept bytes whose hash is `sha256`; Damaged when they are gone or changed."""
    path = folder.kept_file(folder.path / part, sha256)
    try:
        data = folder.disk.read(path, at_most=LARGEST[part])
    except OSError as problem:
        raise Damaged(
            f"the kept file cannot be read: {(problem.strerror or str(problem)).lower()}",
            where=str(path),
            right="Restore it from a copy of the log folder.",
        ) from problem
    except TooLarge as problem:
        raise Damaged(problem.what, where=str(path)) from problem
    if hash_of(data) != sha256:
        raise Damaged(
            "the kept file was changed: its content has another hash than its name",
            where=str(path),
            right="Restore it from a copy of the log folder.",
        )
    return data


class LookedAt:
    """What was found of a folder's kept files in one verification; each table is read once for it.

    Ten thousand sessions name the same few rule files and tables; a photo is named by one. Make
    a new one for each verification: it does not see what is changed later.
    """

    def __init__(self, folder: LogFolder) -> None:
        self._folder = folder
        self._rules: dict[str, str] = {}

    def problem(self, part: Part, sha256: str) -> str:
        """Return why a kept file is not the one of this hash, or an empty text."""
        if part != "rules":
            return self._look(part, sha256)
        if sha256 not in self._rules:
            self._rules[sha256] = self._look(part, sha256)
        return self._rules[sha256]

    def _look(self, part: Part, sha256: str) -> str:
        try:
            read(self._folder, part, sha256)
        except RecordError as problem:
            return problem.what
        return ""


def attach(folder: LogFolder, source: Path) -> Reference:
    """Keep a photo or a paper that a person named by path, and return how to refer to it.

    Raises FileRefused where the path is no ordinary file (a link, a folder, a device), is
    empty, or is too large.
    """
    named = shown(source.name)
    facts = folder.disk.facts(source)
    if facts is None:
        raise FileRefused("there is no such file", where=named, right="Check the path.")
    if facts.kind is not Kind.FILE:
        raise FileRefused(
            f"this is a {facts.kind.value}", where=named, right="Name the file itself."
        )
    try:
        data = folder.disk.read(source, at_most=LARGEST["attachments"])
    except TooLarge as problem:
        raise FileRefused(problem.what, where=named, right="Attach a smaller one.") from problem
    except OSError as problem:
        said = "you may not read it" if problem.errno == errno.EACCES else str(problem.strerror)
        raise FileRefused(f"it cannot be read: {said}", where=named) from problem
    if not data:
        raise FileRefused("the file is empty", where=named, right="Attach the real one.")
    return Reference("attachments", keep(folder, "attachments", data), len(data), named)


def references(data: Json | Mapping[str, Json]) -> Iterator[tuple[str, str]]:
    """Yield the folder and the SHA-256 of every kept file that a line's data names."""
    if isinstance(data, list):
        for item in data:
            yield from references(item)
    elif isinstance(data, dict):
        part, sha256 = data.get("kept"), data.get("sha256")
        if isinstance(part, str) and isinstance(sha256, str):
            yield part, sha256
        for item in data.values():
            yield from references(item)

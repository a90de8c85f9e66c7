"""Keeps a small TinyDB database in a file that a crash cannot destroy.

TinyDB's own JSON storage rewrites its file in place, and a kill in the middle loses every
record. Here the file is only ever replaced whole. A file that cannot be read is set aside
under another name, never overwritten. TinyDB itself is imported at the first change, so
that reading costs a program's start nothing.
"""

from __future__ import annotations

import hashlib
import json
from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING, Any, Generic, TypeVar

from checklist.record.errors import Damaged, FolderRefused, NotSaved
from checklist.record.files.whole import create_whole, write_whole

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from tinydb import TinyDB

    from checklist.record.files.disk import Disk
    from checklist.record.files.folder import LogFolder

Content = TypeVar("Content")
Row = dict[str, Any]
Tables = dict[str, dict[str, Row]]
"""What TinyDB hands to a storage: table name, then row number as text, then the row."""

LARGEST = 256 * 1024 * 1024
"""Bytes that are read from one store; 100,000 sessions need about a quarter of it."""

_ABOUT = "about"
_DIGITS = 15  # of a row number; int() has a cost, and Python a limit, on longer ones


class StoreDamaged(Damaged):
    """A store's file does not hold what this program writes."""


class StoreNewer(FolderRefused):
    """A store's file was written by a newer program, in a format that is not known here."""


class DiskStorage:
    """The storage interface of TinyDB (read, write, close) over whole-file replacement."""

    def __init__(self, disk: Disk, path: Path) -> None:
        self._disk = disk
        self.path = path

    def read_bytes(self) -> bytes | None:
        """Return the file's bytes, or None where there is no file; raises FolderRefused."""
        try:
            return self._disk.read(self.path, at_most=LARGEST)
        except FileNotFoundError:
            return None
        except OSError as problem:
            raise FolderRefused(
                f"the file cannot be read ({_reason(problem)})",
                where=str(self.path),
                right="It must be a regular file that you may read.",
            ) from problem

    def read(self) -> Tables | None:
        """Return all tables, or None where there is no file.

        Raises StoreDamaged where the file is not a store's, FolderRefused where it cannot
        be read at all.
        """
        data = self.read_bytes()
        return None if data is None else tables_of(data, where=str(self.path))

    def write(self, data: Tables) -> None:
        """Replace the whole file; on disk when it returns.

        Raises NotSaved where the disk fails; the tables that stood there still stand.
        """
        try:
            text = json.dumps(data, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
            write_whole(self._disk, self.path, text.encode())
        except (OSError, ValueError, TypeError) as problem:
            raise NotSaved(
                f"NOT SAVED ({_reason(problem)})",
                where=str(self.path),
                right="What was kept before still stands; put the cause right and do it again.",
            ) from problem

    def close(self) -> None:
        """Do nothing: no file stays open between two operations."""


class TinyStore(Generic[Content]):
    """One TinyDB file that several programs read and change, each change whole or not at all.

    Reading changes nothing on disk, whatever it finds; only a change sets a damaged file aside.
    """

    def __init__(
        self,
        folder: LogFolder,
        path: Path,
        *,
        version: int,
        understand: Callable[[Tables], Content],
    ) -> None:
        """Take the store at `path` in `folder`.

        `understand` turns tables into what the owner works with, and raises StoreDamaged
        for rows without which the whole file is worth nothing.
        """
        self._folder = folder
        self._storage = DiskStorage(folder.disk, path)
        self._version = version
        self._understand = understand
        self._seen: tuple[bytes, Tables, Content] | None = None
        self.notes: list[str] = []
        """Sentences for the person about what was found damaged."""

    def content(self) -> Content:
        """Return what the file holds now; it is read again only where it has changed.

        A damaged file counts as empty, and `notes` says so. Raises StoreNewer,
        FolderRefused, TooLarge.
        """
        try:
            return self._read()[1]
        except StoreDamaged as damage:
            self.note(f"{damage.sentence()}. Nothing in it is used; the next entry sets it aside.")
            return self._understand({})

    @contextmanager
    def change(self) -> Iterator[TinyDB]:
        """Lend the database under a lock; all changes reach the disk in one write at the end.

        Nothing is written if the block raises. Raises HeldElsewhere, NotSaved, StoreNewer,
        FolderRefused.
        """
        import tinydb
        from tinydb.storages import MemoryStorage

        with self._folder.lock(self._storage.path.stem):
            # A copy, for what `content` was made from must not change under its readers.
            memory = MemoryStorage()  # type: ignore[no-untyped-call]  # tinydb leaves it untyped
            memory.write(_copied(self._sound_tables()))
            database = tinydb.TinyDB(storage=lambda: memory)
            yield database
            about = database.table(_ABOUT)
            about.truncate()
            about.insert({"format": self._version})
            self._storage.write(memory.read() or {})

    def note(self, sentence: str) -> None:
        """Add a sentence for the person, once."""
        if sentence not in self.notes:
            self.notes.append(sentence)

    def _read(self) -> tuple[Tables, Content]:
        self._folder.check_file(self._storage.path)
        data = self._storage.read_bytes()
        if data is None:
            return {}, self._understand({})
        if self._seen is None or data != self._seen[0]:
            tables = tables_of(data, where=str(self._storage.path))
            self._require_known_format(tables)
            self._seen = (data, tables, self._understand(tables))
        return self._seen[1:]

    def _require_known_format(self, tables: Tables) -> None:
        found = tables.get(_ABOUT, {}).get("1", {}).get("format")
        if not isinstance(found, int) or found < 1:
            raise _damaged("it does not say its format", str(self._storage.path))
        if found > self._version:
            raise StoreNewer(
                f"the file has format {found}; this program knows {self._version}",
                where=str(self._storage.path),
                right="Use the newer program on this folder.",
            )

    def _sound_tables(self) -> Tables:
        try:
            return self._read()[0]
        except StoreDamaged as damage:
            self._set_aside(damage)
            return {}

    def _set_aside(self, damage: StoreDamaged) -> None:
        path, quarantine = self._storage.path, self._folder.quarantine
        data = self._storage.read_bytes() or b""
        # Named by its content, so that damage found twice is kept once. The damaged file
        # itself stands until a whole new one takes its place.
        aside = quarantine / f"{path.stem}-{hashlib.sha256(data).hexdigest()}{path.suffix}"
        try:
            with suppress(FileExistsError):
                create_whole(self._folder.disk, aside, data)
        except OSError as problem:
            raise NotSaved(
                f"NOT SAVED: {damage.what}, and it cannot be set aside ({_reason(problem)})",
                where=str(path),
                right=f"Move it into {quarantine} by hand.",
            ) from problem
        self.note(f"{damage.sentence()}. It is kept, whole, as quarantine/{aside.name}.")


def tables_of(data: bytes, *, where: str) -> Tables:
    """Return the tables written in `data`; raises StoreDamaged naming `where`."""
    try:
        tables = json.loads(
            data.decode(),
            object_pairs_hook=_without_doubles,
            parse_float=_refused,
            parse_constant=_refused,
        )
    except (ValueError, RecursionError) as problem:
        raise _damaged(_reason(problem), where) from problem
    if not isinstance(tables, dict):
        raise _damaged("it holds no tables", where)
    for name, rows in tables.items():
        if not isinstance(rows, dict) or not all(_is_row(*item) for item in rows.items()):
            raise _damaged(f"{name!r} is no table", where)
    return tables


def _is_row(number: str, row: object) -> bool:
    return (
        number.isascii() and number.isdigit() and len(number) <= _DIGITS and isinstance(row, dict)
    )


def _copied(tables: Tables) -> Tables:
    return {name: {number: dict(row) for number, row in t.items()} for name, t in tables.items()}


def _without_doubles(pairs: list[tuple[str, Any]]) -> Row:
    found = dict(pairs)
    if len(found) != len(pairs):
        raise ValueError("a name stands twice in one row")
    return found


def _refused(text: str) -> object:
    raise ValueError(f"{text} is no number that is kept here")


def _damaged(problem: str, where: str) -> StoreDamaged:
    return StoreDamaged(f"the file is damaged: {problem}", where=where)


def _reason(problem: Exception) -> str:
    if isinstance(problem, OSError):
        return problem.strerror or type(problem).__name__
    if isinstance(problem, UnicodeError):
        return "a character that is not text"
    return "nested too deep" if isinstance(problem, RecursionError) else str(problem)

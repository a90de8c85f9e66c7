"""A disk in memory that can lose power: what is on it and what is only in the cache apart."""

from __future__ import annotations

import errno
import os
import random
from dataclasses import dataclass, field
from itertools import chain, combinations
from pathlib import Path
from typing import TYPE_CHECKING

from checklist.record.errors import HeldElsewhere, TooLarge
from checklist.record.files.disk import Facts, Kind

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

ROOT = Path("/club")


class PowerCut(BaseException):
    """The machine stopped; nothing in the program can catch this by accident."""


@dataclass
class Inode:
    """One file's bytes: as the program sees them, and as the platter holds them."""

    cached: bytearray = field(default_factory=bytearray)
    durable: bytes = b""
    lost_from: int | None = None
    """Where a failed flush dropped bytes that the cache still shows and never writes again."""

    cut_to: int | None = None
    """The least size that the file was cut to since the last flush."""


@dataclass
class NameChange:
    """A change of names in one folder that is not flushed yet."""

    folder: Path
    sets: dict[Path, Inode | None]
    """New names; None stands for a folder."""

    removes: list[Path]


@dataclass
class MemoryLock:
    disk: CrashDisk
    path: Path

    def release(self) -> None:
        self.disk.locks.discard(self.path)


class CrashDisk:
    """Does what the record asks, counts each change, and fails or stops at the one wanted."""

    def __init__(self) -> None:
        self.names_now: dict[Path, Inode | None] = {Path("/"): None, ROOT: None}
        self.names_durable = dict(self.names_now)
        self.pending: list[NameChange] = []
        self.handles: dict[int, Inode] = {}
        self.places: dict[int, int] = {}
        """Where the next write through a handle goes."""

        self.locks: set[Path] = set()
        self.done = 0
        self.stop_at: int | None = None
        self.fail_at: int | None = None
        self.failure = errno.EIO
        self.short: int | None = None
        """Bytes that a failing write takes before it gives up, instead of raising."""

        self.can_link = True
        self.log: list[str] = []

    def _change(self, what: str) -> bool:
        """Count one change; stop or fail if it is its turn. True: a short write is due."""
        if self.stop_at == self.done:
            raise PowerCut
        self.done += 1
        self.log.append(what)
        if self.fail_at == self.done - 1:
            if what == "write" and self.short is not None:
                return True
            raise OSError(self.failure, os.strerror(self.failure))
        return False

    def facts(self, path: Path) -> Facts | None:
        if path not in self.names_now:
            return None
        inode = self.names_now[path]
        if inode is None:
            return Facts(Kind.FOLDER, 0, 0o700, os.geteuid())
        return Facts(Kind.FILE, len(inode.cached), 0o600, os.geteuid())

    def names(self, folder: Path) -> list[str]:
        return sorted(path.name for path in self.names_now if path.parent == folder != path)

    def marks(self, folder: Path) -> dict[str, tuple[int, ...]]:
        inside = (path for path in self.names_now if path.parent == folder != path)
        return {p.name: (hash(bytes(self._file(p).cached)),) for p in inside if self.is_file(p)}

    def is_file(self, path: Path) -> bool:
        facts = self.facts(path)
        return facts is not None and facts.kind is Kind.FILE

    def read(self, path: Path, *, at_most: int) -> bytes:
        data = bytes(self._file(path).cached)
        if len(data) > at_most:
            raise TooLarge("too large")
        return data

    def read_in(self, folder: Path, name: str, *, at_most: int) -> bytes:
        return self.read(folder / name, at_most=at_most)

    def make_folder(self, path: Path) -> None:
        self._change("make_folder")
        if path in self.names_now:
            raise FileExistsError(errno.EEXIST, "exists", str(path))
        self._apply(NameChange(path.parent, {path: None}, []))

    def restrict(self, folder: Path) -> None:
        self._change("restrict")

    def can_write(self, folder: Path) -> bool:
        return True

    def lock(self, path: Path, *, wait: float) -> MemoryLock:
        if path in self.locks:
            raise HeldElsewhere("held")
        self.locks.add(path)
        return MemoryLock(self, path)

    def create_new(self, path: Path) -> int:
        self._change("create_new")
        if path in self.names_now:
            raise FileExistsError(errno.EEXIST, "exists", str(path))
        inode = Inode()
        self._apply(NameChange(path.parent, {path: inode}, []))
        return self._handle(inode)

    def open_existing(self, path: Path) -> int:
        return self._handle(self._file(path))

    def seek(self, handle: int, place: int) -> None:
        self.places[handle] = place

    def cut(self, handle: int, size: int) -> None:
        self._change("cut")
        inode = self.handles[handle]
        del inode.cached[size:]
        inode.cut_to = min(size, inode.cut_to or size)

    def write(self, handle: int, data: bytes) -> int:
        taken = self.short if self._change("write") else None
        taken = len(data) if taken is None else min(taken, len(data) - 1)
        cached, place = self.handles[handle].cached, self.places[handle]
        cached += bytes(max(place - len(cached), 0))
        cached[place : place + taken] = data[:taken]
        self.places[handle] = place + taken
        return taken

    def sync(self, handle: int) -> None:
        inode = self.handles[handle]
        try:
            self._change("sync")
        except OSError:
            if inode.lost_from is None:
                inode.lost_from = _differing(inode.durable, bytes(inode.cached))[0]
            raise
        inode.durable, inode.cut_to = _as_flushed(inode), None

    def close(self, handle: int) -> None:
        self.handles.pop(handle, None)

    def sync_folder(self, folder: Path) -> None:
        self._change("sync_folder")
        for change in [c for c in self.pending if c.folder == folder]:
            _enact(self.names_durable, change)
            self.pending.remove(change)

    def link(self, existing: Path, new: Path) -> None:
        self._change("link")
        if not self.can_link:
            raise OSError(errno.EPERM, "this file system knows no second names")
        if new in self.names_now:
            raise FileExistsError(errno.EEXIST, "exists", str(new))
        self._apply(NameChange(new.parent, {new: self._file(existing)}, []))

    def replace(self, existing: Path, new: Path) -> None:
        self._change("replace")
        self._apply(NameChange(new.parent, {new: self._file(existing)}, [existing]))

    def unlink(self, path: Path) -> None:
        self._change("unlink")
        self._file(path)
        self._apply(NameChange(path.parent, {}, [path]))

    def _file(self, path: Path) -> Inode:
        inode = self.names_now.get(path)
        if inode is None:
            raise FileNotFoundError(errno.ENOENT, "no such file", str(path))
        return inode

    def _handle(self, inode: Inode) -> int:
        handle = max(self.handles, default=2) + 1
        self.handles[handle], self.places[handle] = inode, 0
        return handle

    def _apply(self, change: NameChange) -> None:
        _enact(self.names_now, change)
        self.pending.append(change)

    def after_power_cut(self, pieces: int = 8) -> Iterator[CrashDisk]:
        """Yield every state in which the machine may come up again.

        Bytes on their way may have arrived in part: up to about `pieces` lengths are tried.
        """
        seen: set[tuple[tuple[str, bytes], ...]] = set()
        for changes in _subsets(self.pending):
            names = dict(self.names_durable)
            for change in changes:
                _enact(names, change)
            unsynced = [
                inode
                for inode in names.values()
                if inode is not None and bytes(inode.cached) != inode.durable
            ]
            for content in _contents(unsynced, pieces):
                found = _booted(names, content)
                key = tuple(
                    (str(path), b"/" if inode is None else inode.durable)
                    for path, inode in sorted(found.names_now.items())
                    if not path.name.endswith(".tmp")
                )
                if key not in seen:
                    seen.add(key)
                    yield found


def _enact(names: dict[Path, Inode | None], change: NameChange) -> None:
    names.update(change.sets)
    for path in change.removes:
        names.pop(path, None)


def _differing(old: bytes, new: bytes) -> tuple[int, int]:
    """Return where two contents differ first, and behind the last; what is not there is zero."""
    bits = int.from_bytes(old, "little") ^ int.from_bytes(new, "little")
    if not bits:
        return min(len(old), len(new)), min(len(old), len(new))
    return ((bits & -bits).bit_length() - 1) // 8, (bits.bit_length() + 7) // 8


def _as_flushed(inode: Inode) -> bytes:
    """Return what a flush brings to the platter: what was dropped stays as it was there."""
    data = bytes(inode.cached)
    if inode.lost_from is None:
        return data
    before = inode.durable[inode.lost_from :].ljust(len(data) - inode.lost_from, b"\0")
    return data[: inode.lost_from] + before[: max(len(data) - inode.lost_from, 0)]


def _subsets(changes: list[NameChange]) -> Iterable[list[NameChange]]:
    if len(changes) <= 3:
        return map(list, chain.from_iterable(combinations(changes, n) for n in range(5)))
    prefixes = [changes[:n] for n in range(len(changes) + 1)]
    one_missing = [changes[:n] + changes[n + 1 :] for n in range(len(changes))]
    return prefixes + one_missing


def _contents(unsynced: list[Inode], pieces: int) -> Iterator[dict[int, bytes]]:
    """Yield what the unflushed bytes may have become: a part, zeros, garbage, each at any size."""
    ways = {id(inode): _Way(inode) for inode in unsynced}
    longest = max((way.length for way in ways.values()), default=0)
    lengths = {0, 1, 2, *range(0, longest, max(1, longest // pieces)), longest - 1, longest}
    dice = random.Random(longest)  # noqa: S311  # garbage that is the same in every run
    noises = [bytes(longest)] if longest else []
    for breaks in (0, 3) if longest else ():
        noise = bytearray(dice.randbytes(longest))
        for _ in range(breaks):
            noise[dice.randrange(longest)] = 0x0A
        noises.append(bytes(noise))
    told = set()
    for size in range(max((len(way.sizes) for way in ways.values()), default=1)):
        parts = [
            *(
                [way.from_start(n, size) for way in ways.values()]
                for n in sorted(lengths)
                if n >= 0
            ),
            *([way.from_end(n, size) for way in ways.values()] for n in sorted(lengths) if n >= 0),
            *([way.garbled(noise, size) for way in ways.values()] for noise in noises),
        ]
        for part in parts:
            if tuple(part) not in told:
                told.add(tuple(part))
                yield dict(zip(ways, part, strict=True))


class _Way:
    """The bytes of one file on their way to the platter, which may arrive in any part."""

    def __init__(self, inode: Inode) -> None:
        self.old, self.new = inode.durable, _as_flushed(inode)
        self.start, end = _differing(self.old, self.new)
        self.length = end - self.start
        """How many bytes are on their way, but for zeros at the end."""

        ends = {len(self.new), self.start + self.length, inode.cut_to or len(self.new)}
        self.sizes: list[int | None] = [None, len(self.old), *sorted(ends - {len(self.old)})]
        """The sizes with which the file may come up; None: as far as its bytes arrived."""

    def from_start(self, length: int, size: int) -> bytes:
        """Return the file where the first bytes arrived and the others did not."""
        end = self.start + min(length, self.length)
        return self._file(self.start, self.new[self.start : end], size)

    def from_end(self, length: int, size: int) -> bytes:
        """Return the file where the first bytes did not arrive and the others did."""
        start, end = self.start + min(length, self.length), self.start + self.length
        return self._file(start, self.new[start:end], size)

    def garbled(self, noise: bytes, size: int) -> bytes:
        """Return the file with garbage in the place of what was on its way."""
        return self._file(self.start, noise[: self.length], size)

    def _file(self, place: int, arrived: bytes, size: int) -> bytes:
        end = place + len(arrived)
        wanted = self.sizes[min(size, len(self.sizes) - 1)]
        longest = max(len(self.old), end) if wanted is None else wanted
        old = self.old.ljust(end, b"\0")
        return (old[:place] + arrived + old[end:]).ljust(longest, b"\0")[:longest]


def _booted(names: dict[Path, Inode | None], content: dict[int, bytes]) -> CrashDisk:
    disk = CrashDisk()
    copies: dict[int, Inode] = {}
    found: dict[Path, Inode | None] = {}
    for path, inode in sorted(names.items()):
        if path != Path("/") and path.parent not in found:
            continue  # a file whose folder did not reach the disk is not there
        if inode is None:
            found[path] = None
        else:
            data = content.get(id(inode), inode.durable)
            found[path] = copies.setdefault(id(inode), Inode(bytearray(data), data))
    disk.names_now = found
    disk.names_durable = dict(found)
    return disk

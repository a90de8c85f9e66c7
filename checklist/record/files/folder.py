"""The log folder: where each thing stands in it, and whether it can be trusted."""

from __future__ import annotations

import re
from contextlib import contextmanager
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from checklist.record.errors import FolderRefused
from checklist.record.files.chance import REAL_CHANCE
from checklist.record.files.disk import Kind
from checklist.record.files.layout import lay_out, read_origin, require_trusted, said

if TYPE_CHECKING:
    from collections.abc import Iterator

    from checklist.record.files.chance import Chance
    from checklist.record.files.clock import Clock
    from checklist.record.files.disk import Disk, Held

_IDENTITY = re.compile(r"[0-9a-f]{32}")
_SHA256 = re.compile(r"[0-9a-f]{64}")
_LONGEST_WAIT = (
    5.0  # seconds; the ledger's lock is held for a few synced writes, never for a person
)


@lru_cache(maxsize=256)  # joining a path costs as much as opening the file
def _part(path: Path, name: str) -> Path:
    return path / name


def default_log_folder() -> Path:
    """Return where logs go when nobody says: a checkout's own logs/, else the platform's place."""
    root = Path(__file__).resolve().parents[3]  # beside the package
    if (root / "pyproject.toml").is_file() and (root / "logs" / "README.md").is_file():
        return root / "logs"
    import platformdirs

    return platformdirs.user_data_path("standclear") / "logs"


@dataclass(frozen=True, slots=True)
class LogFolder:
    """One laptop's log folder, looked over and ready for use."""

    path: Path
    disk: Disk
    clock: Clock
    origin: str
    """128 random bits in hex that name this folder for ever; every ledger entry carries them."""

    is_for_reading: bool = False
    """Whether it was opened to be looked at only."""

    chance: Chance = REAL_CHANCE
    """Where names and keys come from."""

    @classmethod
    def open(cls, path: Path, disk: Disk, clock: Clock, chance: Chance = REAL_CHANCE) -> LogFolder:
        """Return the folder for reading and writing, laid out on first use.

        Raises FolderRefused when it, or a part of it, is a symbolic link, can be written
        by other users, or cannot be written at all.
        """
        try:
            lay_out(path, disk, chance)
            origin = read_origin(path, disk)
            # What an earlier run could not flush may be seen but not be on disk yet.
            disk.sync_folder(path / "ledger")
        except OSError as problem:
            raise FolderRefused(
                f"the log folder cannot be made or written: {said(problem)}",
                where=str(path),
                right="Name a folder that you own, on a disk that is not read-only.",
            ) from problem
        return cls(path, disk, clock, origin, chance=chance)

    @classmethod
    def look(cls, path: Path, disk: Disk, clock: Clock) -> LogFolder:
        """Return an existing folder for reading only, such as a copy from another laptop.

        Nothing is created or changed. Raises FolderRefused where it is no log folder.
        """
        facts = disk.facts(path)
        if facts is None or facts.kind is not Kind.FOLDER:
            found = "nothing is there" if facts is None else f"this is a {facts.kind.value}"
            raise FolderRefused(found, where=str(path), right="Name the log folder itself.")
        for part in ("sessions", "ledger"):
            inner = disk.facts(path / part)
            if inner is None or inner.kind is not Kind.FOLDER:
                raise FolderRefused(
                    f"it holds no folder named {part}",
                    where=str(path),
                    right="Name a folder in which standclear kept its logs.",
                )
        try:
            return cls(path, disk, clock, read_origin(path, disk), is_for_reading=True)
        except OSError as problem:
            raise FolderRefused(
                f"its origin cannot be read: {said(problem)}",
                where=str(path),
                right="Name a folder in which standclear kept its logs.",
            ) from problem

    @property
    def sessions(self) -> Path:
        """Where session files stand."""
        return _part(self.path, "sessions")

    @property
    def ledger(self) -> Path:
        """Where ledger entries stand."""
        return _part(self.path, "ledger")

    @property
    def keys(self) -> Path:
        """Where private keys stand, each with its card."""
        return _part(self.path, "keys")

    @property
    def rules(self) -> Path:
        """Where the bytes of every rule file and table in use stand, named by SHA-256."""
        return _part(self.path, "rules")

    @property
    def quarantine(self) -> Path:
        """Where torn tails stand; the program never deletes them."""
        return _part(self.path, "quarantine")

    @property
    def roster(self) -> Path:
        """Where a safety officer's signed list of people will stand."""
        return _part(self.path, "roster")

    @property
    def catalogue(self) -> Path:
        """The rebuildable index of sessions."""
        return _part(self.path, "catalogue.json")

    @property
    def registers(self) -> Path:
        """The people, instruments, kit and isolation points known here."""
        return _part(self.path, "registers.json")

    def session_file(self, session_id: str) -> Path:
        """Return the path of a session's file; FolderRefused for a name not made here."""
        if not is_session_id(session_id):
            raise FolderRefused(
                f"{session_id!r} is not the name of a session",
                right="A session's name is 32 characters of 0-9 and a-f.",
            )
        return self.sessions / f"{session_id}.jsonl"

    def kept_file(self, part: Path, sha256: str) -> Path:
        """Return the path of a file kept by its hash; FolderRefused for anything else."""
        if not _SHA256.fullmatch(sha256):
            raise FolderRefused(
                f"{sha256!r} is not a SHA-256",
                right="It is 64 characters of 0-9 and a-f.",
            )
        return part / sha256

    def hold(self, name: str, *, wait: float = 0.0) -> Held:
        """Hold the lock `name` until it is released.

        Raises HeldElsewhere when another program has it for longer than `wait` seconds.
        """
        try:
            return self.disk.lock(self.path / "locks" / f"{name}.lock", wait=wait)
        except OSError as problem:
            raise FolderRefused(
                f"its locks cannot be used: {said(problem)}",
                where=str(self.path),
                right="Check that the disk is there and not read-only.",
            ) from problem

    @contextmanager
    def lock(self, name: str, *, wait: float = _LONGEST_WAIT) -> Iterator[None]:
        """Hold the lock `name` inside a with block."""
        held = self.hold(name, wait=wait)
        try:
            yield
        finally:
            held.release()

    def check_file(self, path: Path) -> None:
        """Refuse a file that is a link, is no file, or that other users can write."""
        facts = self.disk.facts(path)
        if facts is not None:
            require_trusted(path, facts, Kind.FILE)


def new_session_id(chance: Chance = REAL_CHANCE) -> str:
    """Return a new name for a session: 128 random bits in hex."""
    return chance(16).hex()


def is_session_id(text: str) -> bool:
    """Say whether a text has the form of a session's name."""
    return _IDENTITY.fullmatch(text) is not None

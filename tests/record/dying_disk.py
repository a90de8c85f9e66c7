"""A real disk under a program that dies, or meets an error, at its N-th operation."""

from __future__ import annotations

from typing import TYPE_CHECKING

from checklist.record.files.disk import RealDisk

if TYPE_CHECKING:
    from pathlib import Path


class Died(BaseException):
    """The program is gone; no `except` of its own may see this."""


class DyingDisk(RealDisk):
    """Counts the operations that change the disk and fails at one of them.

    With an `error`, that one operation raises it and the next ones work again. Without,
    the program is dead from there on: every later operation fails as well, and a write
    that was hit leaves half of its bytes.
    """

    def __init__(self, *, at: int | None = None, error: OSError | None = None) -> None:
        self.at = at
        self.error = error
        self.done: list[str] = []

    def write(self, handle: int, data: bytes) -> int:
        if len(self.done) + 1 == self.at and self.error is None:
            super().write(handle, data[: len(data) // 2])
        self._count("write")
        return super().write(handle, data)

    def create_new(self, path: Path) -> int:
        self._count("create_new")
        return super().create_new(path)

    def sync(self, handle: int) -> None:
        self._count("sync")
        super().sync(handle)

    def close(self, handle: int) -> None:
        super().close(handle)  # the system closes a dead program's files
        self._count("close")

    def sync_folder(self, folder: Path) -> None:
        self._count("sync_folder")
        super().sync_folder(folder)

    def link(self, existing: Path, new: Path) -> None:
        self._count("link")
        super().link(existing, new)

    def replace(self, existing: Path, new: Path) -> None:
        self._count("replace")
        super().replace(existing, new)

    def unlink(self, path: Path) -> None:
        self._count("unlink")
        super().unlink(path)

    def _count(self, operation: str) -> None:
        self.done.append(operation)
        if self.at is None or len(self.done) < self.at:
            return
        if self.error is None:
            raise Died(operation)
        if len(self.done) == self.at:
            raise self.error

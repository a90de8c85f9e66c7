"""What was made of a folder's files in this run of the program, while the files stand as they did.

Reading ten thousand small files anew takes seconds; asking whether they changed takes a blink.
Nothing is kept on disk, and whatever must be certain (verify, audit) reads everything itself.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Generic, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator
    from pathlib import Path

    from checklist.record.files.disk import Disk, Mark

_T = TypeVar("_T")


class Recall(Generic[_T]):
    """Keeps what was made of each file of one folder, as long as its mark on disk is the same."""

    def __init__(self) -> None:
        self._made: dict[str, tuple[Mark, _T]] = {}

    def forget(self, names: Iterable[str]) -> None:
        """Keep nothing of these files: a line written over room may leave a mark as it was."""
        for name in names:
            self._made.pop(name, None)

    def each(
        self, disk: Disk, folder: Path, names: Iterable[str], make: Callable[[str], _T]
    ) -> Iterator[tuple[str, _T | Exception]]:
        """Yield for each file name what `make` gives, made anew only where the file changed.

        What `make` raises is yielded in its place, and is tried again the next time.
        """
        try:
            marks = disk.marks(folder)
        except OSError:
            marks = {}
        for name in names:
            mark = marks.get(name)
            known = self._made.get(name)
            if known is not None and known[0] == mark:
                yield name, known[1]
                continue
            try:
                made = make(name)
            except Exception as problem:  # noqa: BLE001 - it is the caller's to judge
                self._made.pop(name, None)
                yield name, problem
                continue
            if mark is not None:
                self._made[name] = (mark, made)
            yield name, made
        for gone in self._made.keys() - marks.keys():
            del self._made[gone]


def read_each(
    recall: Recall[_T] | None,
    disk: Disk,
    folder: Path,
    names: Iterable[str],
    make: Callable[[str], _T],
) -> Iterator[tuple[str, _T | Exception]]:
    """Do what Recall.each does, or without a recall make everything anew and keep nothing."""
    if recall is not None:
        yield from recall.each(disk, folder, names, make)
        return
    for name in names:
        try:
            yield name, make(name)
        except Exception as problem:  # noqa: BLE001 - it is the caller's to judge
            yield name, problem

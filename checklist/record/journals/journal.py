"""The writer of one session's file: an event is on disk when `append` returns."""

from __future__ import annotations

import threading
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from checklist.record.errors import Damaged, NotSaved, RecordError
from checklist.record.files.whole import create_whole, write_once, write_whole
from checklist.record.journals.lines import (
    ABANDONED,
    CLOSED,
    LARGEST_FILE,
    ROOM,
    Line,
    Scan,
    compose,
    first_previous,
    hash_of,
    read_lines,
    read_scan,
)

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from pathlib import Path

    from checklist.record.files.disk import Held
    from checklist.record.files.folder import LogFolder

__all__ = ["FileMark", "Journal", "Line", "TornTail", "read_lines"]


@dataclass(frozen=True, slots=True)
class TornTail:
    """What was set aside when a session file ended in bytes that were no line."""

    size: int
    """Bytes set aside."""

    kept_at: Path
    """The file in quarantine/ that holds them."""

    why: str
    """What was wrong with them."""


@dataclass(frozen=True, slots=True)
class FileMark:
    """What identifies a file's content."""

    sha256: str
    size: int
    """Bytes."""


class Journal:
    """One session's file, held by this program alone until `close`.

    After any failure to write, nothing more is taken: `append` raises NotSaved until the
    session is opened anew with `resume`, which finds out what is really on disk.
    """

    def __init__(
        self, folder: LogFolder, session_id: str, held: Held, lines: list[Line], data: bytes
    ) -> None:
        self.session_id = session_id
        self.path = folder.session_file(session_id)
        self._folder = folder
        self._held = held
        self._lines = lines
        self._size = len(data)
        self._room = 0  # bytes of NUL on disk behind the lines
        self._last_hash = hash_of(data[data.rfind(b"\n", 0, len(data) - 1) + 1 :])
        self._turn = threading.Lock()  # a screen's worker threads may overlap
        self._poison = ""
        # Nothing but the lock keeps others from writing: a place is named, not the file's end.
        self._handle: int | None = folder.disk.open_existing(self.path)

    @classmethod
    def begin(
        cls, folder: LogFolder, session_id: str, what: str, data: Mapping[str, object]
    ) -> Journal:
        """Create a session's file with its first line; both are on disk when it returns.

        Raises NotSaved when the disk refuses, HeldElsewhere when another program is
        making the same session.
        """
        path = folder.session_file(session_id)
        with _holding(folder, session_id) as held:
            line = _stamped(folder, 1, first_previous(session_id), what, data)
            written = compose(line)
            create_whole(folder.disk, path, written)
            return cls(folder, session_id, held, [line], written)

    @classmethod
    def resume(cls, folder: LogFolder, session_id: str) -> tuple[Journal, TornTail | None]:
        """Open a session's file to go on with it, and set a torn tail aside.

        The good lines are always written anew: after a failed flush the system may show
        bytes that the disk does not hold. Raises Damaged when lines are missing or changed
        before the end, HeldElsewhere when another program has the session open.
        """
        path = folder.session_file(session_id)
        with _holding(folder, session_id) as held:
            folder.check_file(path)
            found = read_scan(folder.disk, path)
            _require_lines(found, path)
            data = b"".join(map(compose, found.lines))
            torn = _set_aside(folder, session_id, found.torn.rstrip(b"\0"), found.problem)
            write_whole(folder.disk, path, data)
            return cls(folder, session_id, held, list(found.lines), data), torn

    @property
    def lines(self) -> tuple[Line, ...]:
        """Every line that is on disk."""
        return tuple(self._lines)

    @property
    def is_closed(self) -> bool:
        """Whether the last line ends the session, so that none may follow."""
        return self._lines[-1].what in {CLOSED, ABANDONED}

    def append(self, what: str, data: Mapping[str, object]) -> Line:
        """Write one event and return it when it is on disk.

        Raises NotSaved when that is not certain, and from then on; RecordError when the
        event cannot be kept at all (nothing is written then).
        """
        with self._turn:
            handle = self._usable()
            line = _stamped(self._folder, len(self._lines) + 1, self._last_hash, what, data)
            written = compose(line)
            if self._size + len(written) > LARGEST_FILE:
                raise NotSaved(
                    f"the session file would grow beyond {LARGEST_FILE} bytes",
                    where=str(self.path),
                    right="Close this session and begin another.",
                )
            try:
                room = self._put(handle, written, is_last=what in {CLOSED, ABANDONED})
                self._folder.disk.sync(handle)
            except OSError as problem:
                refused = _not_saved(self.path, problem)
                self._poison = refused.what
                raise refused from problem
            self._lines.append(line)
            self._size, self._room = self._size + len(written), room
            self._last_hash = hash_of(written)
            return line

    def _put(self, handle: int, written: bytes, *, is_last: bool) -> int:
        """Write a line over the room behind the others; return how much room is then left.

        Where there is too little, more comes with the line. None is left behind the last line:
        what is sealed is the lines alone.
        """
        disk, end = self._folder.disk, self._size + len(written)
        room = self._room - len(written)
        if room < 0 and not is_last:
            room = min(ROOM, LARGEST_FILE - end)
            written += bytes(room)
        disk.seek(handle, self._size)
        write_once(disk, handle, written)
        if is_last and room > 0:
            disk.cut(handle, end)
        return 0 if is_last else room

    def digest(self) -> FileMark:
        """Return the SHA-256 and the size of the file as far as it is on disk."""
        return FileMark(hash_of(b"".join(map(compose, self._lines))), self._size)

    def close(self) -> None:
        """Let the file go, so that another program may open it; harmless when repeated."""
        with self._turn:
            handle, self._handle = self._handle, None
            if handle is not None:
                try:
                    if self._room and not self._poison:
                        with suppress(OSError):  # room that stays behind does no harm
                            self._folder.disk.cut(handle, self._size)
                    self._folder.disk.close(handle)
                finally:
                    self._held.release()

    def _usable(self) -> int:
        if self._poison:
            raise NotSaved(
                self._poison, where=str(self.path), right="Make room, then open the session again."
            )
        if self._handle is None:
            raise NotSaved("this session has been let go", right="Open the session again.")
        if self.is_closed:
            raise RecordError(
                "this session is closed and takes no more entries", right="Begin a new session."
            )
        return self._handle


@contextmanager
def _holding(folder: LogFolder, session_id: str) -> Iterator[Held]:
    """Hold the session's lock, and let it go only if opening the journal fails."""
    held = folder.hold(session_id)
    try:
        yield held
    except OSError as problem:
        held.release()
        raise _not_saved(folder.session_file(session_id), problem) from problem
    except BaseException:
        held.release()
        raise


def _require_lines(found: Scan, path: Path) -> None:
    if not found.lines:
        raise Damaged(
            "the session file has no whole line",
            where=str(path),
            right="Restore it from a copy of the log folder.",
        )


def _stamped(
    folder: LogFolder, number: int, previous: str, what: str, data: Mapping[str, object]
) -> Line:
    now = folder.clock.now()
    # What is returned must be what a reader will find, so the time is cut as it is written.
    now = now.replace(microsecond=now.microsecond // 1000 * 1000)
    kept: dict[str, Any] = dict(data)  # compose refuses what is no JSON
    return Line(number, previous, now, folder.clock.boot(), what, kept)


def _set_aside(folder: LogFolder, session_id: str, torn: bytes, why: str) -> TornTail | None:
    if not torn:
        return None
    path = folder.quarantine / f"{session_id}-{hash_of(torn)[:16]}.torn"
    if folder.disk.facts(path) is None:
        create_whole(folder.disk, path, torn)
    return TornTail(len(torn), path, why)


def _not_saved(path: Path, problem: OSError) -> NotSaved:
    reason = (problem.strerror or str(problem)).lower()
    return NotSaved(
        f"NOT SAVED, the disk refused: {reason}",
        where=str(path),
        right="Make room or mend the disk; what was shown as saved before is still there.",
    )

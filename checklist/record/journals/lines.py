"""The lines of a session file: how one is written, read, and chained to the one before."""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from checklist.record.errors import Damaged, LaterForm, RecordError
from checklist.record.files.clock import BootTime, read_stamp, stamp
from checklist.record.files.forms import refuse_later
from checklist.record.files.strictjson import encoded, parse, spell

if TYPE_CHECKING:
    from datetime import datetime
    from pathlib import Path

    from checklist.record.files.disk import Disk
    from checklist.record.files.strictjson import Json

LONGEST_LINE = 256 * 1024
"""Bytes in one line, the newline included."""

LARGEST_FILE = 64 * 1024 * 1024
"""Bytes in one session file."""

ROOM = 16 * 1024
"""Bytes of NUL that a running session keeps behind its lines, so that they can be written over.

A file that grows has its new size written as well, which takes longer than the line itself.
"""

FORMAT = "standclear session 1"
"""The format of a session file and its version, named in its first line."""

CLOSED = "closed"
"""The last line of a session that was ended by a verdict."""

ABANDONED = "abandoned"
"""The last line of a session that was given up."""

_KEYS = ["n", "previous", "at", "boot", "boot_ns", "what", "data"]
_HASH = re.compile(r"[0-9a-f]{64}")
_DIGITS = re.compile(r"0|[1-9][0-9]{0,19}")
_WHAT = re.compile(r"[a-z][a-z0-9 _-]{0,39}")
_BOOT = re.compile(r"[0-9a-z-]{1,64}")


@dataclass(frozen=True, slots=True)
class Line:
    """One event of a session, as it stands in the session's file."""

    number: int
    """1 for the first line."""

    previous: str
    """SHA-256 of the line before, newline included; of the session's name for the first."""

    at: datetime
    """Wall time, to the millisecond, with its offset."""

    boot: BootTime
    """The clock that nobody sets."""

    what: str
    """What happened, in the program's own words, such as "answered"."""

    data: dict[str, Json]
    """What belongs to it."""


@dataclass(frozen=True, slots=True)
class Scan:
    """What was found in the bytes of a session file."""

    lines: tuple[Line, ...]
    """The good lines from the start."""

    good: int
    """How many bytes those lines take."""

    torn: bytes
    """The bytes after them that are no line, room left out; empty for a whole file."""

    problem: str
    """Why the torn bytes are no line; empty for a whole file."""


def compose(line: Line) -> bytes:
    """Return the line's bytes, newline included; RecordError where it cannot be kept."""
    if not _WHAT.fullmatch(line.what):
        raise RecordError(f"{line.what!r} is no name of an event")
    # All parts but the last are of forms that JSON spells as they are; this is written while
    # a person waits, and is twice as fast as by way of an object.
    data = encoded(
        f'{{"n":{line.number},"previous":"{line.previous}","at":"{stamp(line.at)}",'
        f'"boot":"{line.boot.boot_id}","boot_ns":"{line.boot.ns}","what":"{line.what}",'
        f'"data":{spell(line.data)}}}\n'
    )
    if len(data) > LONGEST_LINE:
        raise RecordError(
            f"one entry would take {len(data)} bytes",
            right=f"At most {LONGEST_LINE} fit; attach a file for more.",
        )
    return data


def parse_line(data: bytes) -> Line:
    """Return the line that `data`, newline included, spells; Damaged for anything else."""
    if not data.endswith(b"\n") or len(data) > LONGEST_LINE:
        raise Damaged("the line is cut off or too long")
    return line_of(parse(data[:-1]))


def line_of(found: dict[str, Json]) -> Line:
    """Return the line that an object holds; Damaged where a part is missing or not in form."""
    if list(found) != _KEYS:
        raise Damaged("the line does not name its seven parts in order")
    return Line(
        number=_whole(found["n"]),
        previous=_matching(found["previous"], _HASH),
        at=_time(found["at"]),
        boot=BootTime(
            _matching(found["boot"], _BOOT),
            int(_matching(found["boot_ns"], _DIGITS)),
        ),
        what=_matching(found["what"], _WHAT),
        data=_object(found["data"]),
    )


def first_previous(session_id: str) -> str:
    """Return what the first line of a session names as the line before: its name's hash."""
    return hash_of(f"standclear session {session_id}\n".encode())


def hash_of(data: bytes) -> str:
    """Return the SHA-256 of `data` in hex (FIPS 180-4)."""
    return hashlib.sha256(data).hexdigest()


def scan(data: bytes, session_id: str) -> Scan:
    """Return the good lines of a session file, and the torn tail if it has one.

    Room at the end of a session that goes on is no flaw; behind a last line it is torn.
    Damaged when a bad piece is followed by a line that is whole: that is no torn write.
    LaterForm when the first line names a later version of the format.
    """
    written = data.rstrip(b"\0")
    pieces = written.split(b"\n")
    whole = [piece + b"\n" for piece in pieces[:-1]]
    if pieces[-1]:
        whole.append(pieces[-1])
    lines: list[Line] = []
    previous, good = first_previous(session_id), 0
    for index, piece in enumerate(whole):
        try:
            line = _next_line(piece, len(lines) + 1, previous)
        except RecordError as problem:
            if any(_is_line(later) for later in whole[index + 1 :]) or _is_line(piece):
                raise Damaged(f"line {index + 1}: {problem.what}") from problem
            return Scan(tuple(lines), good, written[good:], problem.what)
        if not lines:
            refuse_later(line.data.get("format"), FORMAT, line.data.get("program"))
        lines.append(line)
        previous, good = hash_of(piece), good + len(piece)
    if data != written and (not lines or lines[-1].what in {CLOSED, ABANDONED}):
        return Scan(tuple(lines), good, data[good:], "blank bytes stand behind the last line")
    return Scan(tuple(lines), good, b"", "")


def read_scan(disk: Disk, path: Path) -> Scan:
    """Read and scan a session file; Damaged, naming the file, when it cannot be relied on."""
    try:
        return scan(disk.read(path, at_most=LARGEST_FILE), path.stem)
    except LaterForm:
        raise
    except Damaged as problem:
        raise Damaged(
            problem.what,
            where=str(path),
            right="Keep the file as it is and restore it from a copy of the log folder.",
        ) from problem
    except OSError as problem:
        raise Damaged(
            f"the session file cannot be read: {problem.strerror}",
            where=str(path),
            right="Restore it from a copy of the log folder.",
        ) from problem


def read_lines(disk: Disk, path: Path) -> tuple[Line, ...]:
    """Return every line of a session file without changing it; Damaged for any flaw at all."""
    found = read_scan(disk, path)
    if found.torn or not found.lines:
        raise Damaged(
            f"after line {len(found.lines)} it holds {len(found.torn)} bytes that are no line",
            where=str(path),
            right="Open the session for going on; that sets the torn bytes aside.",
        )
    return found.lines


def _next_line(piece: bytes, number: int, previous: str) -> Line:
    line = parse_line(piece)
    if line.number != number:
        raise Damaged(f"it says that it is line {line.number}")
    if line.previous != previous:
        raise Damaged("it does not follow the line before it: the hash differs")
    return line


def _is_line(piece: bytes) -> bool:
    try:
        parse_line(piece)
    except RecordError:
        return False
    return True


def _whole(value: Json) -> int:
    if not isinstance(value, int) or isinstance(value, bool) or value < 1:
        raise Damaged(f"{value!r} is no line number")
    return value


def _matching(value: Json, pattern: re.Pattern[str]) -> str:
    if not isinstance(value, str) or not pattern.fullmatch(value):
        raise Damaged(f"{str(value)[:60]!r} has not the form that is due there")
    return value


def _time(value: Json) -> datetime:
    try:
        return read_stamp(value if isinstance(value, str) else "")
    except ValueError as problem:
        raise Damaged(str(problem)) from problem


def _object(value: Json) -> dict[str, Json]:
    if not isinstance(value, dict):
        raise Damaged("its data is no object")
    return value

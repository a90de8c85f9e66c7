"""A session file as far as it can be read, with a sentence for what cannot."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from checklist.errors import StandclearError
from checklist.record.errors import LaterForm, RecordError
from checklist.record.files.folder import LogFolder
from checklist.record.journals.begin import rule_of
from checklist.record.journals.lines import LARGEST_FILE, Line, hash_of, parse_line, scan
from checklist.record.journals.states import SessionState


@dataclass(frozen=True, slots=True)
class SessionFile:
    """The lines of one session that can be read."""

    lines: tuple[Line, ...] = ()
    problem: str = ""
    """What is wrong with the file, in one sentence; empty for a whole one."""

    sha256: str = ""
    size: int = 0
    """Bytes."""

    @property
    def first(self) -> Line | None:
        """The line that began the session, if it can be read."""
        return self.lines[0] if self.lines and self.lines[0].number == 1 else None

    @property
    def head(self) -> Mapping[str, Any]:
        """The data of the first line; empty where it cannot be read."""
        return self.first.data if self.first else {}


def read_bytes(folder: LogFolder, session_id: str) -> tuple[bytes, str]:
    """Return the file's bytes, and in one sentence why they cannot be read, or an empty text."""
    try:
        return folder.disk.read(folder.session_file(session_id), at_most=LARGEST_FILE), ""
    except FileNotFoundError:
        return b"", "The session file is missing."
    except OSError as problem:
        return b"", f"The session file cannot be read: {problem.strerror or problem}."
    except StandclearError as problem:
        return b"", problem.sentence()


def read_session_file(folder: LogFolder, session_id: str) -> SessionFile:
    """Return every line of a session that can be read; never raises for what it finds."""
    data, problem = read_bytes(folder, session_id)
    return SessionFile((), problem) if problem else understood(data, session_id)


def understood(data: bytes, session_id: str) -> SessionFile:
    """Return the lines that `data`, the bytes of a session file, holds. Pure."""
    sha256, size = hash_of(data), len(data)
    try:
        found = scan(data, session_id)
    except LaterForm as problem:
        return SessionFile((), f"The session file: {problem.what}.", sha256, size)
    except RecordError as problem:
        # A changed line breaks the chain; what stands there is shown, and said to be changed.
        says = f"The session file was changed after it was written: {problem.what}."
        return SessionFile(_single_lines(data), says, sha256, size)
    says = ""
    if found.torn:
        says = (
            f"After line {len(found.lines)} the file holds {len(found.torn)} bytes that are no "
            "whole line; they are not shown."
        )
    elif not found.lines:
        says = "The session file is empty."
    return SessionFile(found.lines, says, sha256, size)


CHANGED = "The session file is not the one that the ledger names: it was changed since."


def is_as_ended(data: bytes, state: SessionState) -> bool:
    """Say whether the bytes of a session file are those that its ending in the ledger names."""
    mark = state.ending.entry.file if state.ending else None
    return mark is not None and (mark.sha256, mark.size) == (hash_of(data), len(data))


def title_of(file: SessionFile, state: SessionState) -> str:
    """Return what was walked, from the file or, where that is damaged, from the ledger."""
    title = file.head.get("title")
    return title if isinstance(title, str) and title else rule_name(file, state)


def rule_name(file: SessionFile, state: SessionState) -> str:
    """Return the rule file's name; the ledger is believed before the session file."""
    for recorded in (state.ending, state.begun):
        if recorded is not None and recorded.entry.rule is not None:
            return recorded.entry.rule.name
    try:
        return rule_of(file.first).name if file.first else "unknown rule file"
    except RecordError:
        return "unknown rule file"


def _single_lines(data: bytes) -> tuple[Line, ...]:
    found = []
    for piece in data.splitlines(keepends=True):
        try:
            found.append(parse_line(piece))
        except RecordError:
            continue
    return tuple(found)

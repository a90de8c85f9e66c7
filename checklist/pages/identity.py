"""What a page belongs to, and the code by which a loose sheet is held against its record."""

from __future__ import annotations

from checklist.pages.page import Identity
from checklist.record.files.folder import LogFolder
from checklist.record.journals.lines import hash_of
from checklist.record.journals.states import state_of
from checklist.record.ledgers.ledger import Ledger, Recorded
from checklist.record.roll.spoken import head_code


def of_bytes(says: str, data: bytes) -> Identity:
    """Return the identity of a page made from a file that is on no record."""
    sha256 = hash_of(data)
    return Identity(says, sha256, head_code(sha256))


def of_text(says: str, text: str) -> Identity:
    """Return the identity of a page that has nothing behind it but its own text."""
    return of_bytes(says, text.encode())


def of_session(folder: LogFolder, session_id: str) -> Identity:
    """Return the identity of a session: the newest entry that ended, signed or corrected it.

    A session without an ending is a draft and says so. Raises StandclearError where its
    entries cannot be read.
    """
    state = state_of(Ledger(folder).of_session(session_id))
    whose = f"Session {session_id}, ledger {folder.origin}"
    if state.ending is None:
        if state.begun is None:
            return Identity(f"{whose}: DRAFT, not in the ledger", "")
        return _entry(f"{whose}: DRAFT, begun in", state.begun)
    newest = max((state.ending, *state.late, *_corrected(state.corrected)), key=_number)
    return _entry(f"{whose},", newest)


def _entry(says: str, recorded: Recorded) -> Identity:
    said = f"{says} entry {recorded.entry.number}"
    return Identity(said, recorded.sha256, head_code(recorded.sha256))


def _corrected(recorded: Recorded | None) -> tuple[Recorded, ...]:
    return (recorded,) if recorded else ()


def _number(recorded: Recorded) -> int:
    return recorded.entry.number

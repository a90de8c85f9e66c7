"""What the ledger says about each session: running, sealed, a signature missing, abandoned."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from typing import TYPE_CHECKING

from checklist.record.files.folder import is_session_id
from checklist.record.ledgers.entries import NO_KEY
from checklist.record.ledgers.ledger import Ledger

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from checklist.record.files.folder import LogFolder
    from checklist.record.ledgers.entries import Signer
    from checklist.record.ledgers.ledger import Recorded

ENDINGS = {"sealed", "closed", "abandoned"}
"""The kinds of entry of which a session meets exactly one."""


CORRECTED_NOW = "CORRECTED, now "
"""What stands before the result of a session in which an answer was corrected."""


class State(Enum):
    """Where a session stands."""

    RUNNING = "running"
    SEALED = "sealed"
    SIGNATURE_MISSING = "signature missing"
    ABANDONED = "abandoned"


@dataclass(frozen=True, slots=True)
class SessionState:
    """What the ledger says about one session; signatures are not verified by this."""

    state: State
    missing: tuple[Signer, ...] = ()
    """Who has yet to sign."""

    begun: Recorded | None = None
    """None where a crash, or someone, left a session file without this entry."""

    ending: Recorded | None = None
    late: tuple[Recorded, ...] = field(default=())
    """The entries by which people signed later, oldest first."""

    corrected: Recorded | None = None
    """The newest correction, if an answer was corrected after the end."""

    @property
    def verdict(self) -> str:
        """What the session came to, a correction before the verdict that it was sealed with."""
        if self.corrected is not None:
            return f"{CORRECTED_NOW}{self.corrected.entry.field('after') or 'not known'}"
        return (self.ending.entry.verdict if self.ending else None) or ""


def session_states(folder: LogFolder) -> dict[str, SessionState]:
    """Return the state of every session of the folder, by its name.

    A session file that no entry names is running: the program stopped before it could be
    entered, and going on with it enters it. Raises Damaged when the ledger is not sound, and
    NotSaved when an entry that can be seen cannot be brought to the disk: nothing is called
    sealed that a power cut could take back.
    """
    ledger = Ledger(folder)
    if not folder.is_for_reading:
        ledger.sync()
    states = states_of(ledger.entries())
    for name in folder.disk.names(folder.sessions):
        session_id = name.removesuffix(".jsonl")
        if name.endswith(".jsonl") and is_session_id(session_id):
            states.setdefault(session_id, SessionState(State.RUNNING))
    return states


def states_of(entries: Iterable[Recorded]) -> dict[str, SessionState]:
    """Return the state of every session that these entries name."""
    grouped: dict[str, list[Recorded]] = {}
    for recorded in entries:
        if recorded.entry.session is not None:
            grouped.setdefault(recorded.entry.session, []).append(recorded)
    return {session_id: state_of(group) for session_id, group in grouped.items()}


def state_of(group: Sequence[Recorded]) -> SessionState:
    """Return the state of the one session that all these entries name."""
    begun = ending = None
    for recorded in group:
        kind = recorded.entry.kind
        if kind == "begun":
            begun = begun or recorded
        elif kind in ENDINGS:
            ending = ending or recorded
    if ending is None:
        return SessionState(State.RUNNING, begun=begun)
    if ending.entry.kind == "abandoned":
        return SessionState(State.ABANDONED, begun=begun, ending=ending)
    if ending.entry.kind == "sealed" and len(group) <= 2:  # by far the most, and read in bulk
        return SessionState(State.SEALED, begun=begun, ending=ending)
    late = tuple(r for r in group if _is_late_for(r, ending))
    missing = still_missing(ending, late)
    state = State.SIGNATURE_MISSING if missing else State.SEALED
    corrected = [
        r for r in group if r.entry.kind == "corrected" and r.entry.target == ending.sha256
    ]
    return SessionState(state, missing, begun, ending, late, corrected[-1] if corrected else None)


def still_missing(ending: Recorded, late: Iterable[Recorded]) -> tuple[Signer, ...]:
    """Return who has signed neither the ending nor later."""
    given = [signer for recorded in late for signer in recorded.entry.signers]
    return tuple(
        due for due in ending.entry.missing() if not any(fulfils(signer, due) for signer in given)
    )


def fulfils(signer: Signer, due: Signer) -> bool:
    """Say whether a later signer is the person, in the role, and with the key, that was due."""
    return (signer.person, signer.role) == (due.person, due.role) and due.key in {
        NO_KEY,
        signer.key,
    }


def _is_late_for(recorded: Recorded, ending: Recorded) -> bool:
    entry = recorded.entry
    return (
        entry.kind == "signed late"
        and entry.target == ending.sha256
        and entry.file == ending.entry.file
    )

"""Whether the signatures of one session hold, and which are missing."""

from __future__ import annotations

from checklist.record import notes
from checklist.record.entries import Signer
from checklist.record.errors import RecordError
from checklist.record.keys import require_sound
from checklist.record.ledger import Recorded
from checklist.record.states import SessionState, fulfils
from checklist.sessions.sessionrecord import SignatureRecord, Signed


def signatures_of(state: SessionState) -> tuple[SignatureRecord, ...]:
    """Return every signature that the session needs, each verified over its entry's text."""
    if state.ending is None:
        return ()
    found = []
    for signer in state.ending.entry.signers:
        if signer.is_here:
            found.append(_given(signer, state.ending, is_late=False))
        else:
            found.append(_later(signer, state))
    return tuple(found)


def holds(recorded: Recorded, public: str) -> bool:
    """Say whether the entry carries a signature by this key that verifies over its text."""
    try:
        note = notes.parse(recorded.data)
        raw = require_sound(public)
    except RecordError:
        return False
    return any(
        signature.name == public and notes.is_signed(note, signature, raw)
        for signature in note.signatures
    )


def _given(signer: Signer, recorded: Recorded, *, is_late: bool) -> SignatureRecord:
    outcome = Signed.HOLDS if holds(recorded, signer.key) else Signed.FAILS
    at = recorded.entry.at
    return SignatureRecord(signer.person, signer.role, signer.key, outcome, at, is_late)


def _later(due: Signer, state: SessionState) -> SignatureRecord:
    for recorded in state.late:
        for signer in recorded.entry.signers:
            if fulfils(signer, due):
                return _given(signer, recorded, is_late=True)
    return SignatureRecord(due.person, due.role, due.key, Signed.MISSING)

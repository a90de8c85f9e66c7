"""Whether the signatures of one session hold, whose they are, and which are missing."""

from __future__ import annotations

from checklist.record.errors import RecordError
from checklist.record.journals.states import SessionState, fulfils
from checklist.record.ledgers import notes
from checklist.record.ledgers.entries import Signer
from checklist.record.ledgers.ledger import Recorded
from checklist.record.roll.keyholders import Identity
from checklist.record.roll.keys import require_sound
from checklist.record.verifying.report import Outcome
from checklist.sessions.past.sessionrecord import SignatureRecord, Signed
from checklist.sessions.roll.covering import Covering


def signatures_of(state: SessionState, covers: Covering | str) -> tuple[SignatureRecord, ...]:
    """Return every signature that the session needs, each verified over its entry's text.

    `covers` says whose the keys are, or is a sentence why that cannot be told.
    """
    if state.ending is None:
        return ()
    found = []
    for signer in state.ending.entry.signers:
        if signer.is_here:
            found.append(_given(signer, state.ending, covers, is_late=False))
        else:
            found.append(_later(signer, state, covers))
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


def _given(
    signer: Signer, recorded: Recorded, covers: Covering | str, *, is_late: bool
) -> SignatureRecord:
    at = recorded.entry.at
    if not holds(recorded, signer.key):  # then whose the key is says nothing
        return SignatureRecord(signer.person, signer.role, signer.key, Signed.FAILS, at, is_late)
    whose = (
        Identity(Outcome.CANNOT_TELL, covers)
        if isinstance(covers, str)
        else covers.whose(recorded, signer)
    )
    return SignatureRecord(
        signer.person,
        signer.role,
        signer.key,
        Signed.HOLDS,
        at,
        is_late,
        whose.outcome,
        whose.sentence,
    )


def _later(due: Signer, state: SessionState, covers: Covering | str) -> SignatureRecord:
    for recorded in state.late:
        for signer in recorded.entry.signers:
            if fulfils(signer, due):
                return _given(signer, recorded, covers, is_late=True)
    return SignatureRecord(due.person, due.role, due.key, Signed.MISSING)

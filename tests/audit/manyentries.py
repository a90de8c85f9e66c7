"""A log folder of many sessions, each signed by two people, made without the waiting."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from checklist.record.files.folder import LogFolder
from checklist.record.journals.journal import FileMark
from checklist.record.journals.lines import hash_of
from checklist.record.ledgers import notes
from checklist.record.ledgers.entries import FIRST_PREVIOUS, Draft, RuleMark, Signer, placed
from checklist.record.ledgers.entrytext import to_text
from checklist.record.ledgers.ledger import note_path
from checklist.record.roll.keys import UnlockedKey

RULE = RuleMark("before-tower-work", "2026-11-25", "ab" * 32)


def fill_ledger(folder: LogFolder, sessions: int) -> None:
    """Write the entries of so many sealed sessions: two for each, the second signed twice."""
    keys = [_key("Tamsin Reed"), _key("Orrin Vale")]
    signers = tuple(
        Signer(key.person, role, key.public, is_here=True)
        for key, role in zip(keys, ("in charge", "worker"), strict=True)
    )
    previous, at = FIRST_PREVIOUS, datetime(2026, 1, 1, tzinfo=UTC)
    for number in range(sessions):
        name = f"{number:032x}"
        mark = FileMark(hash_of(name.encode()), 4096)
        begun = Draft("begun", name, mark, rule=RULE)
        sealed = replace(begun, kind="sealed", verdict="no stop found", signers=signers)
        for place, draft in ((2 * number + 1, begun), (2 * number + 2, sealed)):
            at += timedelta(seconds=30)
            entry = placed(
                draft, origin=folder.origin, number=place, previous=previous, at=at,
                program="standclear 0.1.0",
            )  # fmt: skip
            text = to_text(entry)
            signed = tuple(key.sign(text) for key in keys) if draft.signers else ()
            data = notes.compose(notes.Note(text, signed))
            note_path(folder, place).write_bytes(data)
            previous = hash_of(data)


def _key(person: str) -> UnlockedKey:
    secret = Ed25519PrivateKey.generate()
    return UnlockedKey(person, secret.public_key().public_bytes_raw().hex(), secret)

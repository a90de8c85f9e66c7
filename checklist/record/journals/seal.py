"""The signed end of a session.

The order of writing is the whole trick: the session file is complete on disk before an
entry of the ledger names its hash, and that entry is one file that stands there whole or
not at all. Whatever moment the power goes, doing the same again completes it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from checklist.record.errors import Damaged, EntryRefused
from checklist.record.files.disk import Kind
from checklist.record.journals.begin import (
    begin_session,
    enter_begun,
    resume_session,
    rule_of,
    try_out,
)
from checklist.record.journals.journal import FileMark, Journal
from checklist.record.journals.lines import ABANDONED, CLOSED, LARGEST_FILE, hash_of, read_lines
from checklist.record.journals.states import State, fulfils, state_of
from checklist.record.ledgers.entries import NO_KEY, Draft, Signer
from checklist.record.ledgers.ledger import LOCK, Ledger, Recorded

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from checklist.record.files.folder import LogFolder
    from checklist.record.roll.keys import UnlockedKey


__all__ = [
    "Signing",
    "abandon",
    "begin_session",
    "resume_session",
    "rule_of",
    "seal",
    "sign_late",
]


@dataclass(frozen=True, slots=True)
class Signing:
    """One person who must sign, and that person's opened key if it is here."""

    person: str
    role: str
    key: UnlockedKey | None = None
    known_key: str = NO_KEY
    """The public key from which the missing signature must come, where that is settled."""

    def as_signer(self) -> Signer:
        """Return the signer as an entry names it; EntryRefused for another person's key."""
        if self.key is None:
            return Signer(self.person, self.role, self.known_key)
        if self.key.person != self.person:
            raise EntryRefused(
                f"the key of {self.key.person} cannot sign for {self.person}",
                right="Each person signs with a key of their own.",
            )
        return Signer(self.person, self.role, self.key.public, is_here=True)


def seal(
    folder: LogFolder,
    journal: Journal,
    *,
    verdict: str,
    signings: Sequence[Signing],
    data: Mapping[str, object] | None = None,
    fields: Sequence[tuple[str, str]] = (),
) -> Recorded:
    """End a session with its verdict and every signature that is here.

    The entry is `sealed` if nobody's signature is missing and `closed` otherwise. Done
    again after NotSaved or a crash it completes what was begun, and returns the entry that
    stands. Raises EntryRefused, before anything is written, when the entry would be wrong.
    """
    signers = tuple(signing.as_signer() for signing in signings)
    kind = "sealed" if all(signer.is_here for signer in signers) else "closed"
    draft = Draft(
        kind, journal.session_id, journal.digest(), verdict, rule_of(journal.lines[0]),
        signers=signers, fields=tuple(fields),
    )  # fmt: skip
    try_out(folder, draft)
    _close_journal(journal, CLOSED, {**(data or {}), "verdict": verdict})
    draft = replace(draft, file=journal.digest())
    keys = {signing.key.public: signing.key for signing in signings if signing.key is not None}
    with folder.lock(LOCK):
        ledger = Ledger(folder)
        standing = enter_begun(ledger, journal)
        if standing is not None:
            return _same_ending(ledger, standing, draft)
        return ledger.append_held(draft, list(keys.values()))


def sign_late(folder: LogFolder, session_id: str, signings: Sequence[Signing]) -> Recorded:
    """Add signatures that were missing when the session was closed.

    The entry names the hash of the closing entry and of the session's file, which is read
    and compared first. Raises EntryRefused for anyone whose signature is not missing,
    Damaged when the session's file is not the one that was closed.
    """
    signers = tuple(signing.as_signer() for signing in signings)
    with folder.lock(LOCK):
        ledger = Ledger(folder)
        state = state_of(ledger.of_session(session_id))
        if state.ending is None or state.state is not State.SIGNATURE_MISSING:
            raise EntryRefused(
                f"no signature is missing: the session is {state.state.value}",
                right="Look at it in the review.",
            )
        _require_unchanged(folder, session_id, state.ending)
        for signer in signers:
            _require_due(signer, state.missing)
        draft = Draft(
            "signed late", session_id, state.ending.entry.file,
            target=state.ending.sha256, signers=signers,
        )  # fmt: skip
        keys = {signing.key.public: signing.key for signing in signings if signing.key is not None}
        return ledger.append_held(draft, list(keys.values()))


def abandon(folder: LogFolder, session_id: str, reason: str) -> Recorded:
    """Give up a running session, which stays in the record with the reason.

    A session whose file is damaged can be given up too: the entry then names the hash of
    what is there. Raises EntryRefused for a session that has ended, HeldElsewhere while
    another program has it open.
    """
    fields = [("reason", reason)]
    try_out(folder, Draft("abandoned", session_id, FileMark("0" * 64, 0), fields=tuple(fields)))
    try:
        journal, _ = resume_session(folder, session_id)
    except Damaged as problem:
        file = _mark_as_it_is(folder, session_id)
        damage = problem.what[:300]
        draft = Draft(
            "abandoned", session_id, file, fields=(*fields, ("damage", " ".join(damage.split())))
        )
        return Ledger(folder).append(draft)
    try:
        last = journal.lines[-1]
        if last.what == ABANDONED:  # a crash came between this line and the entry
            fields = [("reason", str(last.data.get("reason", reason)))]
        else:
            _close_journal(journal, ABANDONED, {"reason": reason})
        draft = Draft(
            "abandoned", session_id, journal.digest(), rule=rule_of(journal.lines[0]),
            fields=tuple(fields),
        )  # fmt: skip
        return Ledger(folder).append(draft)
    finally:
        journal.close()


def _close_journal(journal: Journal, what: str, data: Mapping[str, object]) -> None:
    if not journal.is_closed:
        journal.append(what, data)
        return
    last = journal.lines[-1]
    if last.what != what or last.data.get("verdict") != data.get("verdict"):
        raise EntryRefused(
            "the session was closed already, with another verdict",
            right="End it with the verdict of its last line.",
        )


def _same_ending(ledger: Ledger, standing: Recorded, draft: Draft) -> Recorded:
    if (standing.entry.file, standing.entry.verdict) != (draft.file, draft.verdict):
        raise EntryRefused("this session has ended already, with another file or verdict")
    ledger.sync()
    return standing


def _require_unchanged(folder: LogFolder, session_id: str, ending: Recorded) -> None:
    path = folder.session_file(session_id)
    read_lines(folder.disk, path)
    if _mark_as_it_is(folder, session_id) != ending.entry.file:
        raise Damaged(
            "the session's file is not the one that was closed",
            where=str(path),
            right="Restore it from a copy of the log folder before anyone signs.",
        )


def _require_due(signer: Signer, missing: Sequence[Signer]) -> None:
    if not any(fulfils(signer, due) for due in missing):
        waiting = ", ".join(f"{due.person} ({due.role})" for due in missing)
        raise EntryRefused(
            f"no signature of {signer.person} as {signer.role} with this key is missing",
            right=f"Missing: {waiting}.",
        )


def _mark_as_it_is(folder: LogFolder, session_id: str) -> FileMark:
    path = folder.session_file(session_id)
    facts = folder.disk.facts(path)
    if facts is None or facts.kind is not Kind.FILE:
        return FileMark(hash_of(b""), 0)
    data = folder.disk.read(path, at_most=LARGEST_FILE)
    return FileMark(hash_of(data), len(data))

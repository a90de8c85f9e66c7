"""From the first line of a session to its signed end.

The order of writing is the whole trick: the session file is complete on disk before an
entry of the ledger names its hash, and that entry is one file that stands there whole or
not at all. Whatever moment the power goes, doing the same again completes it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from checklist import __version__
from checklist.record import kept
from checklist.record.disk import Kind
from checklist.record.entries import NO_KEY, Draft, RuleMark, Signer, placed
from checklist.record.errors import Damaged, EntryRefused
from checklist.record.folder import new_session_id
from checklist.record.journal import FileMark, Journal, TornTail
from checklist.record.ledger import LOCK, Ledger, Recorded
from checklist.record.lines import ABANDONED, CLOSED, LARGEST_FILE, compose, hash_of, read_lines
from checklist.record.states import ENDINGS, State, fulfils, state_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from checklist.record.folder import LogFolder
    from checklist.record.keys import UnlockedKey
    from checklist.record.lines import Line

FORMAT = "standclear session 1"
"""The format of a session file and its version, named in its first line."""

BEGUN = "begun"
"""The first line of every session."""


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


def begin_session(
    folder: LogFolder,
    *,
    rule_name: str,
    edition: str,
    rule_bytes: bytes,
    data: Mapping[str, object] | None = None,
    session_id: str | None = None,
) -> Journal:
    """Begin a session: its rule file is kept, its file and its entry are on disk.

    `edition` holds no blank. `data` joins the first line. Raises NotSaved when the disk
    refuses; a session file without entry may then be left, which `resume_session` mends.
    """
    mark = RuleMark(rule_name, edition, hash_of(rule_bytes))
    session_id = session_id or new_session_id()
    _try_out(folder, Draft(BEGUN, session_id, FileMark(mark.sha256, 0), rule=mark))
    kept.keep(folder, "rules", rule_bytes)
    rule = kept.Reference("rules", mark.sha256, len(rule_bytes), rule_name).as_data()
    first = {
        **(data or {}),
        "format": FORMAT,
        "origin": folder.origin,
        "program": f"standclear {__version__}",
        "rule": {**rule, "edition": edition},
    }
    journal = Journal.begin(folder, session_id, BEGUN, first)
    try:
        with folder.lock(LOCK):
            _enter_begun(folder, Ledger(folder), journal)
    except BaseException:
        journal.close()
        raise
    return journal


def resume_session(folder: LogFolder, session_id: str) -> tuple[Journal, TornTail | None]:
    """Open a running session to go on with it, as `Journal.resume` does.

    Raises EntryRefused for a session that the ledger says has ended.
    """
    with folder.lock(LOCK):
        state = state_of(Ledger(folder).of_session(session_id))
    if state.state is not State.RUNNING:
        raise EntryRefused(
            f"this session has ended: {state.state.value}", right="Begin a new session."
        )
    journal, torn = Journal.resume(folder, session_id)
    try:
        with folder.lock(LOCK):
            _enter_begun(folder, Ledger(folder), journal)
    except BaseException:
        journal.close()
        raise
    return journal, torn


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
    _try_out(folder, draft)
    _close_journal(journal, CLOSED, {**(data or {}), "verdict": verdict})
    draft = replace(draft, file=journal.digest())
    keys = {signing.key.public: signing.key for signing in signings if signing.key is not None}
    with folder.lock(LOCK):
        ledger = Ledger(folder)
        standing = _enter_begun(folder, ledger, journal)
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
    _try_out(folder, Draft("abandoned", session_id, FileMark("0" * 64, 0), fields=tuple(fields)))
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


def rule_of(first: Line) -> RuleMark:
    """Return which rule file a session used, from its first line; Damaged if it does not say."""
    rule = first.data.get("rule")
    if not isinstance(rule, dict):
        raise Damaged("the session's first line names no rule file")
    parts = (rule.get("name"), rule.get("edition"), rule.get("sha256"))
    name, edition, sha256 = (part if isinstance(part, str) else "" for part in parts)
    return RuleMark(name, edition, sha256)


def _enter_begun(folder: LogFolder, ledger: Ledger, journal: Journal) -> Recorded | None:
    """Enter the session's beginning if it is not there; return its ending if that is there."""
    group = ledger.of_session(journal.session_id)
    if not any(recorded.entry.kind == BEGUN for recorded in group):
        first = compose(journal.lines[0])
        mark = FileMark(hash_of(first), len(first))
        rule = rule_of(journal.lines[0])
        ledger.append_held(Draft(BEGUN, journal.session_id, mark, rule=rule))
    return next((recorded for recorded in group if recorded.entry.kind in ENDINGS), None)


def _close_journal(journal: Journal, what: str, data: Mapping[str, object]) -> None:
    if not journal.is_closed:
        journal.append(what, data)
        return
    last = journal.lines[-1]
    if last.what != what or last.data != dict(data):
        raise EntryRefused(
            "the session was closed already, with something else",
            right="End it with the verdict and the words of its last line.",
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


def _try_out(folder: LogFolder, draft: Draft) -> None:
    """Refuse an entry that could not be made, before anything is written for it."""
    placed(
        draft,
        origin=folder.origin,
        number=1,
        previous="0" * 64,
        at=folder.clock.now(),
        program=f"standclear {__version__}",
    )

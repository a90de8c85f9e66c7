"""Reads one past session whole, in this log folder or in a copy of another one."""

from __future__ import annotations

from datetime import datetime

from checklist.errors import StandclearError
from checklist.record.errors import RecordError
from checklist.record.files.folder import LogFolder
from checklist.record.journals.begin import rule_of
from checklist.record.journals.lines import ABANDONED
from checklist.record.journals.states import SessionState, State, state_of
from checklist.record.ledgers.ledger import Ledger, Recorded
from checklist.record.verifying.report import Check, Findings, Outcome
from checklist.record.verifying.verify_session import check_session
from checklist.sessions.desk import Desk
from checklist.sessions.library import Loaded
from checklist.sessions.opening import rules_kept
from checklist.sessions.past.correctionrecords import correction_records
from checklist.sessions.past.corrections import corrections_of
from checklist.sessions.past.ledgerview import session_files, view_ledger
from checklist.sessions.past.readevents import events_of
from checklist.sessions.past.sessionfile import SessionFile, read_session_file, rule_name, title_of
from checklist.sessions.past.sessionrecord import Correction, SessionRecord, SignatureRecord, Signed
from checklist.sessions.past.signatures import signatures_of
from checklist.sessions.past.standing import standing_answers
from checklist.sessions.past.steprecords import people_of, remarks, step_records
from checklist.sessions.results import result_text
from checklist.sessions.roll.covering import Covering, Vouching, covering_here, line_of
from checklist.sessions.stations.staleness import staleness
from checklist.sessions.validity import Validity
from checklist.stopping import Stopped, Tell, unheard

SHORTEST_NAME = 6
"""Characters of a session's name that suffice to call it by, where they fit one session alone."""


def session_named(folder: LogFolder, text: str) -> str:
    """Return the whole name of the session whose name begins with `text`.

    Raises StandclearError where none or several do, or where `text` is shorter than 6.
    """
    wanted = text.strip().casefold()
    if len(wanted) < SHORTEST_NAME:
        raise StandclearError(
            f"“{wanted}” is too short for the name of a session",
            right=f"Give at least its first {SHORTEST_NAME} characters; standclear review lists.",
        )
    found = sorted(i for i in _known(folder) if i.startswith(wanted))
    if not found:
        raise StandclearError(
            f"no session's name begins with “{wanted[:40]}”", right="standclear review lists them."
        )
    if len(found) > 1:
        raise StandclearError(
            f"{len(found)} sessions' names begin with “{wanted}”", right="Give more characters."
        )
    return found[0]


def read_session(
    where: Desk | LogFolder,
    session_id: str,
    vouching: Vouching | None = None,
    tell: Tell = unheard,
) -> SessionRecord:
    """Return everything about one session; what is damaged is said and does not hide the rest.

    The signatures of the session are verified, its file is held against the ledger, and
    every file that it names is looked up; the chain of the whole ledger is left to `verify`.
    Whose the keys are is told by the roster pinned in the folder, or by that of `vouching`.
    `tell` hears how far it is. Raises FolderRefused where the log folder itself cannot be used,
    and RecordError where neither the ledger nor a file knows the session.
    """
    folder = where.looked()[0] if isinstance(where, Desk) else where
    folder.session_file(session_id)
    state, group, problems = _state(folder, session_id, tell)
    file = read_session_file(folder, session_id)
    if state.begun is None and state.ending is None and not file.size:
        raise RecordError(
            f"no session {session_id[:8]} is known here", right="standclear review lists them."
        )
    checks = _checks(folder, session_id, state)
    recall = where.entries_read if isinstance(where, Desk) else None
    covers = covering_here(folder, vouching, recall, tell)
    signatures = signatures_of(state, covers)
    problems += [*_file_problems(file, checks), *map(_bad_signature, _failing(signatures))]
    loaded = _rules(folder, file, problems)
    return _record(
        folder, session_id, state, group, file, loaded, checks, signatures, covers, problems
    )


def _record(
    folder: LogFolder,
    session_id: str,
    state: SessionState,
    group: tuple[Recorded, ...],
    file: SessionFile,
    loaded: Loaded | None,
    checks: tuple[Check, ...],
    signatures: tuple[SignatureRecord, ...],
    covers: Covering | str,
    problems: list[str],
) -> SessionRecord:
    now = folder.clock.now()
    events, unknown = events_of(file.lines)
    ending = state.ending.entry if state.ending else None
    verdict = (ending.verdict if ending else None) or ""
    until = Validity(folder).until(state)
    signers = [signature.person for signature in signatures]
    ended = ending.at if ending else None
    edition, sha256 = _rule_mark(file, state)
    correcting = corrections_of(group)
    corrections = correction_records(folder, correcting, events, loaded, problems)
    standing = standing_answers(events, correcting, state.ending, folder)
    return SessionRecord(
        session_id=session_id,
        origin=folder.origin,
        title=title_of(file, state),
        rule_file=rule_name(file, state),
        edition=edition,
        rule_sha256=sha256,
        program=_program(file, state),
        state=state.state,
        verdict=verdict,
        result=_result(corrections, result_text(state.state.value, verdict, until, now)),
        begun=_begun(file, state),
        ended=ended,
        valid_until=until,
        people=tuple(dict.fromkeys([*people_of(events), *signers])),
        steps=step_records(events, loaded, _last_moment(file, now)),
        remarks=remarks(events, file.lines),
        signatures=signatures,
        abandoned_because=_reason(file, state),
        corrections=corrections,
        stale=tuple(one.sentence() for one in staleness(standing)),
        receipts=covers
        if isinstance(covers, str)
        else line_of(covers, ending.number if ending else None, now),
        checks=checks,
        problems=tuple(dict.fromkeys([*problems, *unknown])),
    )


def _result(corrections: tuple[Correction, ...], signed: str) -> str:
    if not corrections:
        return signed
    return f"CORRECTED, now {corrections[-1].after or 'not known'}; it was: {signed}"


def _known(folder: LogFolder) -> set[str]:
    return {*view_ledger(folder).states, *session_files(folder, [])}


def _state(
    folder: LogFolder, session_id: str, tell: Tell
) -> tuple[SessionState, tuple[Recorded, ...], list[str]]:
    """Return what the ledger says, and where it says so; of a damaged one what the rest says."""
    try:
        group = Ledger(folder).of_session(session_id, tell)
        return state_of(group), group, []
    except Stopped:
        raise
    except StandclearError as problem:
        found = view_ledger(folder).states.get(session_id, SessionState(State.RUNNING))
        says = "The ledger is damaged, so the state shown rests on what is left of it"
        return found, (), [f"{says}: {problem.sentence()}"]


def _checks(folder: LogFolder, session_id: str, state: SessionState) -> tuple[Check, ...]:
    findings = Findings()
    check_session(folder, session_id, state, findings)
    return findings.report().checks


def _file_problems(file: SessionFile, checks: tuple[Check, ...]) -> list[str]:
    said = [file.problem] if file.problem else []
    failing = (check for check in checks if check.outcome is Outcome.FAILS)
    return [*said, *(f"{check.name}: {check.sentence}" for check in failing)]


def _failing(signatures: tuple[SignatureRecord, ...]) -> list[SignatureRecord]:
    wrong = (Signed.FAILS, Outcome.FAILS)
    return [s for s in signatures if s.outcome in wrong or s.whose in wrong]


def _bad_signature(signature: SignatureRecord) -> str:
    if signature.outcome is Signed.HOLDS:
        return signature.identity
    return f"The signature of {signature.person} does NOT hold: the entry was changed or forged."


def _rules(folder: LogFolder, file: SessionFile, problems: list[str]) -> Loaded | None:
    if file.first is None:
        return None
    try:
        return rules_kept(folder, file.first)
    except StandclearError as problem:
        problems.append(
            f"The rules as they were cannot be read, so questions are shown by their ids: "
            f"{problem.sentence()}"
        )
        return None


def _rule_mark(file: SessionFile, state: SessionState) -> tuple[str, str]:
    """Return edition and hash of the rule file, as signed where it was signed."""
    for recorded in (state.ending, state.begun):
        if recorded is not None and recorded.entry.rule is not None:
            return recorded.entry.rule.edition, recorded.entry.rule.sha256
    try:
        mark = rule_of(file.first) if file.first else None
    except RecordError:
        mark = None
    return (mark.edition, mark.sha256) if mark else ("", "")


def _program(file: SessionFile, state: SessionState) -> str:
    found = file.head.get("program")
    if isinstance(found, str):
        return found
    return state.begun.entry.program if state.begun else ""


def _begun(file: SessionFile, state: SessionState) -> datetime | None:
    if state.begun is not None:
        return state.begun.entry.at
    return file.first.at if file.first else None


def _last_moment(file: SessionFile, now: datetime) -> datetime:
    """Return when the session stood as it stands, so that nothing expires by being looked at."""
    return file.lines[-1].at if file.lines else now


def _reason(file: SessionFile, state: SessionState) -> str:
    if state.ending is not None and state.ending.entry.kind == ABANDONED:
        return state.ending.entry.field("reason") or ""
    last = file.lines[-1] if file.lines else None
    if last is not None and last.what == ABANDONED:
        return str(last.data.get("reason", ""))
    return ""

"""Everything that can be checked about a log folder with nothing but the folder itself."""

from __future__ import annotations

from typing import TYPE_CHECKING

from checklist.record.errors import RecordError
from checklist.record.files.folder import is_session_id
from checklist.record.files.kept import LookedAt
from checklist.record.files.whole import is_temporary
from checklist.record.journals.states import SessionState, State, states_of
from checklist.record.verifying.report import Check, Findings, Outcome, Report
from checklist.record.verifying.verify_ledger import check_ledger
from checklist.record.verifying.verify_people import check_people
from checklist.record.verifying.verify_session import check_session

if TYPE_CHECKING:
    from checklist.record.files.folder import LogFolder
    from checklist.stopping import Tell

__all__ = ["Check", "Outcome", "Report", "verify"]


def verify(folder: LogFolder, session: str | None = None, tell: Tell | None = None) -> Report:
    """Check the whole ledger and every session, or one session alone, and change nothing.

    `tell` hears how far it is; what it raises ends the work.

    Never raises for what it finds: a flaw is a check that fails. RecordError only where
    `session` names none that the folder knows. Who the signers are stays `cannot tell`
    until a safety officer's key is pinned, and so does what a cut ledger may have held.
    """
    findings = Findings()
    entries = check_ledger(folder, findings, tell)
    check_people(folder, entries, findings)
    states = states_of(entries)
    for session_id in _session_files(folder, findings):
        states.setdefault(session_id, SessionState(State.RUNNING))
    if session is not None and session not in states:
        raise RecordError(
            f"no session {session[:40]!r} is known here", right="standclear review lists them."
        )
    wanted = sorted(states) if session is None else [session]
    looked_at = LookedAt(folder)
    for done, session_id in enumerate(wanted):
        if tell is not None:
            tell("sessions", done, len(wanted))
        check_session(folder, session_id, states[session_id], findings, looked_at)
    return findings.report()


def _session_files(folder: LogFolder, findings: Findings) -> list[str]:
    found = []
    for name in folder.disk.names(folder.sessions):
        session_id = name.removesuffix(".jsonl")
        if name.endswith(".jsonl") and is_session_id(session_id):
            found.append(session_id)
        elif not is_temporary(name):
            findings.add(
                "form", "sessions", Outcome.WARNING, f"{name!r} does not belong into sessions/."
            )
    return found

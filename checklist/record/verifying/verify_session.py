"""Checks of one session: its file, its lines, its clocks, and the files that it names."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from checklist.record.errors import Damaged, LaterForm, RecordError
from checklist.record.files import kept
from checklist.record.files.clock import clock_step, step_text
from checklist.record.journals.begin import rule_of
from checklist.record.journals.lines import (
    ABANDONED,
    CLOSED,
    LARGEST_FILE,
    compose,
    hash_of,
    scan,
)
from checklist.record.journals.states import State
from checklist.record.verifying.report import Outcome

if TYPE_CHECKING:
    from checklist.record.files.folder import LogFolder
    from checklist.record.journals.lines import Line, Scan
    from checklist.record.journals.states import SessionState
    from checklist.record.ledgers.ledger import Recorded
    from checklist.record.verifying.report import Findings

_HOLDS = {
    "session file": "The file has the hash and size that the ledger names.",
    "line hashes": "Every line is in form and follows the one before it.",
    "clock": "The wall clock was not moved between lines.",
    "rule files": "The rule file in use is kept and has its hash.",
    "attachments": "Every file that the session names is kept and has its hash.",
    "end": "The session ended, and nobody's signature is missing.",
}


def check_session(
    folder: LogFolder,
    session_id: str,
    state: SessionState,
    findings: Findings,
    looked_at: kept.LookedAt | None = None,
) -> tuple[Line, ...]:
    """Check one session against what the ledger says about it; return the lines that are good.

    `looked_at` carries what was found of kept files from one session to the next.
    """
    subject = f"session {session_id}"
    _check_end(state, subject, findings)
    lines: tuple[Line, ...] = ()
    data = _read(folder, session_id, state, subject, findings)
    if data is not None:
        found = _scanned(data, session_id, state, subject, findings)
        if found is not None and found.lines:
            lines = found.lines
            _check_marks(data, found, state, subject, findings)
            looked_at = looked_at or kept.LookedAt(folder)
            _check_content(folder, lines, state, subject, findings, looked_at)
    findings.hold_rest(subject, _HOLDS)
    return lines


def _check_end(state: SessionState, subject: str, findings: Findings) -> None:
    if state.begun is None:
        findings.add(
            "end",
            subject,
            Outcome.CANNOT_TELL,
            "No entry begins it: the program stopped in that moment, or the ledger was cut.",
        )
    if state.state is State.RUNNING:
        findings.add("end", subject, Outcome.WARNING, "The session has not ended.")
    elif state.state is State.ABANDONED:
        findings.add("end", subject, Outcome.WARNING, "The session was abandoned.")
    elif state.state is State.SIGNATURE_MISSING:
        people = ", ".join(f"{due.person} ({due.role})" for due in state.missing)
        findings.add(
            "end", subject, Outcome.WARNING, f"NOT SEALED: the signature of {people} is missing."
        )


def _read(
    folder: LogFolder, session_id: str, state: SessionState, subject: str, findings: Findings
) -> bytes | None:
    try:
        return folder.disk.read(folder.session_file(session_id), at_most=LARGEST_FILE)
    except (OSError, RecordError) as problem:
        said = problem.what if isinstance(problem, RecordError) else problem.strerror
        if not _is_known_damage(state):
            findings.fail("session file", subject, f"The file cannot be read: {said}.")
        for name in ("line hashes", "clock", "rule files", "attachments", "session file"):
            findings.add(name, subject, Outcome.CANNOT_TELL, "The file cannot be read.")
        return None


def _scanned(
    data: bytes, session_id: str, state: SessionState, subject: str, findings: Findings
) -> Scan | None:
    try:
        found = scan(data, session_id)
    except LaterForm as problem:
        for name in ("line hashes", "clock", "rule files", "attachments"):
            findings.add(name, subject, Outcome.CANNOT_TELL, f"The file: {problem.what}.")
        if state.ending is not None:
            _check_ending_mark(data, state.ending, subject, findings)
        return None
    except Damaged as problem:
        grave = Outcome.WARNING if _is_known_damage(state) else Outcome.FAILS
        findings.add("line hashes", subject, grave, f"The file was changed: {problem.what}.")
        for name in ("clock", "rule files", "attachments"):
            findings.add(name, subject, Outcome.CANNOT_TELL, "Its lines cannot be relied on.")
        if state.ending is not None:
            _check_ending_mark(data, state.ending, subject, findings)
        return None
    if found.torn or not found.lines:
        is_running = state.state is State.RUNNING and found.lines
        findings.add(
            "line hashes",
            subject,
            Outcome.WARNING if is_running or _is_known_damage(state) else Outcome.FAILS,
            f"After line {len(found.lines)} stand {len(found.torn)} bytes that are no line.",
        )
    return found


def _check_marks(
    data: bytes, found: Scan, state: SessionState, subject: str, findings: Findings
) -> None:
    if state.begun is not None and state.begun.entry.file is not None:
        first = compose(found.lines[0])
        mark = state.begun.entry.file
        findings.require(
            "session file",
            subject,
            (hash_of(first), len(first)) == (mark.sha256, mark.size),
            "The first line is not the one that the ledger says began it.",
        )
    if state.ending is not None:
        _check_ending_mark(data, state.ending, subject, findings)
    elif found.lines[-1].what in {CLOSED, ABANDONED}:
        findings.add(
            "end",
            subject,
            Outcome.CANNOT_TELL,
            "The file is closed but no entry ends it: "
            "the program stopped in that moment, or the ledger was cut.",
        )


def _check_ending_mark(data: bytes, ending: Recorded, subject: str, findings: Findings) -> None:
    mark = ending.entry.file
    findings.require(
        "session file",
        subject,
        mark is not None and (hash_of(data), len(data)) == (mark.sha256, mark.size),
        f"The file is not the one that entry {ending.entry.number} names: its hash differs.",
    )


def _check_content(
    folder: LogFolder,
    lines: tuple[Line, ...],
    state: SessionState,
    subject: str,
    findings: Findings,
    looked_at: kept.LookedAt,
) -> None:
    findings.require(
        "session file",
        subject,
        lines[0].data.get("origin") == folder.origin,
        "The file says that it comes from another log folder.",
    )
    _check_agreement(lines, state, subject, findings)
    for before, after in pairwise(lines):
        step = clock_step(before, after)
        if step:
            findings.add(
                "clock",
                subject,
                Outcome.WARNING,
                f"The wall clock was {step_text(step)} between lines "
                f"{before.number} and {after.number}.",
            )
    for part, sha256 in dict.fromkeys(ref for line in lines for ref in kept.references(line.data)):
        _check_kept(looked_at, part, sha256, subject, findings)


def _check_agreement(
    lines: tuple[Line, ...], state: SessionState, subject: str, findings: Findings
) -> None:
    for recorded in (state.begun, state.ending):
        if recorded is None or recorded.entry.rule is None:
            continue
        try:
            agrees = rule_of(lines[0]) == recorded.entry.rule
        except Damaged:
            agrees = False
        findings.require(
            "session file",
            subject,
            agrees,
            f"The file names another rule file than entry {recorded.entry.number}.",
        )
    if state.ending is not None and state.ending.entry.verdict is not None:
        last = lines[-1]
        findings.require(
            "session file",
            subject,
            last.what == CLOSED and last.data.get("verdict") == state.ending.entry.verdict,
            "The file's last line does not say the verdict that was signed.",
        )
    if state.state is State.ABANDONED and state.ending and not _is_known_damage(state):
        given = [text for name, text in state.ending.entry.fields if name == "reason"]
        findings.require(
            "session file",
            subject,
            given == [lines[-1].data.get("reason")] and state.ending.entry.rule is not None,
            f"Entry {state.ending.entry.number} does not give the reason and the rule file as the "
            "session file does.",
        )


def _check_kept(
    looked_at: kept.LookedAt, part: str, sha256: str, subject: str, findings: Findings
) -> None:
    name = "rule files" if part == "rules" else "attachments"
    if part == "rules":
        problem = looked_at.problem("rules", sha256)
    elif part == "attachments":
        problem = looked_at.problem("attachments", sha256)
    else:
        findings.fail(name, subject, "A line names a file in no folder that is known.")
        return
    if problem:
        findings.fail(name, subject, f"{sha256}: {problem}.")


def _is_known_damage(state: SessionState) -> bool:
    """Say whether the session was given up with its file already damaged."""
    return state.state is State.ABANDONED and (
        state.ending is not None and state.ending.entry.field("damage") is not None
    )

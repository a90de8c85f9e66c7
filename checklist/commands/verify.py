"""Verifies a log folder, one's own or a copy of another's, and changes nothing in it."""

from __future__ import annotations

from pathlib import Path

from checklist.commands.output import mark_output, print_document, print_page
from checklist.commands.progress import SaidProgress
from checklist.commands.recordexits import OF_RECORD
from checklist.record.errors import Damaged
from checklist.record.files.folder import LogFolder
from checklist.record.verifying.report import Check, Outcome, Report
from checklist.record.verifying.verify import verify
from checklist.sessions.desk import Desk
from checklist.sessions.past.review import session_named


def verify_folder(desk: Desk, session: str | None, *, as_json: bool) -> int:
    """Print each check of the folder, or of one session; return the number of the gravest.

    Only a check that holds throughout is FINE: a warning, such as a signature that is
    missing, has its own number. Raises FolderRefused for
    what is no log folder, StandclearError for a session that it does not know.
    """
    mark_output(desk.logs)
    report = _report(desk, session)
    if as_json:
        print_document(_data(report, desk.logs))
    else:
        print_page(_lines(report, desk.logs, is_whole=session is not None))
    return OF_RECORD[report.overall]


def _report(desk: Desk, session: str | None) -> Report:
    try:
        folder = LogFolder.look(desk.logs, desk.disk, desk.clock)
    except Damaged as problem:  # a log folder, and one that does not hold
        return Report((Check("form", "log folder", Outcome.FAILS, problem.sentence()),))
    said = SaidProgress()
    named = session_named(folder, session) if session is not None else None
    report = verify(folder, named, said)
    said.end()
    return report


def _lines(report: Report, path: Path, *, is_whole: bool) -> list[str]:
    """Return each check as a line; what holds throughout is one line, unless `is_whole`."""
    lines = [str(path), report.sentence]
    by_subject: dict[str, list[Check]] = {}
    for check in report.checks:
        by_subject.setdefault(check.subject, []).append(check)
    for subject, checks in by_subject.items():
        if not is_whole and all(check.outcome is Outcome.HOLDS for check in checks):
            names = ", ".join(check.name for check in checks)
            lines.append(f"{subject}: holds ({names})")
        else:
            lines += [subject, *(_line(check) for check in checks)]
    return lines


def _line(check: Check) -> str:
    outcome = check.outcome.value
    loud = outcome.upper() if check.outcome is Outcome.FAILS else outcome
    return f"  {loud}: {check.name}. {check.sentence}"


def _data(report: Report, path: Path) -> dict[str, object]:
    return {
        "folder": str(path),
        "overall": report.overall.value,
        "says": report.sentence,
        "checks": [
            {
                "name": check.name,
                "subject": check.subject,
                "outcome": check.outcome.value,
                "says": check.sentence,
            }
            for check in report.checks
        ],
    }

"""Verifies a log folder, one's own or a copy of another's, and changes nothing in it."""

from __future__ import annotations

from pathlib import Path

from checklist.commands.exits import FINE, NOT_SHOWN, WRONG
from checklist.commands.output import print_document, print_page
from checklist.record.folder import LogFolder
from checklist.record.report import Check, Outcome, Report
from checklist.record.verify import verify
from checklist.sessions.desk import Desk

_EXITS = {
    Outcome.HOLDS: FINE,
    Outcome.WARNING: NOT_SHOWN,
    Outcome.CANNOT_TELL: NOT_SHOWN,
    Outcome.FAILS: WRONG,
}


def verify_folder(desk: Desk, session: str | None, *, as_json: bool) -> int:
    """Print each check of the folder, or of one session; WRONG where any fails.

    NOT_SHOWN where something cannot be told or a warning stands, such as a signature that
    is missing: nothing but a check that holds throughout is FINE.
    """
    folder = LogFolder.look(desk.logs, desk.disk, desk.clock)
    report = verify(folder, session)
    if as_json:
        print_document(_data(report, folder.path))
    else:
        print_page(_lines(report, folder.path))
    return _EXITS[report.overall]


def _lines(report: Report, path: Path) -> list[str]:
    lines = [str(path), report.sentence]
    for subject in dict.fromkeys(check.subject for check in report.checks):
        lines.append(subject)
        lines += [_line(check) for check in report.checks if check.subject == subject]
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

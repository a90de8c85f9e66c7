"""Audits log folders from the shell, and signs an audit into the officer's own record."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from checklist.audit.auditing import audit_paths, wanted_at
from checklist.audit.countersigning import WHO_IS_UNKNOWN, countersign, require_officer_named
from checklist.audit.wording import as_data, as_text
from checklist.commands.asking import ask_signature
from checklist.commands.output import mark_output, print_document, print_page
from checklist.commands.recordexits import OF_RECORD
from checklist.record.roll.roster import Roster
from checklist.sessions.closing import short_code
from checklist.sessions.desk import Desk


def audit_folders(
    desk: Desk, paths: Sequence[Path], *, recompute: bool, officer: str, as_json: bool
) -> int:
    """Print the audit of the folders, or of the own one; sign it where `officer` is named.

    Raises FolderRefused for a path that is no log folder, WrongPassphrase, NotSaved.
    """
    mark_output(desk.logs, *paths)
    if officer:
        require_officer_named(desk.folder, officer)
    report = audit_paths(desk, wanted_at(desk, tuple(paths) or (desk.logs,), recompute=recompute))
    said = []
    if officer:
        signer = ask_signature(desk.folder, officer, "safety officer")
        entry = countersign(desk.folder, report, signer)
        known = "" if Roster.read(desk.folder).newest else f" {WHO_IS_UNKNOWN}"
        said.append(
            f"Countersigned by {signer.person} in entry {entry.entry.number} here, code "
            f"{short_code(entry)}; the report is kept as {entry.entry.field('report')}.{known}"
        )
    if as_json:
        print_document({**as_data(report), "notes": said})
    else:
        print_page([*as_text(report), *said])
    return OF_RECORD[report.overall]

"""The officer's signature under an audit: an entry of the officer's own ledger names its hash."""

from __future__ import annotations

from typing import TYPE_CHECKING

from checklist.audit.report import AuditReport
from checklist.audit.wording import as_document
from checklist.record.errors import EntryRefused
from checklist.record.files import kept
from checklist.record.files.folder import LogFolder
from checklist.record.ledgers.entries import Draft
from checklist.record.ledgers.ledger import Ledger, Recorded
from checklist.record.roll.roster import Roster
from checklist.record.verifying.report import Outcome

if TYPE_CHECKING:
    from checklist.record.journals.seal import Signing

AUDITED = "audited"
"""The kind of entry."""

WHO_IS_UNKNOWN = "Who that is cannot be told: no safety officer is pinned here."
"""Stands beside a countersignature where no roster vouches for it."""


def countersign(folder: LogFolder, report: AuditReport, signer: Signing) -> Recorded:
    """Keep the report in `folder` and sign an entry with its hash and what was audited.

    The document is on disk under its SHA-256 before the entry names it. A folder whose origin
    cannot be read stands in the document alone. Raises EntryRefused where nobody signs, or the
    signer is no safety officer by the roster pinned in `folder` or by name where none is;
    NotSaved when the disk refuses.
    """
    if signer.key is None:
        raise EntryRefused("an audit needs a signature", right="Open your key to sign.")
    if signer.role != "safety officer":
        raise EntryRefused(f"{signer.role} does not sign an audit", right="The officer does.")
    _require_officer(folder, signer)
    sha256 = kept.keep(folder, "attachments", as_document(report))
    audited = [
        ("folder", f"{f.origin} {f.entries} {f.last or '0' * 64}")
        for f in report.folders
        if f.origin
    ]
    fields = [("report", sha256), ("outcome", report.overall.value), *audited]
    draft = Draft(AUDITED, signers=(signer.as_signer(),), fields=tuple(fields))
    return Ledger(folder).append(draft, [signer.key])


def require_officer_named(folder: LogFolder, name: str) -> None:
    """Refuse a name that is no safety officer's in force here, before a key is made for it."""
    newest = Roster.read(folder).newest
    member = newest.member(name) if newest else None
    if newest is not None and (member is None or "safety officer" not in member.roles):
        raise EntryRefused(
            f"{name} is no safety officer by the roster in force here",
            right=f"It is {newest.officer_name} who signs an audit.",
        )


def _require_officer(folder: LogFolder, signer: Signing) -> None:
    """Refuse a key that the roster in force here does not know as a safety officer's."""
    roster = Roster.read(folder)
    if signer.key is None or (roster.newest is None and not roster.problem):
        return
    now = folder.clock.now()
    said = roster.identity(signer.key.public, signer.person, signer.role, now)
    if said.outcome is not Outcome.HOLDS:
        raise EntryRefused(
            f"this key does not sign an audit: {said.sentence.rstrip('.')}",
            right="The safety officer in the roster does.",
        )

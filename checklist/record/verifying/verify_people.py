"""Checks of a ledger against the pinned roster and the receipts: who signed, and is it all."""

from __future__ import annotations

from typing import TYPE_CHECKING

from checklist.names import name_key
from checklist.record.roll.keyholders import NO_OFFICER
from checklist.record.roll.receipts import check_against, receipts_of
from checklist.record.roll.roster import Roster
from checklist.record.verifying.report import Outcome

if TYPE_CHECKING:
    from checklist.record.files.folder import LogFolder
    from checklist.record.ledgers.ledger import Recorded
    from checklist.record.roll.receipts import Covered
    from checklist.record.verifying.report import Findings

SUBJECT = "ledger"

_ROLLED_BACK = " Later ones dropped together with their receipts show to the officer alone."


def check_people(folder: LogFolder, entries: list[Recorded], findings: Findings) -> None:
    """Add who the signers are, by the roster pinned in the folder, and what receipts cover."""
    roster = Roster.read(folder, entries)
    covered = check_against(receipts_of(folder), entries, folder.origin, roster)
    _check_identity(entries, roster, covered, findings)
    _check_receipts(folder, entries, covered, findings)


def _check_identity(
    entries: list[Recorded], roster: Roster, covered: Covered, findings: Findings
) -> None:
    if roster.problem:
        findings.fail("roster", SUBJECT, f"{_capital(roster.problem)}.")
    if roster.newest is None:
        why = roster.problem or NO_OFFICER
        said = f"Who the signers are cannot be told: {why}."
        findings.add("identity", SUBJECT, Outcome.CANNOT_TELL, said)
        return
    for recorded in entries:
        entry = recorded.entry
        received = covered.received_at(entry.number)
        names: set[str] = set()
        for signer in entry.signers:
            if not signer.is_here:
                continue
            found = roster.identity(signer.key, signer.person, signer.role, entry.at, received)
            if found.outcome is not Outcome.HOLDS:
                said = f"Entry {entry.number}: {found.sentence}"
                findings.add("identity", SUBJECT, found.outcome, said)
            if name_key(signer.person) in names:
                findings.fail(
                    "identity", SUBJECT, f"Entry {entry.number}: {signer.person} signs it twice."
                )
            names.add(name_key(signer.person))
    sentence = f"Every signer is who the entry says, by roster {roster.newest.number} pinned here."
    findings.hold_rest(SUBJECT, {"identity": sentence})


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _check_receipts(
    folder: LogFolder, entries: list[Recorded], covered: Covered, findings: Findings
) -> None:
    for finding in covered.findings:
        findings.add("receipts", SUBJECT, finding.outcome, finding.sentence)
    count = entries[-1].entry.number if entries else 0
    if covered.covers == 0:
        said = (
            f"Whether entries after number {count} were dropped cannot be told: "
            "no receipt says how far this ledger once went."
        )
        if covered.tail.entries:
            said += f" {covered.tail.sentence(folder.clock.now())}"
        findings.add("completeness", SUBJECT, Outcome.CANNOT_TELL, said)
        return
    outcome = Outcome.CANNOT_TELL if covered.tail.entries else Outcome.HOLDS
    said = covered.tail.sentence(folder.clock.now())
    if outcome is Outcome.HOLDS:
        said += _ROLLED_BACK
    findings.add("completeness", SUBJECT, outcome, said)

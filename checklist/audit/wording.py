"""An audit in whole sentences and as data; the same for shell, screen and countersignature."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from difflib import SequenceMatcher
from typing import Any

from checklist.audit.report import AuditFinding, AuditReport, Evidence
from checklist.record.verifying.report import Outcome

CANNOT_CATCH = (
    "Answers that were false when they were signed, or given under pressure.",
    "A stolen key with its passphrase, until the officer revokes it.",
    "Entries cut off at the end, as far as no receipt and no code in the paper log covers them.",
    "Changes of a newest entry that nobody signed, as far as no receipt covers it.",
    "Changes after the last receipt, if everybody who signed does it together.",
    "All copies and receipts of a folder rolled back together.",
    "A clock that was wrong from the start.",
    "A session that was never begun.",
    "A program that shows one text and signs another.",
)
"""What no audit can find, one sentence each."""

HEADINGS = {
    Outcome.FAILS: "FAILS",
    Outcome.CANNOT_TELL: "CANNOT TELL",
    Outcome.WARNING: "WARNING",
    Outcome.HOLDS: "HOLDS",
}
"""How each group of findings is headed, the worst first."""


def as_text(report: AuditReport) -> list[str]:
    """Return the whole audit, one line for each thing said, the worst first."""
    lines = [report.sentence, ""]
    lines += [
        f"{folder.path}: {folder.sentence}; newest entry {folder.last[:8] or 'none'}"
        for folder in report.folders
    ]
    for outcome, heading in HEADINGS.items():
        rows = list(_group(report, outcome))
        if rows:
            lines += ["", f"{heading} ({report.number_of(outcome)})", *rows]
    lines += ["", "WHAT THIS CANNOT CATCH", *(f"  {said}" for said in CANNOT_CATCH)]
    return lines


def _group(report: AuditReport, outcome: Outcome) -> Iterator[str]:
    for check, found, count in report.counts:
        if found is not outcome:
            continue
        rows = [f for f in report.findings if (f.check, f.outcome) == (check, outcome)]
        if not rows:
            yield f"  {check}: {count}"
            continue
        for row in rows:
            yield f"  {check}: {sentence_of(row, report)}"
            yield from (f"      {line}" for line in side_by_side(row.evidence))
        if outcome is not Outcome.HOLDS and count > len(rows):
            yield f"  {check}: {count - len(rows)} more of this kind are not listed."


def sentence_of(finding: AuditFinding, report: AuditReport) -> str:
    """Return a finding with where it was seen, as far as that is not clear from the sentence."""
    where = []
    if finding.folder and len(report.folders) > 1:
        where.append(finding.folder)
    if finding.session:
        where.append(f"session {finding.session[:10]}")
    return f"{finding.sentence} ({', '.join(where)})" if where else finding.sentence


def side_by_side(evidence: Sequence[Evidence]) -> list[str]:
    """Return one note, or two line by line: what differs stands twice, marked 1 and 2."""
    if not evidence:
        return []
    heads = [f"{number}  {one.where}" for number, one in enumerate(evidence, start=1)]
    first = evidence[0].note.splitlines()
    if len(evidence) == 1:
        return [*heads, *(f"1  {line}" for line in first)]
    second = evidence[1].note.splitlines()
    lines = []
    matcher = SequenceMatcher(None, first, second, autojunk=False)
    for what, a, b, c, d in matcher.get_opcodes():
        if what == "equal":
            lines += [f"   {line}" for line in first[a:b]]
        else:
            lines += [f"1  {line}" for line in first[a:b]]
            lines += [f"2  {line}" for line in second[c:d]]
    return [*heads, "   The same in both has no number before it.", *lines]


def evidence_text(finding: AuditFinding) -> list[str]:
    """Return the notes that show a finding, and an empty line behind them; nothing without any."""
    lines = side_by_side(finding.evidence)
    return [*lines, ""] if lines else []


def as_data(report: AuditReport) -> dict[str, Any]:
    """Return the audit as texts, lists and mappings; counts are whole numbers."""
    return {
        "audited": report.at.isoformat(),
        "overall": report.overall.value,
        "says": report.sentence,
        "folders": [
            {
                "folder": folder.path,
                "origin": folder.origin,
                "entries": folder.entries,
                "newest": folder.last,
                "sessions": folder.sessions,
                "fails": folder.fails,
                "cannot-tell": folder.unknown,
                "warnings": folder.warnings,
            }
            for folder in report.folders
        ],
        "counts": [
            {"check": check, "outcome": outcome.value, "count": count}
            for check, outcome, count in report.counts
        ],
        "findings": [
            {
                "check": f.check,
                "outcome": f.outcome.value,
                "says": f.sentence,
                "folder": f.folder,
                "session": f.session,
                "entry": f.entry,
                "evidence": [{"where": e.where, "note": e.note} for e in f.evidence],
            }
            for f in report.findings
        ],
        "cannot-catch": list(CANNOT_CATCH),
    }


def as_document(report: AuditReport) -> bytes:
    """Return the audit as the JSON document that a countersignature names by its hash."""
    return (json.dumps(as_data(report), indent=1, ensure_ascii=True) + "\n").encode("ascii")

"""The report of an audit as a page: every finding, the worst first, and what no audit can find."""

from __future__ import annotations

from collections.abc import Iterator

from checklist.audit.report import AuditFinding, AuditReport
from checklist.audit.wording import CANNOT_CATCH, HEADINGS, as_document, sentence_of, side_by_side
from checklist.pages.identity import of_bytes
from checklist.pages.page import (
    Block,
    Fixed,
    Grid,
    Heading,
    Labelled,
    Listed,
    Page,
    Signing,
    Together,
    Words,
)
from checklist.record.verifying.report import Outcome

IS_NOT = (
    "This page is no proof that work was done as written: it says what was handed in and what of "
    "it holds."
)
_NOT_SIGNED = (
    "As printed, nobody has countersigned it. standclear audit --countersign NAME keeps the report "
    "in the officer's ledger under the SHA-256 at the foot, signed; that entry, not this sheet, is "
    "the record."
)


def audit_page(report: AuditReport) -> Page:
    """Return the page of an audit; its hash is the one that a countersignature would name."""
    blocks: list[Block] = [
        Words(report.sentence, "strong"),
        Labelled((("Audited", report.at.isoformat(" ", "seconds")),)),
        *_folders(report),
        *(block for outcome in HEADINGS for block in _group(report, outcome)),
        Heading("What this cannot catch", 2),
        Listed(CANNOT_CATCH),
        Together(
            (
                Heading("Signature", 2),
                Words(_NOT_SIGNED),
                Signing(("Safety officer, who has read this sheet",)),
            )
        ),
    ]
    identity = of_bytes("Report of an audit: not on record as printed", as_document(report))
    return Page("Audit of the logs", "Audit report", identity, IS_NOT, tuple(blocks))


def _folders(report: AuditReport) -> Iterator[Block]:
    yield Heading("Log folders", 2)
    rows = tuple(
        (f.path, f.origin or "not known", f.sentence, f.last[:16] or "none") for f in report.folders
    )
    yield Grid(("folder", "ledger", "what was found", "newest entry"), rows, (4, 6, 5, 3))


def _group(report: AuditReport, outcome: Outcome) -> Iterator[Block]:
    counted = [(check, count) for check, o, count in report.counts if o is outcome]
    if not counted:
        return
    yield Heading(f"{HEADINGS[outcome]} ({report.number_of(outcome)})", 2)
    for check, count in counted:
        rows = [f for f in report.findings if (f.check, f.outcome) == (check, outcome)]
        yield from _check(check, count, rows, report)


def _check(
    check: str, count: int, rows: list[AuditFinding], report: AuditReport
) -> Iterator[Block]:
    if not rows:
        yield Listed((f"{check}: {count}",))
        return
    for row in rows:
        if row.evidence:
            yield Listed((f"{check}: {sentence_of(row, report)}",))
            yield Fixed(tuple(side_by_side(row.evidence)))
    alike: dict[str, list[AuditFinding]] = {}
    for row in rows:
        if not row.evidence:
            alike.setdefault(row.sentence, []).append(row)
    yield Listed(tuple(f"{check}: {_once(same, report)}" for same in alike.values()))
    if count > len(rows) and rows[0].outcome is not Outcome.HOLDS:
        yield Listed((f"{check}: {count - len(rows)} more of this kind are not listed.",))


def _once(same: list[AuditFinding], report: AuditReport) -> str:
    """Return a sentence that is found at several places once, with all of them."""
    if len(same) == 1:
        return sentence_of(same[0], report)
    places: dict[str, list[str]] = {}
    for row in same:
        sessions = places.setdefault(row.folder if len(report.folders) > 1 else "", [])
        sessions += [row.session[:10]] if row.session else []
    said = []
    for folder, sessions in places.items():
        word = "sessions" if len(sessions) > 1 else "session"
        named = [f"{word} {', '.join(sessions)}"] if sessions else []
        said.append(", ".join([folder] * bool(folder) + named))
    where = "; ".join(one for one in said if one)
    return f"{same[0].sentence} ({len(same)} times{': ' if where else ''}{where})"

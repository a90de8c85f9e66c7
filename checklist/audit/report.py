"""What an audit found: every check with its outcome and where it was seen, bounded in size."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime

from checklist.record.verifying.report import Outcome, gravest

WORST_FIRST = (Outcome.FAILS, Outcome.CANNOT_TELL, Outcome.WARNING, Outcome.HOLDS)
"""The order in which findings are listed; `cannot tell` is never a pass."""

MOST_LISTED = 200
"""Findings of one check and outcome in one folder that are listed; the rest is counted."""


@dataclass(frozen=True, slots=True)
class Evidence:
    """One of two notes that contradict each other, as it stands where it was found."""

    where: str
    """Whose it is, or which folder's."""

    note: str
    """Its text and signatures."""


@dataclass(frozen=True, slots=True)
class AuditFinding:
    """What one check came to at one place."""

    check: str
    """What was looked at, such as `signatures` or `stops`."""

    outcome: Outcome
    sentence: str
    """One whole sentence for a person."""

    folder: str = ""
    """The log folder's path as given; empty where it is about all folders together."""

    session: str = ""
    """The session that it is about, if it is about one."""

    entry: int = 0
    """The number of the ledger's entry that it is about; 0 where it is about none."""

    evidence: tuple[Evidence, ...] = ()
    """The notes that show it, to be looked at side by side."""


@dataclass(slots=True)
class Tally:
    """Collects findings: lists so many of each kind, counts all. Memory does not grow with time."""

    folder: str = ""
    counts: dict[tuple[str, Outcome], int] = field(default_factory=dict)
    listed: dict[tuple[str, Outcome], list[AuditFinding]] = field(default_factory=dict)

    def add(
        self,
        check: str,
        outcome: Outcome,
        sentence: str,
        *,
        session: str = "",
        entry: int = 0,
        evidence: tuple[Evidence, ...] = (),
    ) -> None:
        """Take one finding in."""
        self.take(AuditFinding(check, outcome, sentence, self.folder, session, entry, evidence))

    def number_of(self, outcome: Outcome) -> int:
        """Return how often any check came to this outcome."""
        return sum(count for (_, found), count in self.counts.items() if found is outcome)

    def take(self, finding: AuditFinding, count: int = 1) -> None:
        """Take a finding in as it is; `count` stands for as many alike."""
        key = (finding.check, finding.outcome)
        self.counts[key] = self.counts.get(key, 0) + count
        rows = self.listed.setdefault(key, [])
        if finding.sentence and len(rows) < MOST_LISTED:
            rows.append(finding)

    def passed(self, check: str, count: int = 1) -> None:
        """Count a check that holds, without listing where."""
        key = (check, Outcome.HOLDS)
        self.counts[key] = self.counts.get(key, 0) + count

    def merge(self, other: Tally) -> None:
        """Take in what another tally of the same folder holds."""
        for key, count in other.counts.items():
            self.counts[key] = self.counts.get(key, 0) + count
            rows = self.listed.setdefault(key, [])
            rows += other.listed.get(key, [])[: MOST_LISTED - len(rows)]

    def hold_unless_found(self, sentences: dict[str, str]) -> None:
        """Say of each check, against which nothing was found, that it holds."""
        found = {check for check, outcome in self.counts if outcome is not Outcome.HOLDS}
        for check, sentence in sentences.items():
            if check not in found:
                self.add(check, Outcome.HOLDS, sentence)


@dataclass(frozen=True, slots=True)
class FolderAudited:
    """One log folder as far as it was audited."""

    path: str
    origin: str
    """Empty where the folder is damaged at its root."""

    entries: int
    """How many entries its ledger has."""

    last: str
    """SHA-256 of the newest entry; empty for an empty ledger, and where it cannot be read."""

    sessions: int
    fails: int = 0
    """Findings about this folder alone that fail; likewise below."""

    unknown: int = 0
    warnings: int = 0

    @property
    def sentence(self) -> str:
        """What was found there, in one line."""
        parts = [
            _times(self.entries, "entry", "entries"),
            _times(self.sessions, "session", "sessions"),
        ]
        if not self.origin:
            parts = ["not read"]
        if self.fails:
            parts.append(_times(self.fails, "finding FAILS", "findings FAIL"))
        if self.unknown:
            parts.append(f"{self.unknown} cannot be told")
        if self.warnings:
            parts.append(_times(self.warnings, "warning", "warnings"))
        return ", ".join(parts)


@dataclass(frozen=True, slots=True)
class AuditReport:
    """Everything that an audit found, the worst first."""

    at: datetime
    folders: tuple[FolderAudited, ...]
    findings: tuple[AuditFinding, ...]
    counts: tuple[tuple[str, Outcome, int], ...]
    """How often each check came to each outcome, listed or not."""

    @property
    def overall(self) -> Outcome:
        """The gravest outcome of all."""
        return gravest(outcome for _, outcome, _ in self.counts)

    def number_of(self, outcome: Outcome) -> int:
        """Return how often any check came to this outcome."""
        return sum(count for _, o, count in self.counts if o is outcome)

    @property
    def sentence(self) -> str:
        """What it comes to, claiming no more than was found."""
        fails, unknown = self.number_of(Outcome.FAILS), self.number_of(Outcome.CANNOT_TELL)
        warnings = self.number_of(Outcome.WARNING)
        if fails:
            said = _times(fails, "finding fails", "findings fail")
            return f"What was handed in does not hold: {said}."
        parts = []
        if unknown:
            parts.append(
                _times(unknown, "question that cannot be told", "questions that cannot be told")
            )
        if warnings:
            parts.append(_times(warnings, "warning", "warnings"))
        if parts:
            return f"No change was found; look at {' and '.join(parts)}."
        return "No change was found in what can be checked."


def report_of(
    at: datetime, folders: Iterable[FolderAudited], tallies: Iterable[Tally]
) -> AuditReport:
    """Return the report over all tallies: findings worst first, then by check and folder."""
    counts: dict[tuple[str, Outcome], int] = {}
    findings: list[AuditFinding] = []
    for tally in tallies:
        for key, count in tally.counts.items():
            counts[key] = counts.get(key, 0) + count
        for rows in tally.listed.values():
            findings += rows
    findings.sort(key=lambda f: (WORST_FIRST.index(f.outcome), f.check, f.folder, f.entry))
    counted = sorted(counts.items(), key=lambda row: (WORST_FIRST.index(row[0][1]), row[0][0]))
    return AuditReport(
        at,
        tuple(folders),
        tuple(findings),
        tuple((check, outcome, count) for (check, outcome), count in counted),
    )


def _times(count: int, one: str, many: str) -> str:
    return f"{count} {one if count == 1 else many}"

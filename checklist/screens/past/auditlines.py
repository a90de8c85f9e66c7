"""The lines of an audit: its folders, what was found in them, and what it cannot catch."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from textual.content import Content

from checklist.audit.report import AuditFinding, AuditReport
from checklist.audit.wording import CANNOT_CATCH, HEADINGS, sentence_of
from checklist.plaintext import shown
from checklist.screens.past.session import broken

MOST = 600
"""Findings of one outcome shown at once; `standclear audit` prints all that are listed."""


@dataclass(frozen=True, slots=True)
class AuditLine:
    """One line of the list."""

    content: Content
    leads_to: AuditFinding | Path | None = None
    """A finding or a folder; None where the line only says something."""

    @property
    def is_said(self) -> bool:
        """Whether it only says something."""
        return self.leads_to is None


@dataclass(frozen=True, slots=True)
class AuditLines:
    """What is known of an audit so far, and the room for it."""

    paths: tuple[Path, ...]
    said: Mapping[str, str]
    """By folder: how far the reading is, then what was found there."""

    only: str
    """The folder whose findings alone are shown; empty for all."""

    report: AuditReport | None
    width: int

    def all(self) -> list[AuditLine]:
        """Return every line: the folders first, then the findings, the worst first."""
        return [*self._folders(), *self._findings(), *self._limits()]

    def _folders(self) -> Iterator[AuditLine]:
        said = "f adds more, x leaves the one at the mark out"
        if self.only:
            said = "ONE SHOWN ALONE; Enter on it shows all"
        yield _heading(f"FOLDERS ({len(self.paths)})   {said}")
        for path in self.paths:
            yield AuditLine(folder_prompt(path, self.said, self.only, self.width), path)

    def _findings(self) -> Iterator[AuditLine]:
        report = self.report
        if report is None:
            return
        for outcome, heading in HEADINGS.items():
            findings = [
                f for f in report.findings
                if f.outcome is outcome and self.only in {"", f.folder}
            ]  # fmt: skip
            count = len(findings) if self.only else report.number_of(outcome)
            if not count:
                continue
            yield _heading(f"{heading} ({count})")
            for finding in findings[:MOST]:
                text = f"  {finding.check}: {sentence_of(finding, report)}"
                yield AuditLine(_lines(text, self.width), finding)

    def _limits(self) -> Iterator[AuditLine]:
        """Yield what no audit can find: it stands below every audit, not only at a key."""
        if self.report is not None:
            yield _heading("WHAT THIS CANNOT CATCH")
            yield from (AuditLine(_lines(f"  {said}", self.width)) for said in CANNOT_CATCH)


def folder_prompt(path: Path, said: Mapping[str, str], only: str, width: int) -> Content:
    """Return how a folder stands, broken into lines; the one that is shown alone has a mark."""
    mark = ">" if str(path) == only else " "
    return _lines(f"{mark} {path}: {said.get(str(path), 'not read yet')}", width)


def _heading(text: str) -> AuditLine:
    return AuditLine(Content(text).stylize("bold"))


def _lines(text: str, width: int) -> Content:
    return Content("\n".join(broken(shown(text), width)))

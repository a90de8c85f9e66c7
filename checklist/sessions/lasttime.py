"""What was answered the last time a rule file was walked here, to be offered again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from checklist.errors import StandclearError
from checklist.record.files.folder import LogFolder
from checklist.record.journals.lines import Line
from checklist.record.ledgers.ledger import Ledger, read_note
from checklist.sessions.past.readevents import events_of
from checklist.sessions.past.sessionfile import read_session_file
from checklist.sessions.past.standing import standing_in
from checklist.walk.answers import Answer

_FARTHEST = 2000
"""Ledger entries that are looked through backward; a club walks a file more often than that."""


@dataclass(frozen=True, slots=True)
class LastTime:
    """The answers of the last walk of a rule file; an offer to look at, never an answer."""

    day: date | None = None
    answers: Mapping[str, Answer] = field(default_factory=dict)
    """Step to the answer that stood at the end, or that corrected it since."""

    @property
    def said(self) -> str:
        """When that was, in a word or two: `12 Oct 2026`."""
        return f"{self.day:%d %b %Y}" if self.day else ""


def last_time(folder: LogFolder, rule_name: str) -> LastTime:
    """Return what stood at the end of the last walk of the rule file that ended with a verdict.

    An offer saves typing and proves nothing, so what cannot be read is no offer, and said
    nowhere: home and review say what is damaged.
    """
    try:
        for name in reversed(Ledger(folder).names()[-_FARTHEST:]):
            entry = read_note(folder, name).entry
            if entry.verdict and entry.session and entry.rule and entry.rule.name == rule_name:
                lines = read_session_file(folder, entry.session).lines
                return LastTime(entry.at.date(), _answers(folder, entry.session, lines))
    except StandclearError:
        return LastTime()
    return LastTime()


def _answers(folder: LogFolder, session: str, lines: tuple[Line, ...]) -> dict[str, Answer]:
    """Return the answers that count today: one that was corrected is not offered as it was."""
    standing = standing_in(folder, session, events_of(lines)[0])
    return {step: one.answer for step, one in standing.items()}

"""What checking a record found: single checks, and what they come to together."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum


class Outcome(Enum):
    """What one check came to. `cannot tell` is never a pass."""

    HOLDS = "holds"
    WARNING = "warning"
    CANNOT_TELL = "cannot tell"
    FAILS = "fails"


_GRAVITY = list(Outcome)


def gravest(outcomes: Iterable[Outcome]) -> Outcome:
    """Return the gravest of the outcomes; where there are none, nothing speaks against it."""
    return max(outcomes, key=_GRAVITY.index, default=Outcome.HOLDS)


@dataclass(frozen=True, slots=True)
class Check:
    """One thing that was looked at."""

    name: str
    """What was checked, such as "hash chain"."""

    subject: str
    """Where: an entry, a session, or the whole ledger."""

    outcome: Outcome
    sentence: str
    """One sentence for a person."""


@dataclass(frozen=True, slots=True)
class Report:
    """Everything that one verification found."""

    checks: tuple[Check, ...]

    @property
    def overall(self) -> Outcome:
        """The gravest outcome of all; without a pinned key this is at best `cannot tell`."""
        return gravest(check.outcome for check in self.checks)

    @property
    def failures(self) -> tuple[Check, ...]:
        """The checks that fail."""
        return tuple(check for check in self.checks if check.outcome is Outcome.FAILS)

    @property
    def sentence(self) -> str:
        """What it comes to, in one sentence that claims no more than was found."""
        count = len(self.failures)
        if count:
            return f"This record does not hold: {count} check{'s fail' if count > 1 else ' fails'}."
        if self.overall is Outcome.CANNOT_TELL:
            return "No change was found; see what cannot be told from this folder alone."
        if self.overall is Outcome.WARNING:
            return "No change was found; what stands as a warning wants a look."
        return "No change was found."


class Findings:
    """Collects what is wrong, and afterwards says of every check without a fault that it holds."""

    def __init__(self) -> None:
        self._checks: list[Check] = []

    def add(self, name: str, subject: str, outcome: Outcome, sentence: str) -> None:
        """Note one finding."""
        self._checks.append(Check(name, subject, outcome, sentence))

    def fail(self, name: str, subject: str, sentence: str) -> None:
        """Note that a check fails."""
        self.add(name, subject, Outcome.FAILS, sentence)

    def require(self, name: str, subject: str, condition: object, otherwise: str) -> bool:
        """Note that a check fails unless `condition`; say whether it held."""
        if not condition:
            self.fail(name, subject, otherwise)
        return bool(condition)

    def hold_rest(self, subject: str, sentences: dict[str, str]) -> None:
        """Say of each named check about `subject` that nothing was found against, that it holds."""
        found = {check.name for check in self._checks if check.subject == subject}
        for name, sentence in sentences.items():
            if name not in found:
                self.add(name, subject, Outcome.HOLDS, sentence)

    def report(self) -> Report:
        """Return everything as it was noted."""
        return Report(tuple(self._checks))

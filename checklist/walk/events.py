"""What can happen in a walk; its state is nothing but the sum of these, in order."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from checklist.rulefile import Verdict
from checklist.walk.answers import Answer
from checklist.walk.judge import Judgement


@dataclass(frozen=True, slots=True)
class Clearing:
    """How a stop was answered: the way taken and the evidence for it."""

    do: str
    """The way, as the rule file words it."""

    evidence: Mapping[str, str]
    """Label to text."""


@dataclass(frozen=True, slots=True)
class Answered:
    """A step was answered."""

    step: str
    answer: Answer
    judgement: Judgement
    at: datetime
    provided: Mapping[str, str]
    """Inputs of a calculation that earlier steps gave, as they stood."""

    clearing: Clearing | None = None
    """Present where the answer before it stopped and this one does not."""


@dataclass(frozen=True, slots=True)
class StopAnswered:
    """A stop was answered by evidence while the answer stays as it is."""

    step: str
    clearing: Clearing
    at: datetime


@dataclass(frozen=True, slots=True)
class WorkStopped:
    """Somebody called a stop of work."""

    reason: str
    at: datetime


@dataclass(frozen=True, slots=True)
class WorkResumed:
    """The work goes on; volatile answers are asked again."""

    at: datetime


@dataclass(frozen=True, slots=True)
class NearMiss:
    """Something went wrong, or nearly."""

    text: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Noted:
    """A note beside a step, or beside the whole walk."""

    step: str
    text: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Attached:
    """A photo or paper was kept, named by its hash."""

    step: str
    sha256: str
    size: int
    name: str
    """The file's own name, as text only."""

    at: datetime


@dataclass(frozen=True, slots=True)
class Reopened:
    """The program was opened again on this walk."""

    at: datetime
    says: str
    """What was found on opening: a torn end, a clock that stepped, changed rules; or empty."""


@dataclass(frozen=True, slots=True)
class Closed:
    """The walk is over."""

    verdict: Verdict
    at: datetime


Event = (
    Answered
    | StopAnswered
    | WorkStopped
    | WorkResumed
    | NearMiss
    | Noted
    | Attached
    | Reopened
    | Closed
)

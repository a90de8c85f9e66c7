"""A rule file as it is meant: steps with resolved limits, conditions and sources."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import timedelta
from enum import StrEnum
from typing import Any

from checklist.calculations.fromstation import StationCalculation
from checklist.calculations.kinds import Calculation
from checklist.quantities import Quantity
from checklist.rulebook import Cited, Source
from checklist.rulefile.conditions import Condition


class Role(StrEnum):
    """The one list of roles."""

    IN_CHARGE = "in charge"
    WORKER = "worker"
    """Climber, or whose hands are inside."""

    HELPER = "helper"
    """Second person; on the ground."""

    SAFETY_OFFICER = "safety officer"


class Effect(StrEnum):
    """What an answer does to the walk."""

    CLEAR = "clear"
    CAUTION = "caution"
    STOP = "stop"


class Verdict(StrEnum):
    """What a walk ends with; never a permission."""

    NO_STOP = "no stop found"
    CAUTIONS = "no stop found, with cautions"
    STOPPED = "stopped"


@dataclass(frozen=True, slots=True)
class Limit:
    """A quantity that a reading is held against, with its citation."""

    quantity: Quantity
    cited: Cited


@dataclass(frozen=True, slots=True)
class Bounds:
    """A reading below the one or above the other has the effect; equal has not."""

    below: Limit | None = None
    above: Limit | None = None


@dataclass(frozen=True, slots=True)
class Confirm:
    """A question whose yes is the safe answer."""

    no: Effect


@dataclass(frozen=True, slots=True)
class Reading:
    """A measured quantity."""

    dimension: str
    example: str
    instrument: str
    """Kind of instrument that must be named; empty where none is."""

    stop: Bounds
    caution: Bounds


@dataclass(frozen=True, slots=True)
class Choice:
    """One of several values."""

    options: Mapping[str, str]
    """Value to label, in the order of the file."""

    stop: frozenset[str]
    caution: frozenset[str]


@dataclass(frozen=True, slots=True)
class Text:
    """Words that are kept; they can be unknown but not wrong."""

    example: str
    emergency_call: bool = False
    """Whether it is what to tell the emergency operator; shown when someone is hurt."""


@dataclass(frozen=True, slots=True)
class People:
    """Who is here, in which role."""

    roles: Mapping[Role, int]
    different: int
    trained: frozenset[Role]


@dataclass(frozen=True, slots=True)
class Tag:
    """Locks and tags hung before the work."""

    each: str
    """What must be locked and tagged, in words."""


@dataclass(frozen=True, slots=True)
class TagsOff:
    """No lock and tag may hang at the isolation points that are named."""

    free: str
    """What must be free of locks and tags, in words."""


@dataclass(frozen=True, slots=True)
class Compute:
    """A calculation, with inputs taken from earlier steps and the rest asked here."""

    calculation: Calculation
    inputs: Mapping[str, str]
    """Calculation input to the step that provides it."""


@dataclass(frozen=True, slots=True)
class OfStation:
    """A calculation over a whole station file, which is named when the step is answered."""

    calculation: StationCalculation


Kind = Confirm | Reading | Choice | Text | People | Tag | TagsOff | Compute | OfStation


@dataclass(frozen=True, slots=True)
class Way:
    """One way to answer a stop: what to do, and the evidence that is kept of it."""

    do: str
    evidence: tuple[str, ...]
    answer_stands: bool = False
    """Whether the evidence answers the stop while the answer stays as it is."""


@dataclass(frozen=True, slots=True)
class Step:
    """One question of a rule file."""

    id: str
    ask: str
    help: str
    kind: Kind
    why: str
    sources: tuple[Source, ...]
    when: Condition | None
    life: timedelta | None
    """How long its answer holds; None where the part's validity decides."""

    may_not_apply: bool
    guards_life: bool
    unknown: Effect
    """What don't know, or a finding that is not shown, does."""

    ways: tuple[Way, ...]
    """How a stop of this step can be answered; empty where nothing answers it."""


@dataclass(frozen=True, slots=True)
class Part:
    """Steps that are walked together: beforehand, or on the spot."""

    name: str
    title: str
    valid: timedelta
    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class Example:
    """Answers and the verdict that they must give."""

    name: str
    answers: Mapping[str, Any]
    """Step to the answer in its written form."""

    verdict: Verdict
    stops: frozenset[str]
    cautions: frozenset[str] | None


@dataclass(frozen=True, slots=True)
class RuleFile:
    """One kind of check, from the first question to who signs."""

    name: str
    title: str
    edition: str
    written_for: str
    about: str
    valid: timedelta
    signers: Mapping[Role, int]
    parts: tuple[Part, ...]
    examples: tuple[Example, ...]

    @property
    def steps(self) -> tuple[Step, ...]:
        """All steps, in the order in which they are walked."""
        return tuple(step for part in self.parts for step in part.steps)

    def step(self, step_id: str) -> Step:
        """Return the step with this id; raises KeyError if there is none."""
        for step in self.steps:
            if step.id == step_id:
                return step
        raise KeyError(step_id)

    def part_of(self, step_id: str) -> Part:
        """Return the part in which a step stands."""
        return next(p for p in self.parts if any(s.id == step_id for s in p.steps))

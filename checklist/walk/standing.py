"""How a walk stands: every step with its status, and the verdict it would end with."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from checklist.rulefile import Effect, Step, Verdict, Way
from checklist.walk.clearing import ways_for
from checklist.walk.events import (
    Answered,
    Attached,
    Clearing,
    Noted,
)


class Status(StrEnum):
    """Where a step stands, in the words that screens show."""

    NOT_ASKED = "not asked"
    WAITS = "waits"
    """It hangs on an earlier step that has no answer yet."""

    OPEN = "open"
    ANSWERED = "answered"
    SET_ASIDE = "does not apply"
    CAUTION = "caution"
    STOP = "STOP"
    STOP_ANSWERED = "stop answered"
    """The answer stops as before, and the evidence that the rule file names was given."""

    EXPIRED = "expired"
    CHANGED = "ask again"
    """A calculation whose inputs from earlier steps have changed since."""


_PENDING = {Status.OPEN, Status.EXPIRED, Status.CHANGED, Status.WAITS}


@dataclass(frozen=True, slots=True)
class StepState:
    """One step as it stands now."""

    step: Step
    status: Status
    history: tuple[Answered, ...] = ()
    """Every answer it was given, oldest first."""

    clearings: tuple[Clearing, ...] = ()
    """How its stops were answered, oldest first."""

    notes: tuple[Noted | Attached, ...] = ()

    @property
    def answered(self) -> Answered | None:
        """The answer in force, if there is one."""
        return self.history[-1] if self.history else None

    @property
    def ways(self) -> tuple[Way, ...]:
        """How the stop of its last answer can be answered; empty where nothing does."""
        return ways_for(self.step, self.answered.answer if self.answered else None)

    @property
    def because(self) -> tuple[str, ...]:
        """Why it stops or cautions."""
        return self.history[-1].judgement.because if self.history else ()

    @property
    def is_pending(self) -> bool:
        """Whether it must still be answered, now or once an earlier step is."""
        return self.status in _PENDING

    @property
    def has_unanswered_stop(self) -> bool:
        """Whether its last answer stopped and no evidence has answered that."""
        last = self.answered
        stopped = last is not None and last.judgement.effect is Effect.STOP
        return stopped and self.status is not Status.STOP_ANSWERED


@dataclass(frozen=True, slots=True)
class Progress:
    """The whole walk at a glance."""

    steps: tuple[StepState, ...]
    work_stopped: bool

    @property
    def verdict(self) -> Verdict:
        """What the walk would end with if nothing more were found."""
        if self.stops:
            return Verdict.STOPPED
        return Verdict.CAUTIONS if self.cautions else Verdict.NO_STOP

    @property
    def asked(self) -> tuple[StepState, ...]:
        """The steps that apply or may come to apply."""
        return tuple(s for s in self.steps if s.status is not Status.NOT_ASKED)

    @property
    def done(self) -> int:
        """How many of them have an answer that holds."""
        return sum(not s.is_pending for s in self.asked)

    @property
    def stops(self) -> tuple[StepState, ...]:
        """Steps whose stop stands; one that expires or waits to be asked again goes on stopping."""
        return tuple(s for s in self.asked if s.has_unanswered_stop)

    @property
    def cautions(self) -> tuple[StepState, ...]:
        """Steps that ask for care, stops answered by evidence among them."""
        return tuple(s for s in self.steps if s.status in (Status.CAUTION, Status.STOP_ANSWERED))

    @property
    def is_complete(self) -> bool:
        """Whether every step that applies has an answer that holds."""
        return not any(s.is_pending for s in self.steps)

    @property
    def next_open(self) -> StepState | None:
        """The first step to answer now."""
        return next((s for s in self.steps if s.is_pending and s.status is not Status.WAITS), None)

    def of(self, step_id: str) -> StepState:
        """Return the state of one step; raises KeyError if there is no such step."""
        for state in self.steps:
            if state.step.id == step_id:
                return state
        raise KeyError(step_id)

"""Folds what has happened in a walk into the state of every step."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from checklist.rulefile import Compute, Effect, RuleFile, Step
from checklist.rulefile.conditions import Fact, Truth, Unsaid
from checklist.walk.answers import Answer, Chosen, DoesNotApply, Measured, Said, Written
from checklist.walk.events import (
    Answered,
    Attached,
    Clearing,
    Event,
    Noted,
    StopAnswered,
    WorkResumed,
    WorkStopped,
)
from checklist.walk.standing import Progress, Status, StepState

_CLOCK_SLACK = timedelta(minutes=2)
"""An answer farther in the future than this says that the clock was set back: it has expired."""


@dataclass(slots=True)
class _Gathered:
    """What the events say about one step, each with its position among all events."""

    history: list[Answered] = field(default_factory=list)
    clearings: list[Clearing] = field(default_factory=list)
    notes: list[Noted | Attached] = field(default_factory=list)
    last_answer: int = -1
    last_evidence: int = -1


def progress(rule_file: RuleFile, events: Sequence[Event], now: datetime) -> Progress:
    """Return where every step of `rule_file` stands at `now` after `events`. Pure."""
    gathered: dict[str, _Gathered] = {step.id: _Gathered() for step in rule_file.steps}
    stopped, asked_again = False, -1
    for position, event in enumerate(events):
        match event:
            case WorkStopped():
                stopped = True
            case WorkResumed():
                stopped, asked_again = False, position
            case _:
                _gather(gathered, event, position)
    latest = _latest_times(events, now)
    answers: dict[str, Answer] = {}
    states: list[StepState] = []
    facts: dict[str, Fact] = {}
    for part in rule_file.parts:
        for step in part.steps:
            seen = gathered[step.id]
            status = _status(step, seen, facts, answers)
            if status not in (Status.NOT_ASKED, Status.WAITS, Status.OPEN) and _is_expired(
                step, step.life or part.valid, seen, latest, asked_again
            ):
                status = Status.EXPIRED
            if seen.history and status is not Status.NOT_ASKED:
                answers[step.id] = seen.history[-1].answer
            facts[step.id] = _fact(status, answers.get(step.id))
            states.append(
                StepState(
                    step, status, tuple(seen.history), tuple(seen.clearings), tuple(seen.notes)
                )
            )
    return Progress(tuple(states), stopped)


def inputs_from_steps(step: Step, answers: Mapping[str, Answer]) -> dict[str, str]:
    """Return the inputs of a calculation step that earlier steps give, as typed there."""
    if not isinstance(step.kind, Compute):
        return {}
    return {name: _as_typed(answers.get(source)) for name, source in step.kind.inputs.items()}


def _gather(gathered: dict[str, _Gathered], event: Event, position: int) -> None:
    step_id = getattr(event, "step", "")
    if step_id not in gathered:
        return
    seen = gathered[step_id]
    match event:
        case Answered():
            seen.history.append(event)
            seen.last_answer = position
            if event.clearing:
                seen.clearings.append(event.clearing)
        case StopAnswered():
            seen.clearings.append(event.clearing)
            seen.last_evidence = position
        case Noted() | Attached():
            seen.notes.append(event)
        case _:
            pass


def _status(
    step: Step, seen: _Gathered, facts: Mapping[str, Fact], answers: Mapping[str, Answer]
) -> Status:
    truth = Truth.TRUE if step.when is None else step.when.truth(facts)
    if truth is Truth.FALSE:
        return Status.NOT_ASKED
    if truth is Truth.OPEN:
        return Status.WAITS
    if not seen.history:
        return Status.WAITS if _waits_for_input(step, facts) else Status.OPEN
    last = seen.history[-1]
    if isinstance(step.kind, Compute) and last.provided != inputs_from_steps(step, answers):
        return Status.CHANGED
    match last.judgement.effect:
        case Effect.STOP:
            return Status.STOP_ANSWERED if seen.last_evidence > seen.last_answer else Status.STOP
        case Effect.CAUTION:
            return Status.CAUTION
        case _:
            aside = isinstance(last.answer, DoesNotApply)
            return Status.SET_ASIDE if aside else Status.ANSWERED


def _waits_for_input(step: Step, facts: Mapping[str, Fact]) -> bool:
    if not isinstance(step.kind, Compute):
        return False
    return any(facts.get(s) is Unsaid.UNANSWERED for s in step.kind.inputs.values())


def _latest_times(events: Sequence[Event], now: datetime) -> list[datetime]:
    """Return for each position the latest time that was seen there or since, `now` among them.

    A clock that was set back after an event cannot make the answers before it younger.
    """
    latest = [now]
    for event in reversed(events):
        latest.append(max(latest[-1], event.at))
    return latest[::-1]


def _is_expired(
    step: Step,
    life: timedelta,
    seen: _Gathered,
    latest: Sequence[datetime],
    asked_again: int,
) -> bool:
    last = seen.history[-1]
    if step.life is not None and seen.last_answer < asked_again:
        return True
    now = latest[-1]
    return latest[seen.last_answer] - last.at > life or last.at - now > _CLOCK_SLACK


def _fact(status: Status, answer: Answer | None) -> Fact:
    if status is Status.NOT_ASKED:
        return Unsaid.NOT_ASKED
    match answer:
        case None:
            return Unsaid.UNANSWERED
        case Said(word="don't know"):
            return Unsaid.DONT_KNOW
        case Said(word=word):
            return word
        case Chosen(value=value):
            return value
        case Measured(quantity=quantity):
            return quantity
        case _:
            return Unsaid.NOT_ASKED


def _as_typed(answer: Answer | None) -> str:
    match answer:
        case Measured(quantity=quantity):
            return quantity.typed or quantity.text()
        case Chosen(value=value):
            return value
        case Written(text=text):
            return text
        case _:
            return "unknown"

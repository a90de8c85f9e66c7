"""The answers of a session, step by step, from the lines of its file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime
from itertools import pairwise

from checklist.record.files.clock import clock_step, step_text
from checklist.record.journals.lines import Line
from checklist.rulefile import Effect, Step
from checklist.sessions.library import Loaded
from checklist.sessions.past.sessionrecord import Cleared, Given, Remark, StepRecord
from checklist.walk.answers import Hung, Present, Sought
from checklist.walk.events import (
    Answered,
    Attached,
    Event,
    NearMiss,
    Noted,
    Reopened,
    StopAnswered,
    WorkResumed,
    WorkStopped,
)
from checklist.walk.progress import progress
from checklist.walk.standing import Status
from checklist.walk.wording import answer_text


def step_records(
    events: Sequence[Event], loaded: Loaded | None, at: datetime
) -> tuple[StepRecord, ...]:
    """Return every step that was answered, in the order of the rule file, as it stood at `at`.

    Without the rules as begun the order is that of the answers, and a step is named by its id.
    """
    gathered = _gathered(events)
    if loaded is None:
        return tuple(_record(step_id, seen, None, "") for step_id, seen in gathered.items())
    records = []
    not_asked = {
        state.step.id
        for state in progress(loaded.rule_file, events, at).steps
        if state.status is Status.NOT_ASKED
    }
    for part in loaded.rule_file.parts:
        for step in part.steps:
            if seen := gathered.pop(step.id, None):
                asked = step.id not in not_asked
                records.append(_record(step.id, seen, step, part.title, was_asked=asked))
    rest = (_record(step_id, seen, None, "") for step_id, seen in gathered.items() if step_id)
    return (*records, *rest)


def remarks(events: Sequence[Event], lines: Sequence[Line]) -> tuple[Remark, ...]:
    """Return what happened beside the steps, with every step of the clock, in order of time."""
    found = [remark for event in events if (remark := _remark(event))]
    for before, after in pairwise(lines):
        if after.number == before.number + 1 and (step := clock_step(before, after)):
            text = f"{step_text(step)} between lines {before.number} and {after.number}"
            found.append(Remark(after.at, "clock", text))
    return tuple(found)


def people_of(events: Sequence[Event]) -> list[str]:
    """Return everybody whom an answer names, each once, in order of naming."""
    names: dict[str, None] = {}
    for event in events:
        if isinstance(event, Answered):
            match event.answer:
                case Present(people=people):
                    names.update(dict.fromkeys(person.name for person in people))
                case Hung(tags=tags):
                    names.update(dict.fromkeys(tag.person for tag in tags))
                case Sought(counted_by=people):
                    names.update(dict.fromkeys(people))
                case _:
                    pass
    return list(names)


@dataclass(slots=True)
class _Seen:
    answers: list[Answered] = field(default_factory=list)
    cleared: list[Cleared] = field(default_factory=list)
    notes: list[Noted | Attached] = field(default_factory=list)
    stop_stands: bool = False


def _gathered(events: Sequence[Event]) -> dict[str, _Seen]:
    gathered: dict[str, _Seen] = {}
    for event in events:
        match event:
            case Answered():
                seen = gathered.setdefault(event.step, _Seen())
                seen.answers.append(event)
                seen.stop_stands = event.judgement.effect is Effect.STOP
                if event.clearing:
                    seen.cleared.append(Cleared(event.at, event.clearing))
            case StopAnswered():
                seen = gathered.setdefault(event.step, _Seen())
                seen.cleared.append(Cleared(event.at, event.clearing))
                seen.stop_stands = False
            case Noted() | Attached():
                gathered.setdefault(event.step, _Seen()).notes.append(event)
            case _:
                pass
    return gathered


def _record(
    step_id: str, seen: _Seen, step: Step | None, part: str, *, was_asked: bool = True
) -> StepRecord:
    return StepRecord(
        step_id,
        step.ask if step else step_id,
        part,
        tuple(Given(event, answer_text(event.answer, step)) for event in seen.answers),
        tuple(seen.cleared),
        tuple(seen.notes),
        seen.stop_stands,
        was_asked,
    )


def _remark(event: Event) -> Remark | None:
    match event:
        case NearMiss(text=text, at=at):
            return Remark(at, "near miss", text)
        case WorkStopped(reason=reason, at=at):
            return Remark(at, "stop of work", reason)
        case WorkResumed(at=at):
            return Remark(at, "the work went on", "")
        case Reopened(says=says, at=at):
            return Remark(at, "opened again", says)
        case Noted(step="", text=text, at=at):
            return Remark(at, "note", text)
        case Attached(step="", name=name, at=at):
            return Remark(at, "file kept", name)
        case _:
            return None

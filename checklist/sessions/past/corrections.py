"""What corrections say, and what a session comes to with them; nothing is written here."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from checklist.errors import StandclearError
from checklist.record.errors import Damaged, EntryRefused
from checklist.record.files.clock import BootTime
from checklist.record.files.strictjson import parse as parse_json
from checklist.record.journals.lines import Line
from checklist.record.journals.states import SessionState
from checklist.record.ledgers.ledger import Recorded
from checklist.record.verifying.report import Outcome
from checklist.rulefile import Compute, Effect, Step
from checklist.sessions.library import Loaded
from checklist.sessions.past.readevents import event_of
from checklist.walk.answers import Answer
from checklist.walk.events import Answered, Closed, Event
from checklist.walk.fitting import misfit
from checklist.walk.judge import judge
from checklist.walk.progress import inputs_from_steps, progress
from checklist.walk.wording import answer_text

CORRECTED = "corrected"
"""The kind of entry."""

NOT_WHOLE = "not shown"
"""What a corrected walk comes to that would have asked more than was answered."""


@dataclass(frozen=True, slots=True)
class Corrected:
    """One correction as an entry of the ledger tells of it."""

    number: int
    step: str
    answer: Answer
    reason: str
    before: str
    """What the session had come to, corrections before this one included."""

    after: str
    """What it comes to with the new answer."""


def corrected_events(
    events: Sequence[Event], loaded: Loaded, corrections: Iterable[tuple[str, Answer]]
) -> tuple[Event, ...]:
    """Return the events with each corrected answer in the place of the last one of its step.

    The step, and every calculation that takes it as an input, is judged again by this
    program against the values as used. Raises EntryRefused for an answer that its step
    cannot take, or a step that had none.
    """
    found = list(events)
    for step_id, answer in corrections:
        at = last_answer(found, step_id)
        step = loaded.rule_file.step(step_id)
        before = found[at]
        if wrong := misfit(step, answer, before.at.date()):
            raise EntryRefused(wrong, where=step.ask, right="Answer as the step asks.")
        _judge_again(found, at, step, answer, loaded)
        for other in loaded.rule_file.steps:
            if isinstance(other.kind, Compute) and step_id in other.kind.inputs.values():
                later = last_answer(found, other.id, needed=False)
                event = found[later] if later >= 0 else None
                if isinstance(event, Answered):
                    _judge_again(found, later, other, event.answer, loaded)
    return tuple(found)


def result_of(events: Sequence[Event], loaded: Loaded) -> str:
    """Return the verdict that these events come to, or `not shown` where a step lacks an answer."""
    at = next((e.at for e in reversed(events) if isinstance(e, Closed)), events[-1].at)
    now = progress(loaded.rule_file, events, at)
    if not now.stops and not now.is_complete:
        return NOT_WHOLE
    return str(now.verdict)


def corrections_of(group: Iterable[Recorded]) -> tuple[Recorded, ...]:
    """Return the corrections among the entries of one session, oldest first."""
    return tuple(recorded for recorded in group if recorded.entry.kind == CORRECTED)


def read_correction(recorded: Recorded) -> Corrected:
    """Return what a correction says; Damaged where it lacks a part or cannot be understood."""
    entry = recorded.entry
    texts = {
        name: entry.field(name) or "" for name in ("step", "answer", "reason", "before", "after")
    }
    missing = [name for name, text in texts.items() if not text]
    if missing:
        raise Damaged(f"correction {entry.number} does not state its {missing[0]}")
    try:
        data: dict[str, Any] = {
            "step": texts["step"],
            "answer": parse_json(texts["answer"].encode())["answer"],
            "judgement": {"effect": str(Effect.CLEAR)},
        }
        event = event_of(Line(1, "", entry.at, BootTime("none", 0), "answered", data))
    except (StandclearError, KeyError) as problem:
        raise Damaged(f"the answer of correction {entry.number} cannot be understood") from problem
    if not isinstance(event, Answered):
        raise Damaged(f"correction {entry.number} holds no answer")
    return Corrected(
        entry.number, texts["step"], event.answer, texts["reason"], texts["before"], texts["after"]
    )


def correction_text(correction: Corrected, loaded: Loaded | None) -> str:
    """Return a correction in one sentence: step, new answer, reason, both results."""
    step = _step(loaded, correction.step)
    ask = step.ask if step else correction.step
    return (
        f"“{ask}” was corrected to {answer_text(correction.answer, step)}: {correction.reason} "
        f"The result was “{correction.before}” and is now “{correction.after}”."
    )


def check_corrections(
    group: Sequence[Recorded], state: SessionState, events: Sequence[Event], loaded: Loaded | None
) -> list[tuple[int, Outcome, str]]:
    """Return for each correction of one session its number, what it came to, and both results.

    One that holds is still a warning: somebody answered wrongly, and the officer looks at it.
    """
    found: list[tuple[int, Outcome, str]] = []
    earlier: list[tuple[str, Answer]] = []
    for recorded in group:
        outcome, said = _check_one(recorded, state, events, loaded, earlier)
        found.append((recorded.entry.number, outcome, said))
    return found


def _check_one(
    recorded: Recorded,
    state: SessionState,
    events: Sequence[Event],
    loaded: Loaded | None,
    earlier: list[tuple[str, Answer]],
) -> tuple[Outcome, str]:
    number = recorded.entry.number
    try:
        correction = read_correction(recorded)
    except Damaged as problem:
        return Outcome.FAILS, problem.sentence()
    earlier.append((correction.step, correction.answer))
    if state.ending is None or recorded.entry.target != state.ending.sha256:
        return Outcome.FAILS, f"Correction {number} does not name the entry that ended the session."
    if not any(signer.is_here for signer in recorded.entry.signers):
        return Outcome.FAILS, f"Correction {number} is signed by nobody."
    said = correction_text(correction, loaded)
    if loaded is None:
        return Outcome.CANNOT_TELL, f"{said} The rules as used cannot be read."
    try:
        now = result_of(corrected_events(events, loaded, earlier), loaded)
    except StandclearError as problem:
        return Outcome.FAILS, f"Correction {number} cannot be followed: {problem.sentence()}"
    if now != correction.after:
        return Outcome.CANNOT_TELL, f"{said} This program makes it “{now}”."
    return Outcome.WARNING, said


def _judge_again(events: list[Event], at: int, step: Step, answer: Answer, loaded: Loaded) -> None:
    event = events[at]
    if not isinstance(event, Answered):
        raise EntryRefused("only an answer is corrected", where=step.ask)
    answers = {e.step: e.answer for e in events if isinstance(e, Answered) and e.step != step.id}
    provided = inputs_from_steps(step, answers)
    judgement = judge(step, answer, provided, loaded.book)
    events[at] = replace(
        event, answer=answer, judgement=judgement, provided=provided, clearing=event.clearing
    )


def last_answer(events: Sequence[Event], step_id: str, *, needed: bool = True) -> int:
    """Return the place of a step's last answer; EntryRefused, or -1, where it had none."""
    for at in range(len(events) - 1, -1, -1):
        event = events[at]
        if isinstance(event, Answered) and event.step == step_id:
            return at
    if needed:
        raise EntryRefused(
            "this step was not answered, so there is nothing to correct",
            where=step_id,
            right="standclear show lists the steps.",
        )
    return -1


def _step(loaded: Loaded | None, step_id: str) -> Step | None:
    if loaded is None:
        return None
    return next((step for step in loaded.rule_file.steps if step.id == step_id), None)

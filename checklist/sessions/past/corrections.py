"""What corrections say, and what a session comes to with them; nothing is written here."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from checklist.errors import StandclearError
from checklist.record.errors import Damaged, EntryRefused
from checklist.record.files.folder import LogFolder
from checklist.record.journals.states import SessionState
from checklist.record.ledgers.ledger import Recorded
from checklist.record.verifying.report import Outcome
from checklist.rulefile import Compute, Step
from checklist.sessions.library import Loaded
from checklist.sessions.past.correctionentry import CORRECTED, Corrected, read_correction
from checklist.walk.answers import Answer
from checklist.walk.events import Answered, Closed, Event
from checklist.walk.fitting import misfit
from checklist.walk.judge import judge
from checklist.walk.progress import inputs_from_steps, progress
from checklist.walk.wording import answer_text

NO_FINDING = "What was found for it was not kept with it. Correct that answer once more."
"""Said of a correction that an earlier version of the program wrote without its finding."""

NOT_WHOLE = "not shown"
"""What a corrected walk comes to that would have asked more than was answered."""


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


def judged_anew(
    before: Sequence[Event], loaded: Loaded, correction: Corrected
) -> tuple[tuple[Event, ...], tuple[Answered, ...]]:
    """Return the events with one more correction, and those of them that it changed.

    Raises EntryRefused as `corrected_events` does.
    """
    after = corrected_events(before, loaded, [(correction.step, correction.answer)])
    pairs = zip(before, after, strict=True)
    return after, tuple(b for a, b in pairs if a != b and isinstance(b, Answered))


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


def correction_text(correction: Corrected, loaded: Loaded | None) -> str:
    """Return a correction in one sentence: step, new answer, reason, both results."""
    step = _step(loaded, correction.step)
    ask = step.ask if step else correction.step
    reason = correction.reason.rstrip(". ")
    return (
        f"“{ask}” was corrected to {answer_text(correction.answer, step)}: {reason}. "
        f"The result was “{correction.before}” and is now “{correction.after}”."
    )


def check_corrections(
    folder: LogFolder,
    group: Sequence[Recorded],
    state: SessionState,
    events: Sequence[Event],
    loaded: Loaded | None,
) -> list[tuple[int, Outcome, str]]:
    """Return for each correction of one session its number, what it came to, and both results.

    One that holds is still a warning: somebody answered wrongly, and the officer looks at it.
    """
    found: list[tuple[int, Outcome, str]] = []
    earlier: list[Corrected] = []
    for recorded in group:
        outcome, said = _check_one(folder, recorded, state, events, loaded, earlier)
        found.append((recorded.entry.number, outcome, said))
    return found


def _check_one(
    folder: LogFolder,
    recorded: Recorded,
    state: SessionState,
    events: Sequence[Event],
    loaded: Loaded | None,
    earlier: list[Corrected],
) -> tuple[Outcome, str]:
    number = recorded.entry.number
    try:
        correction = read_correction(recorded, folder)
    except Damaged as problem:
        return Outcome.FAILS, problem.sentence()
    earlier.append(correction)
    if state.ending is None or recorded.entry.target != state.ending.sha256:
        return Outcome.FAILS, f"Correction {number} does not name the entry that ended the session."
    if not any(signer.is_here for signer in recorded.entry.signers):
        return Outcome.FAILS, f"Correction {number} is signed by nobody."
    said = correction_text(correction, loaded)
    if loaded is None:
        return Outcome.CANNOT_TELL, f"{said} The rules as used cannot be read."
    if not all(one.is_followable for one in earlier):
        return Outcome.CANNOT_TELL, f"{said} {NO_FINDING}"
    try:
        answers = [(one.step, one.answer) for one in earlier]
        now = result_of(corrected_events(events, loaded, answers), loaded)
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

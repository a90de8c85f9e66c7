"""Corrections of a finished session: entries that are added, signed, and change nothing before.

A correction names the entry that ended the session, the step, the new answer and the reason.
The walk is judged again with that answer in the place of the old one, and both results stay.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from checklist.errors import StandclearError
from checklist.plaintext import accept, says_something
from checklist.record.clock import BootTime
from checklist.record.entries import Draft
from checklist.record.errors import Damaged, EntryRefused
from checklist.record.folder import LogFolder
from checklist.record.ledger import LOCK, Ledger, Recorded
from checklist.record.lines import Line
from checklist.record.report import Outcome
from checklist.record.states import SessionState, State, state_of
from checklist.record.strictjson import dump
from checklist.record.strictjson import parse as parse_json
from checklist.rulefile import Compute, Effect, Step
from checklist.sessions.library import Loaded
from checklist.sessions.opening import rules_kept
from checklist.sessions.readevents import event_of, events_of
from checklist.sessions.sessionfile import is_as_ended, read_bytes, read_session_file
from checklist.walk.answers import Answer
from checklist.walk.events import Answered, Closed, Event
from checklist.walk.fitting import misfit
from checklist.walk.judge import judge
from checklist.walk.progress import inputs_from_steps, progress
from checklist.walk.stored import as_data
from checklist.walk.wording import answer_text

if TYPE_CHECKING:
    from checklist.record.seal import Signing

CORRECTED = "corrected"
"""The kind of entry."""

NOT_WHOLE = "not shown"
"""What a corrected walk comes to that would have asked more than was answered."""


@dataclass(frozen=True, slots=True)
class Finished:
    """A session that has ended, as it stands in its file."""

    state: SessionState
    ending: Recorded
    events: tuple[Event, ...]
    loaded: Loaded


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


def finished(folder: LogFolder, session_id: str) -> Finished:
    """Return a session that may be corrected.

    Raises EntryRefused where it has not ended with a verdict, Damaged where its file is not
    the one that was signed, StandclearError where its rules cannot be read.
    """
    state = state_of(Ledger(folder).of_session(session_id))
    if state.ending is None or state.state not in {State.SEALED, State.SIGNATURE_MISSING}:
        raise EntryRefused(
            f"it is {state.state.value}, and only a finished session is corrected",
            where=f"session {session_id[:8]}",
            right="Change the answer in the walk itself, or begin a new walk.",
        )
    data, problem = read_bytes(folder, session_id)
    file = read_session_file(folder, session_id)
    if problem or file.problem or file.first is None or not is_as_ended(data, state):
        raise Damaged(
            problem or file.problem or "the session file is not the one that was signed",
            where=f"session {session_id[:8]}",
            right="Restore it from a copy; a changed session is not corrected.",
        )
    events, unknown = events_of(file.lines)
    if unknown:
        raise Damaged(unknown[0][:300], where=f"session {session_id[:8]}")
    return Finished(state, state.ending, tuple(events), rules_kept(folder, file.first))


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
        at = _last_answer(found, step_id)
        step = loaded.rule_file.step(step_id)
        before = found[at]
        if wrong := misfit(step, answer, before.at.date()):
            raise EntryRefused(wrong, where=step.ask, right="Answer as the step asks.")
        _judge_again(found, at, step, answer, loaded)
        for other in loaded.rule_file.steps:
            if isinstance(other.kind, Compute) and step_id in other.kind.inputs.values():
                later = _last_answer(found, other.id, needed=False)
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


def correct(
    folder: LogFolder, session_id: str, step_id: str, answer: Answer, reason: str, signer: Signing
) -> Recorded:
    """Add a correction, signed, and return its entry; nothing that stands is changed.

    Raises EntryRefused where the reason says nothing, nobody signs, or the answer cannot be
    taken; see also `finished`.
    """
    said = accept(reason, field="reason")
    if not says_something(said):
        raise EntryRefused("no reason is given", where="reason", right="Say what was wrong.")
    person = signer.as_signer()
    if signer.key is None:
        raise EntryRefused("a correction needs a signature", right="Open your key to sign.")
    known = finished(folder, session_id)
    with folder.lock(LOCK):
        ledger = Ledger(folder)
        group = ledger.of_session(session_id)
        earlier = [(c.step, c.answer) for c in map(read_correction, corrections_of(group))]
        before = result_of(corrected_events(known.events, known.loaded, earlier), known.loaded)
        events = corrected_events(known.events, known.loaded, [*earlier, (step_id, answer)])
        fields = (
            ("step", step_id),
            ("answer", _packed(events, step_id)),
            ("reason", said),
            ("before", before),
            ("after", result_of(events, known.loaded)),
        )
        draft = Draft(
            CORRECTED, session_id, target=known.ending.sha256, signers=(person,), fields=fields
        )
        return ledger.append_held(draft, [signer.key])


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


def _last_answer(events: Sequence[Event], step_id: str, *, needed: bool = True) -> int:
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


def _packed(events: Sequence[Event], step_id: str) -> str:
    event = events[_last_answer(events, step_id)]
    return dump({"answer": as_data(event)[1]["answer"]}).decode()


def _step(loaded: Loaded | None, step_id: str) -> Step | None:
    if loaded is None:
        return None
    return next((step for step in loaded.rule_file.steps if step.id == step_id), None)

"""What a session says: stops and how they were answered, what was set aside, what is unverified."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from checklist.audit.report import Tally
from checklist.errors import StandclearError
from checklist.plaintext import says_something
from checklist.record.verifying.report import Outcome
from checklist.rulefile import Effect, Verdict
from checklist.sessions.library import Loaded
from checklist.sessions.past.sessionrecord import StepRecord
from checklist.sessions.past.steprecords import step_records
from checklist.walk.answers import DONT_KNOW, DoesNotApply
from checklist.walk.events import Answered, Closed, Event, NearMiss, WorkStopped
from checklist.walk.progress import progress
from checklist.walk.wording import clearing_text


def check_content(
    events: Sequence[Event], loaded: Loaded | None, verdict: str, session: str, tally: Tally
) -> None:
    """Note what the answers of one session tell; `verdict` is the signed one, or empty."""
    if not events:
        return
    at = events[-1].at
    steps = step_records(events, loaded, at)
    for step in steps:
        _check_stops(step, verdict, session, tally)
        _check_set_aside(step, session, tally)
    for sentence in _unverified(events):
        tally.add("values", Outcome.WARNING, sentence, session=session)
    for event in events:
        if isinstance(event, NearMiss):
            tally.add(
                "near misses", Outcome.WARNING, f"A near miss was reported: {_line(event.text)}",
                session=session,
            )  # fmt: skip
        elif isinstance(event, WorkStopped):
            tally.add(
                "stops", Outcome.HOLDS, f"A stop of work was called: {_line(event.reason)}",
                session=session,
            )  # fmt: skip
    _check_verdict(events, loaded, verdict, session, tally)


def _check_stops(step: StepRecord, verdict: str, session: str, tally: Tally) -> None:
    stopped = [given for given in step.answers if given.event.judgement.effect is Effect.STOP]
    if not stopped or not step.was_asked:
        return
    because = (said.removesuffix(".") for said in stopped[-1].event.judgement.because)
    why = "; ".join(because) or stopped[-1].text
    if not step.stop_stands:
        how = "; ".join(_line(clearing_text(cleared.clearing)) for cleared in step.cleared)
        if how:
            said = f"“{step.ask}” stopped ({why}) and was answered by: {how}"
            tally.add("stops", Outcome.HOLDS, said, session=session)
        else:
            said = f"“{step.ask}” stopped ({why}), and later does not, without any evidence."
            tally.add("stops", Outcome.FAILS, said, session=session)
    elif verdict in {Verdict.NO_STOP, Verdict.CAUTIONS}:
        said = f"“{step.ask}” stops ({why}), and the session ended as “{verdict}”."
        tally.add("stops", Outcome.FAILS, said, session=session)
    elif verdict:
        said = f"“{step.ask}” stopped ({why}); the session ended as stopped."
        tally.add("stops", Outcome.HOLDS, said, session=session)
    else:
        said = f"“{step.ask}” stops ({why}); the session came to no verdict."
        tally.add("stops", Outcome.WARNING, said, session=session)


def _check_set_aside(step: StepRecord, session: str, tally: Tally) -> None:
    last = step.answers[-1].event if step.answers else None
    if last is None or not step.was_asked:
        return
    if isinstance(last.answer, DoesNotApply):
        has_reason = says_something(last.answer.reason)
        outcome = Outcome.HOLDS if has_reason else Outcome.WARNING
        reason = last.answer.reason if has_reason else "no reason was given"
        said = f"“{step.ask}” was set aside as not applying: {reason}"
        tally.add("set aside", outcome, said, session=session)
    elif last.answer == DONT_KNOW:
        said = f"“{step.ask}” was answered with don't know: nothing is shown by it."
        tally.add("not known", Outcome.WARNING, said, session=session)


def _unverified(events: Sequence[Event]) -> Iterator[str]:
    """Yield a sentence for each value from memory, or laxer club value, that an answer met."""
    used = {
        cited for event in events if isinstance(event, Answered) for cited in event.judgement.used
    }
    for cited in sorted(used, key=lambda c: c.means):
        if cited.is_unverified:
            yield f"An answer rests on an unverified value: {cited.means}, {cited.value}."
        if cited.is_eased:
            yield f"An answer was held against a club value: {cited.means}, {cited.club_note}."


def _check_verdict(
    events: Sequence[Event], loaded: Loaded | None, verdict: str, session: str, tally: Tally
) -> None:
    """Fold the answers anew and see that they come to what was signed."""
    closed = next((event for event in reversed(events) if isinstance(event, Closed)), None)
    if closed is None or not verdict:
        return
    if loaded is None:
        said = "The rules as used cannot be read, so whether the verdict follows cannot be told."
        tally.add("verdict", Outcome.CANNOT_TELL, said, session=session)
        return
    try:
        now = progress(loaded.rule_file, events, closed.at)
    except StandclearError as problem:
        tally.add("verdict", Outcome.CANNOT_TELL, problem.sentence(), session=session)
        return
    if now.verdict != verdict:
        said = f"“{verdict}” was signed; the answers come to “{now.verdict}”."
        tally.add("verdict", Outcome.FAILS, said, session=session)
    elif verdict != Verdict.STOPPED and not now.is_complete:
        said = f"“{verdict}” was signed while a step was open or its answer had expired."
        tally.add("verdict", Outcome.FAILS, said, session=session)
    else:
        tally.passed("verdict")


def _line(text: str) -> str:
    return " / ".join(text.splitlines())

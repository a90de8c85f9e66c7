"""A walk in whole lines for those who sign it: what stopped, what cleared it, what was said."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from checklist.rulebook import Cited
from checklist.rulefile import Effect
from checklist.walk.answers import DoesNotApply
from checklist.walk.events import NearMiss, WorkResumed, WorkStopped
from checklist.walk.standing import Progress, StepState
from checklist.walk.walk import Walk
from checklist.walk.wording import RESTS_ON, answer_text, clearing_text


def summary_lines(walk: Walk, now: datetime) -> list[str]:
    """Return what is signed, the weightiest first; every answer is in it, changed ones twice."""
    progress = walk.progress(now)
    lines = [f"Verdict: {progress.verdict}.", RESTS_ON]
    for title, found in (
        ("STOPS THAT STAND", _stops(progress)),
        ("STOPS THAT WERE ANSWERED", _answered_stops(progress)),
        ("CAUTIONS", _cautions(progress)),
        ("SET ASIDE AS NOT APPLYING", _set_aside(progress)),
        ("VALUES FROM MEMORY, UNVERIFIED", _unverified(progress)),
        ("CLUB VALUES IN THE PLACE OF SHIPPED ONES", _club_values(progress)),
        ("REPORTED", _reported(walk)),
        ("STILL OPEN", _open(progress)),
        ("ALL ANSWERS", _all(progress)),
    ):
        rows = list(found)
        if rows:
            lines += ["", title, *rows]
    return lines


def _stops(progress: Progress) -> Iterator[str]:
    for state in progress.stops:
        yield f"  STOP  {state.step.ask}"
        yield from (f"        {sentence}" for sentence in state.because)


def _answered_stops(progress: Progress) -> Iterator[str]:
    for state in progress.asked:
        if not state.clearings:
            continue
        yield f"  {state.step.ask}"
        for given in state.history:
            word = "STOP" if given.judgement.effect is Effect.STOP else "then"
            yield f"    {given.at:%H:%M}  {word}  {answer_text(given.answer, state.step)}"
        yield from (f"    answered by: {clearing_text(c)}" for c in state.clearings)


def _cautions(progress: Progress) -> Iterator[str]:
    for state in progress.cautions:
        yield f"  {state.step.ask}"
        yield from (f"    {sentence}" for sentence in state.because)


def _set_aside(progress: Progress) -> Iterator[str]:
    for state in progress.asked:
        if state.answered and isinstance(state.answered.answer, DoesNotApply):
            yield f"  {state.step.ask} {state.answered.answer.reason}"


def _unverified(progress: Progress) -> Iterator[str]:
    seen = {}
    for state in progress.asked:
        for cited in _used(state):
            if cited.is_unverified:
                seen[cited.address] = f"  {cited.means}: {cited.value} ({cited.citation})"
    yield from seen.values()


def _club_values(progress: Progress) -> Iterator[str]:
    seen = {c: None for state in progress.asked for c in _used(state) if c.replaced}
    yield from (f"  {cited.means}: {cited.club_note} ({cited.citation})" for cited in seen)


def _used(state: StepState) -> tuple[Cited, ...]:
    return state.answered.judgement.used if state.answered else ()


def _reported(walk: Walk) -> Iterator[str]:
    for event in walk.events:
        match event:
            case NearMiss(text=text):
                yield f"  {event.at:%H:%M}  near miss: {text}"
            case WorkStopped(reason=reason):
                yield f"  {event.at:%H:%M}  stop of work: {reason}"
            case WorkResumed():
                yield f"  {event.at:%H:%M}  the work went on"
            case _:
                pass


def _open(progress: Progress) -> Iterator[str]:
    yield from (f"  {s.step.ask}" for s in progress.asked if s.is_pending)


def _all(progress: Progress) -> Iterator[str]:
    for state in progress.asked:
        for given in state.history:
            yield f"  {given.at:%H:%M}  {state.step.ask}  {answer_text(given.answer, state.step)}"

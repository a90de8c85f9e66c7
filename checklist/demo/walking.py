"""Walks a rule file of the invented year through the same doors as the screens and the shell."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import timedelta
from typing import Any

from checklist.demo.cast import CLUB, Laptop, laptop
from checklist.demo.club import Club
from checklist.demo.founding import STATION
from checklist.demo.happenings import End, Walked
from checklist.record.journals.seal import Signing, abandon
from checklist.rulefile import Effect, Example, OfStation, Reading, Step, Text
from checklist.sessions.closing import places, seal_walk
from checklist.sessions.opening import begin
from checklist.sessions.session import Session
from checklist.walk.answers import Answer
from checklist.walk.clearing import ways_for
from checklist.walk.entry import read_answer
from checklist.walk.events import Clearing
from checklist.walk.standing import StepState

_MOST_ANSWERS = 150
_TRAINED = re.compile(r"trained \d{4}-\d\d-\d\d")
_TRAINED_AGO = timedelta(days=30)


def walk(club: Club, wanted: Walked) -> None:
    """Begin, answer, and end one walk as it is described."""
    session = begin(club.desks[wanted.laptop], wanted.rule).session
    club.sessions[wanted.nick] = session.id
    where = laptop(wanted.laptop)
    club.calendar.pass_time(20)
    session.note("", f"{CLUB}, at {where.place}. This session is invented.")
    _answer_all(club, session, wanted, where)
    if wanted.near_miss:
        club.calendar.pass_time(60)
        session.near_miss(wanted.near_miss)
    club.calendar.pass_time(120)
    if wanted.end is End.LEFT:
        session.close()
    elif wanted.end is End.GIVEN_UP:
        session.close()
        abandon(club.logs(wanted.laptop), session.id, "It began to rain; done another day.")
    else:
        seal_walk(session, _signers(club, session, wanted))


def _answer_all(club: Club, session: Session, wanted: Walked, where: Laptop) -> None:
    example = _example(session, wanted.example)
    first = dict(wanted.at_first)
    clock = club.clocks[wanted.laptop]
    for given in range(_MOST_ANSWERS):
        state = session.progress().next_open
        if state is None or (wanted.after and given >= wanted.after):
            return
        if given == 3:
            clock.wrong_by += wanted.clock_step
        club.calendar.pass_time(club.chance.between(15, 70))
        if state.step.id in first:
            _stop_and_answer(club, session, wanted, state, first.pop(state.step.id))
            continue
        answer = _answer(club, session, wanted, where, state.step, example)
        event = session.answer(state.step.id, answer)
        if event.judgement.effect is Effect.STOP:
            return
    raise AssertionError(f"the walk {wanted.nick} does not end")


def _stop_and_answer(
    club: Club, session: Session, wanted: Walked, state: StepState, typed: Any
) -> None:
    """Give an answer that stops, then the right one with the evidence of what changed."""
    step = state.step
    where = laptop(wanted.laptop)
    stopping = _read(step, typed, where, club)
    session.answer(step.id, stopping)
    club.calendar.pass_time(900)
    way = next(w for w in ways_for(step, stopping) if not w.answer_stands)
    clearing = Clearing(way.do, dict.fromkeys(way.evidence, wanted.because))
    right = _answer(club, session, wanted, where, step, _example(session, wanted.example))
    session.answer(step.id, right, clearing)


def _answer(
    club: Club, session: Session, wanted: Walked, where: Laptop, step: Step, example: Example
) -> Answer:
    if step.id in wanted.answers:
        return _read(step, wanted.answers[step.id], where, club)
    if step.id not in example.answers:
        raise AssertionError(f"{wanted.nick}: the step {step.id} has no answer")
    return _read(step, example.answers[step.id], where, club)


def _read(step: Step, typed: Any, where: Laptop, club: Club) -> Answer:
    """Return the answer, with this club's people, place, instruments and station file in it."""
    here = _here(typed, where, f"trained {club.calendar.at - _TRAINED_AGO:%Y-%m-%d}")
    if isinstance(step.kind, Text) and step.kind.emergency_call and typed != "don't know":
        here = f"{CLUB}, {where.place}"
    if isinstance(step.kind, OfStation) and isinstance(here, Mapping) and "outcome" in here:
        here = {"file": str(club.folder / where.name / STATION)}
    instrument = ""
    if isinstance(step.kind, Reading) and step.kind.instrument:
        instrument = f"{step.kind.instrument} 2, invented"
    return read_answer(step, here, instrument=instrument)


def _here(typed: Any, where: Laptop, trained: str) -> Any:
    """Return what an example says with the people of this place, and training of this year."""
    if isinstance(typed, Mapping):
        return {name: _here(value, where, trained) for name, value in typed.items()}
    if isinstance(typed, list | tuple):
        return [_here(value, where, trained) for value in typed]
    if not isinstance(typed, str):
        return typed
    names = "|".join(map(re.escape, where.instead))
    text = re.sub(names, lambda found: where.instead[found[0]], typed) if names else typed
    return _TRAINED.sub(trained, text)


def _example(session: Session, name: str) -> Example:
    examples = session.walk.rule_file.examples
    return next(one for one in examples if not name or one.name == name)


def _signers(club: Club, session: Session, wanted: Walked) -> list[Signing]:
    """Return everybody who signs; the last one is away where the walk ends so."""
    named = iter(wanted.signers)
    found = []
    for place in places(session):
        person = place.suggested or next(named)
        found.append(club.signing(wanted.laptop, person, place.role))
    if wanted.end is End.ONE_MISSING:
        last = found[-1]
        known = last.key.public if last.key else ""
        found[-1] = Signing(last.person, last.role, known_key=known)
    return found

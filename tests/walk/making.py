"""Walks over the small rule file of the rule-file tests, begun at a fixed time."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

from checklist.rulefile import Reading, RuleFile
from checklist.walk.answers import Answer
from checklist.walk.entry import read_answer
from checklist.walk.events import Clearing
from checklist.walk.standing import Status, StepState
from checklist.walk.walk import Walk
from tests.rulefile.making import book, small

START = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)

GOOD: dict[str, Any] = dict(small().examples[0].answers)
"""Answers of which none stops or cautions, in the order of the file."""


def at(minutes: float = 0) -> datetime:
    """Return the time so many minutes after the start."""
    return START + timedelta(minutes=minutes)


def new(rules: RuleFile | None = None) -> Walk:
    """Return a walk in which nothing has happened."""
    return Walk(rules or small(), book())


def answer(walk: Walk, step_id: str, typed: Any) -> Answer:
    """Return what was typed as an answer to the step; the instrument is named where needed."""
    step = walk.rule_file.step(step_id)
    instrument = step.kind.instrument if isinstance(step.kind, Reading) else ""
    return read_answer(step, typed, instrument=instrument)


def say(walk: Walk, step_id: str, typed: Any, minutes: float = 0, *, why: str = "") -> Walk:
    """Return the walk after an answer; `why` is the evidence for a stop that it answers."""
    clearing = clearing_for(walk, step_id, why) if why else None
    given = answer(walk, step_id, typed)
    return walk.with_event(walk.answered(step_id, given, at(minutes), clearing))


def clearing_for(walk: Walk, step_id: str, text: str, *, stands: bool = False) -> Clearing:
    """Return a clearing that takes the first fitting way, with `text` for all its evidence."""
    ways = walk.rule_file.step(step_id).ways
    way = next(way for way in ways if way.answer_stands is stands)
    return Clearing(way.do, dict.fromkeys(way.evidence, text))


def walked(minutes: float = 0, **other: Any) -> Walk:
    """Return a walk with every step that applies answered, by GOOD and by `other` (a_b is a-b)."""
    typed = GOOD | {key.replace("_", "-"): value for key, value in other.items()}
    walk = new()
    while state := walk.progress(at(minutes)).next_open:
        walk = say(walk, state.step.id, typed[state.step.id], minutes)
    return walk


def state(walk: Walk, step_id: str, minutes: float = 0) -> StepState:
    """Return where one step stands."""
    return walk.progress(at(minutes)).of(step_id)


def status(walk: Walk, step_id: str, minutes: float = 0) -> Status:
    """Return the state of one step in a word."""
    return state(walk, step_id, minutes).status

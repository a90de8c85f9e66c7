"""Runs the examples of a rule file: the answers must give the verdict that the author states."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from checklist.errors import StandclearError
from checklist.rulebook import Book
from checklist.rulefile import Example, Reading, RuleFile, Step
from checklist.walk.answers import Answer
from checklist.walk.entry import read_answer
from checklist.walk.walk import Walk

_ANY_DAY = datetime(9000, 1, 1, tzinfo=UTC)
"""After every training date that an example can give."""


@dataclass(frozen=True, slots=True)
class ExampleResult:
    """What one example gave; `wrong` is empty where it gave what it must."""

    name: str
    verdict: str
    wrong: tuple[str, ...]


def run_example(rule_file: RuleFile, example: Example, book: Book) -> ExampleResult:
    """Walk `example` and compare it with what it states; never raises for bad answers."""
    walk = Walk(rule_file, book)
    wrong: list[str] = []
    left = dict(example.answers)
    while state := walk.progress(_ANY_DAY).next_open:
        if state.step.id not in left:
            wrong.append(f"the step “{state.step.id}” applies and has no answer")
            break
        try:
            answer = _answer(state.step, left.pop(state.step.id))
            walk = walk.with_event(walk.answered(state.step.id, answer, _ANY_DAY))
        except StandclearError as error:
            wrong.append(f"{state.step.id}: {error.sentence()}")
            break
    return _compared(walk, example, wrong)


def _answer(step: Step, written: Any) -> Answer:
    """Return the answer of an example; the kind of instrument stands for the instrument."""
    instrument = step.kind.instrument if isinstance(step.kind, Reading) else ""
    return read_answer(step, written, instrument=instrument)


def _compared(walk: Walk, example: Example, wrong: list[str]) -> ExampleResult:
    progress = walk.progress(_ANY_DAY)
    if wrong:
        return ExampleResult(example.name, progress.verdict, tuple(wrong))
    if progress.verdict != example.verdict:
        reasons = [
            f"{s.step.id} ({'; '.join(s.because)})" for s in progress.stops + progress.cautions
        ]
        wrong.append(
            f"gives “{progress.verdict}”, must give “{example.verdict}”: {', '.join(reasons)}"
        )
    stops = {s.step.id for s in progress.stops}
    if stops != example.stops:
        wrong.append(f"stops at {_list(stops)}, must stop at {_list(example.stops)}")
    cautions = {s.step.id for s in progress.cautions}
    if example.cautions is not None and cautions != example.cautions:
        wrong.append(f"cautions at {_list(cautions)}, must at {_list(example.cautions)}")
    return ExampleResult(example.name, progress.verdict, tuple(wrong))


def _list(ids: set[str] | frozenset[str]) -> str:
    return ", ".join(sorted(ids)) or "nothing"

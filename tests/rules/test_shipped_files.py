"""The two shipped rule files: complete, sourced, short enough, and right in every example."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

import pytest

from checklist.calculations import CALCULATIONS
from checklist.quantities import parse_quantity
from checklist.rulebook import Standing
from checklist.rulefile import (
    Choice,
    Compute,
    Confirm,
    Effect,
    Example,
    Limit,
    People,
    Reading,
    RuleFile,
    Step,
    Tag,
    Verdict,
    load_rule_file,
)
from checklist.shipped import shipped_rules
from checklist.walk.answers import Hung, Inputs, Present
from checklist.walk.examples import run_example
from checklist.walk.progress import Progress, StepState
from checklist.walk.walk import Walk
from tests.rulefile.making import book
from tests.walk.making import answer, at

NAMES = ("emergency-power", "tower-work")
ON_THE_SPOT = 18
"""Steps on the spot on any path: more are not walked in gloves and rain."""

INPUTS = 40
"""Inputs that two people new to it give on the climbing path before they sign."""


@cache
def rules(name: str) -> RuleFile:
    text = (shipped_rules() / "checks" / f"{name}.yaml").read_text(encoding="utf-8")
    return load_rule_file(text, f"{name}.yaml", book(), CALCULATIONS)


@cache
def end_of(name: str, example: str) -> Progress:
    """Return where the walk stands after the answers of an example."""
    answers = dict(next(e.answers for e in rules(name).examples if e.name == example))
    walk = Walk(rules(name), book())
    while state := walk.progress(at()).next_open:
        typed = answers[state.step.id]
        event = walk.answered(state.step.id, answer(walk, state.step.id, typed), at())
        walk = walk.with_event(event)
    return walk.progress(at())


def examples() -> list[tuple[str, Example]]:
    return [(name, example) for name in NAMES for example in rules(name).examples]


def _id(value: object) -> str:
    return value.name if isinstance(value, Example) else str(value)


@pytest.mark.parametrize(("name", "example"), examples(), ids=_id)
def test_every_example_gives_the_verdict_it_states(name: str, example: Example) -> None:
    """With just the stops, and where named just the cautions, that it states."""
    result = run_example(rules(name), example, book())

    assert result.wrong == ()
    assert result.verdict == example.verdict


def _can_stop(step: Step) -> bool:
    match step.kind:
        case Confirm(no=effect):
            return effect is Effect.STOP
        case People() | Tag() | Compute():
            return True
        case Reading() | Choice():
            return bool(step.ways) or step.unknown is Effect.STOP
        case _:
            return step.unknown is Effect.STOP


@pytest.mark.parametrize("name", NAMES)
def test_every_step_that_can_stop_stops_in_an_example(name: str) -> None:
    """And each file has examples of all three verdicts."""
    stopping = {step.id for step in rules(name).steps if _can_stop(step)}
    shown = {step_id for example in rules(name).examples for step_id in example.stops}

    assert stopping - shown == set()
    assert {example.verdict for example in rules(name).examples} == set(Verdict)


@pytest.mark.parametrize("name", NAMES)
def test_every_value_of_a_choice_that_stops_or_cautions_is_in_an_example(name: str) -> None:
    """No value's effect goes untried."""
    for step in rules(name).steps:
        if isinstance(step.kind, Choice):
            tried = {e.answers.get(step.id) for e in rules(name).examples}

            assert (step.kind.stop | step.kind.caution) - tried == set(), step.id


@pytest.mark.parametrize("name", NAMES)
def test_every_step_is_asked_in_an_example_without_a_stop(name: str) -> None:
    """Each step can be passed; nothing in the files stops whatever is answered."""
    passed = {
        state.step.id
        for example in rules(name).examples
        if example.verdict is not Verdict.STOPPED
        for state in end_of(name, example.name).asked
    }
    never = {step.id for step in rules(name).steps} - passed

    assert never <= {"indoors-picture"}


@pytest.mark.parametrize(("name", "example"), examples(), ids=_id)
def test_at_most_eighteen_steps_are_asked_on_the_spot(name: str, example: Example) -> None:
    """On the path of every example, those that answer `don't know` to what is done among them."""
    asked = {state.step.id for state in end_of(name, example.name).asked}
    spot = [s.id for s in rules(name).parts[1].steps if s.id in asked]

    assert len(spot) <= ON_THE_SPOT, spot


def _limits(step: Step) -> Iterator[Limit]:
    if isinstance(step.kind, Reading):
        bounds = (step.kind.stop, step.kind.caution)
        yield from (x for b in bounds for x in (b.below, b.above) if x is not None)


@pytest.mark.parametrize("name", NAMES)
def test_every_limit_stands_in_a_table_with_its_citation(name: str) -> None:
    """No published number is written into a rule file."""
    limits = [limit for step in rules(name).steps for limit in _limits(step)]

    assert limits
    for limit in limits:
        assert limit.cited.address in book().values
        assert limit.cited.citation
        dimension = limit.quantity.unit.dimension
        assert parse_quantity(limit.cited.value, dimension) == limit.quantity


@pytest.mark.parametrize("name", NAMES)
def test_every_step_says_why_and_by_which_source(name: str) -> None:
    """A sentence of its own, and sources that are in the bibliography."""
    for step in rules(name).steps:
        assert step.why.endswith(".")
        assert step.ask.endswith(("?", "."))
        assert step.sources
        assert all(book().sources[s.id] == s for s in step.sources)


def test_every_source_is_used() -> None:
    """The bibliography holds nothing that no step, value or calculation cites."""
    used = {source.id for name in NAMES for step in rules(name).steps for source in step.sources}
    used |= {source for c in CALCULATIONS.values() for source in c.sources}
    cited = [v.cited.citation for v in book().values.values()]
    cited += [row.cited.citation for t in book().tables.values() for row in t.rows.values()]
    used |= {s.id for s in book().sources.values() if any(s.title in text for text in cited)}

    assert set(book().sources) - used == set()


def test_what_is_from_memory_and_what_has_no_source_is_shown_so() -> None:
    """A reader of any citation sees its standing."""
    for source in book().sources.values():
        if source.standing is Standing.MEMORY:
            assert "unverified" in source.citation()
        if source.standing is Standing.PRACTICE:
            assert "no source" in source.citation()


@pytest.mark.parametrize(
    ("name", "step_ids"),
    [
        (
            "emergency-power",
            "connection equipment place indoors-picture wind openings downwind alarms well isolated"
            " ground-fault",
        ),
        (
            "tower-work",
            "climb-crew rescue call kit thunder tried surroundings lines structure dead anchors"
            " clear-height briefing",
        ),
    ],
)
def test_what_guards_a_life_cannot_be_set_aside(name: str, step_ids: str) -> None:
    """Backfeed, carbon monoxide, rescue, lines, dead test, kit and anchors are always asked."""
    for step_id in step_ids.split():
        step = rules(name).step(step_id)

        assert step.guards_life, step_id
        assert not step.may_not_apply, step_id
        assert step.unknown is Effect.STOP, step_id


def test_a_cord_into_an_outlet_has_no_way_out() -> None:
    """Neither evidence nor anything else answers it."""
    step = rules("emergency-power").step("connection")

    assert step.ways == ()
    assert isinstance(step.kind, Choice)
    assert step.kind.stop == {"outlet", "unlisted"}


def _inputs(state: StepState) -> int:
    """Count what is typed or chosen for one step by somebody to whom all registers are empty."""
    given = state.answered.answer if state.answered else None
    match given:
        case Present(people=people):
            return len(people)
        case Hung(tags=tags):
            return 2 * len(tags)
        case Inputs(values=values):
            return sum(1 if isinstance(v, str) else len(v) for v in values.values())
        case _:
            return 1


def counted(name: str, example: str) -> int:
    """Return the inputs of a path; an instrument is one input where it is first named."""
    asked = end_of(name, example).asked
    instruments = {
        s.step.kind.instrument
        for s in asked
        if isinstance(s.step.kind, Reading) and s.step.kind.instrument
    }
    return sum(map(_inputs, asked)) + len(instruments)


def test_a_climb_takes_at_most_forty_inputs(capsys: pytest.CaptureFixture[str]) -> None:
    """Two people new to it: names one each, a tag two, an instrument once, fields one each."""
    paths = [(name, e.name, counted(name, e.name)) for name, e in examples() if not e.stops]
    with capsys.disabled():
        for name, example, count in paths:
            if "in order" in example or "bonded" in example or "hoist" in example:
                print(f"\n{count} inputs: {name}, {example}", end="")

    climbing = counted("tower-work", "climbing a guyed tower, everything in order")
    assert climbing <= INPUTS

"""The shipped rule files: complete, sourced, short enough, and right in every example."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

import checklist
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
    TagsOff,
    Verdict,
    load_rule_file,
)
from checklist.shipped import shipped_rules
from checklist.walk.answers import Hung, Inputs, Present, Sought
from checklist.walk.examples import run_example
from checklist.walk.standing import Progress, StepState
from checklist.walk.walk import Walk
from tests.rulefile.making import book
from tests.walk.making import answer, at

NAMES = (
    "emergency-power",
    "exposure-review",
    "field-event",
    "inside-equipment",
    "release",
    "station-bonding",
    "tower-work",
)
ON_THE_SPOT = 18
"""Steps on the spot on any path: more are not walked in gloves and rain."""

ALWAYS_STOP = {"indoors-picture", "isolation-failed"}
"""Asked only where another answer has stopped: a set indoors, a voltage that should not be."""

INPUTS = 40
"""Inputs that two people new to it give on the climbing path before they sign."""


CODE = Path(checklist.__file__).parent


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
        case People() | Tag() | TagsOff() | Compute():
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

    assert never <= ALWAYS_STOP


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


def named_in_limits_and_code(ids: set[str]) -> set[str]:
    """Return the sources that a set of exposure limits or the code names, whole and quoted."""
    limits = (shipped_rules() / "limits").iterdir()
    named = {word for file in limits for word in file.read_text(encoding="utf-8").split()}
    code = "".join(f.read_text(encoding="utf-8") for f in CODE.rglob("*.py"))
    return (ids & named) | {i for i in ids if f'"{i}"' in code}


def test_every_source_is_used() -> None:
    """The bibliography holds nothing that no step, value or calculation cites."""
    used = {source.id for name in NAMES for step in rules(name).steps for source in step.sources}
    used |= {source for c in CALCULATIONS.values() for source in c.sources}
    cited = [v.cited.citation for v in book().values.values()]
    cited += [row.cited.citation for t in book().tables.values() for row in t.rows.values()]
    used |= {s.id for s in book().sources.values() if any(s.title in text for text in cited)}
    used |= named_in_limits_and_code(set(book().sources))

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
            " clear-height briefing locks support-sound",
        ),
        (
            "inside-equipment",
            "live-work crew call voltage sources isolation stick tester opened locks own-locks"
            " tried discharged short-off proved-before dead isolation-failed proved-after backfeed"
            " shorts-on standing-by",
        ),
        (
            "release",
            "crew appliers away reached leader will-know all-out fitted taken-out equal covers"
            " ground-path locks-off told transfer first-power",
        ),
        (
            "station-bonding",
            "panel one-system weather kept bus protectors connected low-lines high-lines outlets",
        ),
        ("exposure-review", "places share off unlisted-people bare-public closed lockout"),
        (
            "field-event",
            "call generator masts thunder-plan thunder heat cold lines circles guys openings alarms"
            " ground-fault visitors test-call",
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


def test_nothing_answers_a_wish_to_work_live() -> None:
    """Live work is outside the file: it ends as stopped, and so does not knowing."""
    step = rules("inside-equipment").step("live-work")

    assert step.ways == ()
    assert step.unknown is Effect.STOP
    assert isinstance(step.kind, Choice)
    assert step.kind.stop == {"live"}


def test_inside_equipment_keeps_the_order_that_protects() -> None:
    """Isolate, lock, wait, discharge, take the short off, live-dead-live, fit solid shorts."""
    order = ["opened", "locks", "tried", "waited", "discharged", "short-off"]
    order += ["proved-before", "dead", "proved-after", "shorts-on"]
    ids = [step.id for step in rules("inside-equipment").parts[1].steps]

    assert [step_id for step_id in ids if step_id in order] == order


def test_release_counts_before_the_locks_come_off_and_tells_before_power() -> None:
    """People and parts are counted, then locks off, then people told, then power."""
    order = ["all-out", "equal", "covers", "locks-off", "told", "first-power", "supply"]
    ids = [step.id for step in rules("release").parts[1].steps]

    assert [step_id for step_id in ids if step_id in order] == order
    assert isinstance(rules("release").step("locks-off").kind, TagsOff)


def test_a_climb_or_a_ladder_cannot_set_its_locks_aside() -> None:
    """Only a wire from the ground may have nothing to lock."""
    assert not rules("tower-work").step("locks").may_not_apply
    assert rules("tower-work").step("ground-locks").may_not_apply
    for example in ("climbing a guyed tower", "on a ladder"):
        asked = {s.step.id for s in end_of("tower-work", f"{example}, everything in order").asked}

        assert "locks" in asked
        assert "ground-locks" not in asked


@pytest.mark.parametrize("name", NAMES)
def test_the_emergency_operator_is_told_something_in_each_file_for_dangerous_work(
    name: str,
) -> None:
    """Work that can hurt at once has an address to tell; papers and a generator have not."""
    calls = [s.id for s in rules(name).steps if getattr(s.kind, "emergency_call", False)]
    without = {"emergency-power", "exposure-review", "station-bonding"}

    assert calls == ([] if name in without else ["call"])


def _inputs(state: StepState) -> int:
    """Count what is typed or chosen for one step by somebody to whom all registers are empty."""
    given = state.answered.answer if state.answered else None
    match given:
        case Present(people=people):
            return len(people)
        case Hung(tags=tags):
            return 2 * len(tags)
        case Sought(points=points):
            return len(points) + 1
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
            if any(word in example for word in ("in order", "bonded", "hoist", "everything")):
                print(f"\n{count} inputs: {name}, {example}", end="")

    climbing = counted("tower-work", "climbing a guyed tower, everything in order")
    assert climbing <= INPUTS

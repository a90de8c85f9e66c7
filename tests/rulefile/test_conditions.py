"""When a step applies: four truth values, and steps that could never apply."""

from __future__ import annotations

import itertools
import time

import pytest

from checklist.quantities import Quantity
from checklist.rulefile.conditions import (
    All,
    AnyOf,
    Beyond,
    Condition,
    Fact,
    Is,
    Not,
    Truth,
    Unsaid,
)
from checklist.rulefile.model import Bounds as NoBounds
from checklist.rulefile.model import Choice, Confirm, Effect, Kind, Reading, Step
from checklist.rulefile.reach import can_apply
from tests.rulefile.making import changed, errors_of, loaded

T, F, U, O = Truth.TRUE, Truth.FALSE, Truth.UNKNOWN, Truth.OPEN  # noqa: E741  as in a truth table
FACT_FOR: dict[Truth, Fact] = {T: "yes", F: "no", U: Unsaid.DONT_KNOW, O: Unsaid.UNANSWERED}


def feet(number: str) -> Quantity:
    return Quantity.of(number, "ft")


@pytest.mark.parametrize(
    ("fact", "truth"),
    [("yes", T), ("no", F), (Unsaid.DONT_KNOW, U), (Unsaid.UNANSWERED, O), (Unsaid.NOT_ASKED, F)],
)
def test_a_comparison_has_four_values(fact: Fact, truth: Truth) -> None:
    """Don't know is unknown, no answer yet is open, and what was not asked equals nothing."""
    assert Is("a", ("yes",)).truth({"a": fact}) is truth
    assert Is("a", ("yes",)).truth({}) is O


@pytest.mark.parametrize(
    ("typed", "above", "below"),
    [("20", F, F), ("20.001", T, F), ("19.999", F, T), ("0", F, T)],
)
def test_a_reading_equal_to_the_limit_is_neither_above_nor_below(
    typed: str, above: Truth, below: Truth
) -> None:
    """Above and below are strict, to the last digit that was typed."""
    facts = {"a": feet(typed)}

    assert Beyond("a", above=feet("20")).truth(facts) is above
    assert Beyond("a", below=feet("20")).truth(facts) is below


def test_readings_are_compared_across_units() -> None:
    """6.096 m is 20 ft exactly (the foot is 0.3048 m: NIST SP 811, appendix B.8)."""
    condition = Beyond("a", above=feet("20"))

    assert condition.truth({"a": Quantity.of("6.096", "m")}) is F
    assert condition.truth({"a": Quantity.of("6.0961", "m")}) is T


@pytest.mark.parametrize(("one", "two"), list(itertools.product((T, F, U, O), repeat=2)))
def test_all_any_and_not_agree_with_every_way_to_fill_in_what_is_missing(
    one: Truth, two: Truth
) -> None:
    """True and false are given just where they hold however unknown and open turn out.

    The independent route: fill every unknown or open fact with yes and with no, and look
    (Kleene's strong three-valued logic).
    """
    parts = (Is("a", ("yes",)), Is("b", ("yes",)))
    facts = {"a": FACT_FOR[one], "b": FACT_FOR[two]}
    fillings = list(itertools.product(*([x is T] if x in (T, F) else [True, False]
                                        for x in (one, two))))  # fmt: skip

    for condition, rule in ((All(parts), all), (AnyOf(parts), any)):
        got = condition.truth(facts)
        outcomes = {rule(filling) for filling in fillings}
        if len(outcomes) == 1:
            assert got is (T if outcomes.pop() else F)
        else:
            assert got is (O if O in (one, two) else U)
        opposite = {T: F, F: T}.get(got, got)
        assert Not(condition).truth(facts) is opposite


def test_atoms_are_every_comparison_however_deep() -> None:
    """Nothing that a condition hangs on is overlooked."""
    condition: Condition = Not(
        All((Is("a", ("x",)), AnyOf((Beyond("b", feet("1")), Is("c", ("y",))))))
    )

    assert [atom.fact for atom in condition.atoms()] == ["a", "b", "c"]


def step(name: str, kind: Kind, when: Condition | None = None) -> Step:
    return Step(name, "?", "", kind, "", (), when, None, False, False, Effect.STOP, ())


CONFIRM = Confirm(Effect.STOP)
CHOICE = Choice({"x": "X", "y": "Y", "z": "Z"}, frozenset(), frozenset())
LENGTH = Reading("length", "1 ft", "", NoBounds(), NoBounds())


def earlier(*steps: Step) -> dict[str, Step]:
    return {one.id: one for one in steps}


def test_a_chain_of_conditions_is_followed_to_its_beginning() -> None:
    """A step that hangs on a step that is asked only under the opposite can never apply."""
    chain = earlier(
        step("a", CHOICE),
        step("b", CONFIRM, Is("a", ("x",))),
        step("c", CONFIRM, Is("b", ("yes",))),
    )

    assert can_apply(Is("c", ("yes",)), chain)
    assert can_apply(All((Is("c", ("no",)), Is("a", ("x",)))), chain)
    assert not can_apply(All((Is("c", ("yes",)), Is("a", ("y",)))), chain)
    assert not can_apply(All((Is("c", ("yes",)), Is("b", ("no",)))), chain)
    assert can_apply(All((Not(Is("c", ("yes",))), Is("a", ("z",)))), chain)


@pytest.mark.parametrize(
    ("condition", "reachable"),
    [
        (All((Beyond("a", above=feet("20")), Beyond("a", below=feet("21")))), True),
        (All((Beyond("a", above=feet("20")), Beyond("a", below=feet("20.0001")))), True),
        (All((Beyond("a", above=feet("20")), Beyond("a", below=feet("20")))), False),
        (All((Beyond("a", above=feet("21")), Beyond("a", below=feet("20")))), False),
        (All((Not(Beyond("a", above=feet("20"))), Not(Beyond("a", below=feet("20"))))), True),
        (All((Beyond("a", above=feet("20")), Beyond("a", below=Quantity.of("6.096", "m")))), False),
        (Beyond("a", below=feet("0")), False),
        (Beyond("a", below=feet("0.001")), True),
        (Beyond("a", above=feet("0")), True),
    ],
)
def test_readings_are_tried_at_between_and_beyond_their_limits(
    condition: Condition, reachable: bool
) -> None:
    """However narrow the gap between two limits, it is found; no length is below zero."""
    assert can_apply(condition, earlier(step("a", LENGTH))) is reachable


def test_a_temperature_may_be_below_zero() -> None:
    """Cold is a reading too."""
    cold = step("a", Reading("temperature", "20 degF", "", NoBounds(), NoBounds()))

    assert can_apply(Beyond("a", below=Quantity.of("0", "degF")), earlier(cold))


def test_long_chains_are_decided_and_quickly() -> None:
    """Forty steps in a row, each asked after a no to the one before, are decided at once."""
    behind = (Is(f"s{number - 1}", ("no",)) for number in range(1, 40))
    rest = (step(f"s{number}", CONFIRM, when) for number, when in enumerate(behind, start=1))
    steps = [step("s0", CONFIRM), *rest]
    begun = time.perf_counter()

    assert can_apply(Is("s39", ("no",)), earlier(*steps))
    assert not can_apply(All((Is("s39", ("no",)), Is("s0", ("yes",)))), earlier(*steps))
    assert time.perf_counter() - begun < 5


def test_reach_agrees_with_trying_everything() -> None:
    """The search finds just what trying all answers to two choices and a confirm finds."""
    steps = earlier(
        step("a", CHOICE),
        step("b", CHOICE, Is("a", ("x", "y"))),
        step("c", CONFIRM, Is("b", ("y",))),
    )
    atoms: list[Condition] = [
        Is("a", ("y",)),
        Is("b", ("y",)),
        Is("c", ("no",)),
        Is("b", ("x", "z")),
    ]
    conditions = [
        make((one, Not(two)))
        for one, two in itertools.permutations(atoms, 2)
        for make in (All, AnyOf)
    ] + [All((one, two)) for one, two in itertools.permutations(atoms, 2)]

    assert {can_apply(c, steps) for c in conditions} == {True, False}
    for condition in conditions:
        assert can_apply(condition, steps) is _by_trying(condition), condition


def _by_trying(condition: Condition) -> bool:
    for a, b, c in itertools.product("xyz", "xyz", ("yes", "no")):
        b_asked = a in "xy"
        c_asked = b_asked and b == "y"
        facts: dict[str, Fact] = {
            "a": a,
            "b": b if b_asked else Unsaid.NOT_ASKED,
            "c": c if c_asked else Unsaid.NOT_ASKED,
        }
        if condition.truth(facts) is Truth.TRUE:
            return True
    return False


def test_a_step_behind_a_step_that_is_never_asked_with_it_is_a_load_error() -> None:
    """The loader says it, with the place of the condition."""
    behind = changed(
        ("{fact: way, is: winch}", "{fact: way, is: hand}"),
        (
            "      - id: lines\n        ask: Is the nearest",
            "      - id: lines\n"
            "        when: {all: [{fact: winch-held, is: yes}, {fact: way, is: winch}]}\n"
            "        ask: Is the nearest",
        ),
    )

    assert errors_of(behind) == [
        "mast-base.yaml, line 80, column 9: this step can never apply; no answers make it true."
    ]


def test_a_condition_over_a_reading_is_loaded_with_its_unit() -> None:
    """`above: 9 ft` arrives as the quantity it is."""
    rules = loaded(changed(("{fact: way, is: winch}", "{fact: height, above: 9 ft}")))

    assert rules.step("winch-held").when == Beyond("height", above=feet("9"))

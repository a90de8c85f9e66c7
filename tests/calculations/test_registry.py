"""The list of calculations: complete, documented, and every one run."""

from __future__ import annotations

import pytest

from checklist.calculations import (
    CALCULATIONS,
    Calculation,
    Input,
    Outcome,
    UnknownCalculation,
    calculation_named,
    check_input,
    run,
)
from checklist.quantities import DIMENSIONS
from checklist.rulebook import Book
from tests.calculations.examples import FOURTH, OTHERS, THIRD, WITHIN

_RUNS = (WITHIN, OTHERS, THIRD, FOURTH)
_ALL = [pytest.param(c, id=name) for name, c in CALCULATIONS.items()]


@pytest.mark.parametrize("calculation", _ALL)
def test_every_source_resolves(calculation: Calculation, book: Book) -> None:
    """Each source that a calculation names is in the bibliography."""
    assert calculation.sources
    for source in calculation.sources:
        assert book.source(source).id == source


@pytest.mark.parametrize("calculation", _ALL)
def test_every_value_used_is_from_a_source_it_names(calculation: Calculation, book: Book) -> None:
    """A run cites nothing that the calculation's own list of sources leaves out."""
    named = {book.source(s).title for s in calculation.sources}
    for examples in _RUNS:
        if calculation.name in examples:
            result = run(calculation.name, examples[calculation.name], book).result
            for cited in result.used:
                assert any(cited.citation.startswith(title) for title in named), cited


@pytest.mark.parametrize("calculation", _ALL)
def test_every_input_is_documented(calculation: Calculation) -> None:
    """Each input says what to give, in which dimension, with an example that it accepts."""
    assert calculation.formula
    assert calculation.assumptions
    assert calculation.version >= 1
    for wanted in calculation.inputs:
        assert wanted.meaning
        assert wanted.example
        assert _kind_count(wanted) == 1
        check_input(calculation, wanted.name, wanted.example)
        for column in wanted.columns:
            assert column.meaning
            assert column.example


def _kind_count(wanted: Input) -> int:
    assert not wanted.dimension or wanted.dimension in DIMENSIONS
    return sum((bool(wanted.dimension), wanted.choices is not None, bool(wanted.columns)))


def test_every_calculation_and_every_input_is_run() -> None:
    """The examples of the tests leave no calculation and no input out."""
    assert set(WITHIN) | set(OTHERS) == set(CALCULATIONS), (
        "give each calculation inputs that it finds within, in tests/calculations/examples.py"
    )
    for name, calculation in CALCULATIONS.items():
        run_with = {wanted for runs in _RUNS for wanted in runs.get(name, {})}

        assert run_with == {wanted.name for wanted in calculation.inputs}, (
            f"name every input of {name} in tests/calculations/examples.py"
        )


@pytest.mark.parametrize("name", WITHIN)
def test_the_examples_are_within(name: str, book: Book) -> None:
    """On good inputs a calculation finds `within`, with no stop."""
    finding = run(name, WITHIN[name], book)

    assert finding.result.outcome is Outcome.WITHIN
    assert finding.is_clear


def test_a_wrong_name_lists_the_near_ones() -> None:
    """A slip in a name is answered with the name that was meant."""
    with pytest.raises(UnknownCalculation, match=r"voltage-drop"):
        calculation_named("voltage-dorp")


def test_a_far_off_name_lists_all() -> None:
    """A name like no other is answered with the whole list."""
    with pytest.raises(UnknownCalculation, match=r"generator-load.*ladder-set-back"):
        calculation_named("zzz")


def test_choices_are_the_rows_of_their_table(book: Book) -> None:
    """The sizes offered are exactly those that the tables have."""
    for name, table in (
        ("cord-current", "conductors/flexible-cord"),
        ("voltage-drop", "conductors/stranded-copper"),
    ):
        awg = next(i for i in CALCULATIONS[name].inputs if i.name == "awg")

        assert set(awg.choices or {}) == set(book.table(table).rows)
    exposure = next(i for i in CALCULATIONS["wind-load"].inputs if i.name == "exposure")

    assert set(exposure.choices or {}) == set(book.table("wind/exposure").rows)

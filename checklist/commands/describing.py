"""A calculation explained before it is run: its inputs, units, formula, sources, and an example."""

from __future__ import annotations

import shlex
from collections.abc import Iterable, Iterator
from typing import Any

from checklist.calculations import Calculation, Input
from checklist.calculations.lesson import ONLY_STOPS, example_inputs
from checklist.quantities import DIMENSIONS
from checklist.rulebook import Book


def listed_lines(calculations: Iterable[Calculation]) -> list[str]:
    """Return every calculation with its inputs and their units, a line each."""
    lines = []
    for calculation in calculations:
        lines.append(f"{calculation.name}: {calculation.title}")
        for wanted in calculation.inputs:
            lines.append(f"  {wanted.name}: {_takes(wanted)}")
            lines += [f"    {column.name}: {_takes(column)}" for column in wanted.columns]
    return [
        *lines,
        "",
        "standclear calculate NAME explains one; standclear calculate NAME input=quantity ... "
        "runs it. “unknown” is an answer for every input.",
    ]


def described_lines(calculation: Calculation, book: Book) -> list[str]:
    """Return all that is to be known of one calculation, the command of an example last."""
    return [
        f"{calculation.name}: {calculation.title} (version {calculation.version})",
        "Inputs",
        *(line for wanted in calculation.inputs for line in _input_lines(wanted)),
        "Formula",
        f"  {calculation.formula}",
        "Assumed",
        *(f"  {assumption}" for assumption in calculation.assumptions),
        "Sources",
        *(f"  {book.source(source).citation()}" for source in calculation.sources),
        *([ONLY_STOPS] if calculation.only_stops else []),
        "Example",
        f"  {example_command(calculation, book)}",
    ]


def described_data(calculation: Calculation, book: Book) -> dict[str, Any]:
    """Return the same as plain data; numbers are texts with their unit."""
    sources = [book.source(source) for source in calculation.sources]
    return {
        "calculation": calculation.name,
        "title": calculation.title,
        "version": calculation.version,
        "inputs": [_input_data(wanted) for wanted in calculation.inputs],
        "formula": calculation.formula,
        "assumptions": list(calculation.assumptions),
        "sources": [
            {"id": s.id, "citation": s.citation(), "standing": s.standing.value} for s in sources
        ],
        "only-stops": calculation.only_stops,
        "example": example_command(calculation, book),
    }


def example_command(calculation: Calculation, book: Book) -> str:
    """Return a command line that runs, made of the examples of the inputs."""
    typed = example_inputs(calculation, book)
    given = (shlex.quote(f"{name}={example}") for name, example in typed.items())
    return f"standclear calculate {calculation.name} {' '.join(given)}"


def _input_lines(wanted: Input) -> Iterator[str]:
    yield f"  {wanted.name}: {wanted.meaning}"
    yield f"    takes {_takes(wanted)}"
    for value, meaning in (wanted.choices or {}).items():
        if meaning != value:
            yield f"    {value}: {meaning}"
    for column in wanted.columns:
        yield f"    {column.name}: {column.meaning}; {_takes(column)}"
    if wanted.example:
        yield f"    as {wanted.name}={shlex.quote(wanted.example)}"


def _takes(wanted: Input) -> str:
    """Return what can be given for an input: units and range, choices, or columns."""
    optional = "; may be left out" if wanted.optional else ""
    if wanted.columns:
        columns = ", ".join(column.name for column in wanted.columns)
        return f"lines of {columns}; repeat {wanted.name}= for each, at most {wanted.most_rows}" + (
            optional
        )
    if wanted.choices is not None:
        return f"one of {', '.join(wanted.choices)}{optional}"
    if not wanted.dimension:
        return f"a name{optional}"
    return f"{wanted.dimension} in {', '.join(_units(wanted))}{_range(wanted)}{optional}"


def _units(wanted: Input) -> list[str]:
    dimensions = [d for d in (wanted.dimension, wanted.also) if d]
    symbols = [unit.symbol for dimension in dimensions for unit in DIMENSIONS[dimension]]
    return ["a plain number" if symbol == "1" else symbol for symbol in symbols]


def _range(wanted: Input) -> str:
    least = f"; at least {wanted.least}" if wanted.least else "; above zero"
    return f"{least}, at most {wanted.most}" if wanted.most else least


def _input_data(wanted: Input) -> dict[str, Any]:
    return {
        "name": wanted.name,
        "meaning": wanted.meaning,
        "dimension": wanted.dimension,
        "units": _units(wanted) if wanted.dimension else [],
        "least": wanted.least,
        "most": wanted.most,
        "choices": dict(wanted.choices or {}),
        "columns": [_input_data(column) for column in wanted.columns],
        "optional": wanted.optional,
        "example": wanted.example,
    }

"""Runs a calculation on inputs from the command line, or explains what it needs."""

from __future__ import annotations

from collections.abc import Sequence

from checklist.calculations import (
    CALCULATIONS,
    Calculation,
    Finding,
    Outcome,
    as_data,
    as_text,
    calculation_named,
    run,
)
from checklist.commands.describing import described_data, described_lines, listed_lines
from checklist.commands.exits import FINE, NOT_SHOWN, WRONG
from checklist.commands.output import print_document, print_page
from checklist.errors import StandclearError
from checklist.rulebook import Book


def calculate(name: str | None, arguments: Sequence[str], book: Book, *, as_json: bool) -> int:
    """Print a finding, the explanation of one calculation, or the list of all.

    Returns FINE for within, WRONG for over, NOT_SHOWN where it is not shown. Raises
    StandclearError for a calculation or an input that cannot be taken.
    """
    if name is None:
        return _list(book, as_json=as_json)
    calculation = calculation_named(name)
    if not arguments:
        return _describe(calculation, book, as_json=as_json)
    finding = run(name, typed_inputs(calculation, arguments), book)
    if as_json:
        print_document(
            {
                "title": calculation.title,
                "finding": as_data(finding),
                "formula": calculation.formula,
                "always-assumed": list(calculation.assumptions),
                "only-stops": calculation.only_stops,
            }
        )
    else:
        print_page([as_text(finding)])
    return exit_of(finding)


def typed_inputs(
    calculation: Calculation, arguments: Sequence[str]
) -> dict[str, str | Sequence[str]]:
    """Return the inputs in `name=value` arguments; a repeated input of rows gives a row each.

    Raises StandclearError for an argument without `=`, or an input that is given twice.
    """
    rows = {wanted.name for wanted in calculation.inputs if wanted.columns}
    typed: dict[str, str | Sequence[str]] = {}
    lines: dict[str, list[str]] = {}
    for argument in arguments:
        name, sign, value = argument.partition("=")
        name = name.strip()
        if not sign or not name:
            raise StandclearError(
                f"“{argument}” is not an input with its value",
                right=f"Write {calculation.inputs[0].name}=…, in quotes where it has spaces.",
            )
        if name in rows:
            lines.setdefault(name, []).extend(value.splitlines())
        elif name in typed:
            raise StandclearError("it was given twice", where=name, right="Give it once.")
        else:
            typed[name] = value
    return typed | lines


def exit_of(finding: Finding) -> int:
    """Return the number to end with: anything that stops is never FINE."""
    if finding.result.outcome is Outcome.NOT_SHOWN:
        return NOT_SHOWN
    return FINE if finding.is_clear else WRONG


def _list(book: Book, *, as_json: bool) -> int:
    if as_json:
        found = [described_data(calculation, book) for calculation in CALCULATIONS.values()]
        print_document({"calculations": found})
    else:
        print_page(listed_lines(CALCULATIONS.values()))
    return FINE


def _describe(calculation: Calculation, book: Book, *, as_json: bool) -> int:
    if as_json:
        print_document(described_data(calculation, book))
    else:
        print_page(described_lines(calculation, book))
    return FINE

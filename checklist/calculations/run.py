"""Runs a calculation by its name on what people typed, and puts the standing rules on it."""

from __future__ import annotations

import difflib
from collections.abc import Mapping, Sequence
from dataclasses import replace

from checklist.calculations.kinds import Calculation, Cell, Finding, Given, Input, Outcome, Result
from checklist.calculations.reading import is_unknown, needed, read_cell, read_rows
from checklist.calculations.refusals import InputRefused
from checklist.calculations.registry import calculation_named
from checklist.rulebook import Book

Typed = Mapping[str, str | Sequence[str]]
"""Inputs by name as they were typed; rows as one text of lines, or as a list of lines."""


def run(name: str, typed: Typed, book: Book) -> Finding:
    """Return the finding of the calculation `name` on the inputs as typed.

    An unknown input never gives `within`; a value from memory, or a club's own that is not
    shown to be as strict as the shipped one, gives at most a caution.
    Raises UnknownCalculation, or InputRefused for an input that is missing, not known to
    the calculation, unreadable, or out of range; nothing is assumed silently.
    """
    calculation = calculation_named(name)
    given = parse(calculation, typed)
    if calculation.refuse is not None:
        calculation.refuse(given)
    result = calculation.compute(given, book)
    result = eased_is_said(_unverified_is_said(_unknown_is_not_within(result, given)))
    kept = {key: text for key, value in typed.items() if (text := _as_typed(value))}
    return Finding(calculation.name, calculation.version, kept, result)


def check_input(calculation: Calculation, name: str, typed: str | Sequence[str]) -> None:
    """Raise InputRefused unless `typed` can be taken for the input `name` by itself.

    For one field as it is typed; whether inputs fit together is asked by `run` alone.
    """
    wanted = _input_named(calculation, name)
    _read(wanted, typed)


def parse(calculation: Calculation, typed: Typed) -> Given:
    """Return all inputs of a run, parsed; raises InputRefused at the first that is refused."""
    for name in typed:
        _input_named(calculation, name)
    values: dict[str, Cell] = {}
    rows: dict[str, tuple[Mapping[str, Cell], ...]] = {}
    unknown: set[str] = set()
    for wanted in calculation.inputs:
        cell, lines, not_known = _read(wanted, typed.get(wanted.name, ""))
        unknown |= not_known
        if wanted.columns:
            rows[wanted.name] = lines
        else:
            values[wanted.name] = cell
    return Given(values, rows, frozenset(unknown))


def _read(
    wanted: Input, typed: str | Sequence[str]
) -> tuple[Cell, tuple[Mapping[str, Cell], ...], frozenset[str]]:
    text = _as_typed(typed)
    if is_unknown(text):
        return None, (), frozenset({wanted.name})
    if wanted.columns:
        rows, unknown = read_rows(wanted, typed)
        return None, rows, unknown
    if not isinstance(typed, str):
        raise InputRefused(wanted.name, "more than one line was given", right=needed(wanted))
    return read_cell(wanted, typed, wanted.name), (), frozenset()


def _as_typed(typed: str | Sequence[str]) -> str:
    text = typed if isinstance(typed, str) else "\n".join(typed)
    return text.strip()


def _input_named(calculation: Calculation, name: str) -> Input:
    names = [wanted.name for wanted in calculation.inputs]
    if name in names:
        return calculation.inputs[names.index(name)]
    near = difflib.get_close_matches(name, names, n=1)
    meant = f"Did you mean {near[0]}? " if near else ""
    raise InputRefused(
        name,
        f"{calculation.name} has no such input",
        right=f"{meant}Its inputs are {', '.join(names)}.",
    )


def _unknown_is_not_within(result: Result, given: Given) -> Result:
    """Return the result as not shown where something was answered `unknown`, even unused."""
    if result.outcome is not Outcome.WITHIN or not given.unknown:
        return result
    names = ", ".join(sorted(given.unknown))
    sentence = f"Not shown: {names} was answered “unknown”"
    return replace(
        result,
        outcome=Outcome.NOT_SHOWN,
        says=f"{sentence}.",
        stops=(f"{sentence}.", *result.stops),
        decided_by=names,
    )


def _unverified_is_said(result: Result) -> Result:
    """Return the result with a caution that names the values from memory a `within` rests on."""
    named = [f"{c.means}, {c.value}" for c in result.used if c.is_unverified]
    if result.outcome is not Outcome.WITHIN or not named:
        return result
    caution = f"Rests on what is only from memory, unverified: {'; '.join(named)}."
    return replace(result, cautions=(*result.cautions, caution))


def eased_is_said(result: Result) -> Result:
    """Return the result with a caution for each club value that may be laxer than the shipped."""
    if result.outcome is Outcome.OVER:
        return result
    said = tuple(f"{c.means}: {c.club_note}." for c in result.used if c.is_eased)
    return replace(result, cautions=(*result.cautions, *said))

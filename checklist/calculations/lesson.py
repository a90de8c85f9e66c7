"""One calculation for a class: by field of work, said in whole sentences, old beside new."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from checklist.calculations.kinds import Calculation, Finding, Input, Outcome, Output
from checklist.calculations.reading import is_unknown
from checklist.calculations.refusals import InputRefused
from checklist.calculations.registry import CALCULATIONS
from checklist.calculations.run import run
from checklist.quantities import QuantityRefused, both, parse_quantity
from checklist.rulebook import Book, bare

FIELDS = {
    "electrical": "Power and electricity",
    "tower": "Towers and masts",
    "bonding": "Bonding and earthing",
    "weather": "Weather",
    "radio": "RF exposure",
}
"""The fields of work, in the order in which they are listed."""

ONLY_STOPS = "It is a picture that may stop the work; it never permits it."

_VERDICTS = {
    Outcome.WITHIN: "within the limits that were compared",
    Outcome.OVER: "over: the work stops",
    Outcome.NOT_SHOWN: "not shown to be safe: the work stops",
}


def by_field() -> dict[str, tuple[Calculation, ...]]:
    """Return all calculations under the name of their field of work."""
    found: dict[str, list[Calculation]] = {name: [] for name in FIELDS.values()}
    for calculation in CALCULATIONS.values():
        found[field_of(calculation)].append(calculation)
    return {name: tuple(listed) for name, listed in found.items() if listed}


def field_of(calculation: Calculation) -> str:
    """Return the name of the field of work that a calculation belongs to."""
    # Its code stands in the folder of its field.
    folders = set(calculation.compute.__module__.split("."))
    return next(name for folder, name in FIELDS.items() if folder in folders)


def example_inputs(calculation: Calculation, book: Book) -> dict[str, str]:
    """Return inputs that run, made of the examples of each.

    They are the inputs that are always needed, and those that the calculation then asks for.
    """
    examples = {wanted.name: wanted.example for wanted in calculation.inputs}
    typed = {w.name: w.example for w in calculation.inputs if not w.optional}
    for _ in examples:
        try:
            run(calculation.name, typed, book)
        except InputRefused as refused:
            if refused.field not in examples or refused.field in typed:
                raise
            typed[refused.field] = examples[refused.field]
        else:
            break
    return typed


def said_of_inputs(calculation: Calculation, typed: Mapping[str, str]) -> tuple[str, ...]:
    """Return a sentence for each input that was given, in both units where there are two."""
    sentences = []
    for wanted in calculation.inputs:
        text = typed.get(wanted.name, "").strip()
        if is_unknown(text):
            sentences.append(f"{wanted.name} is unknown: {wanted.meaning}.")
        elif wanted.columns and text:
            lines = [line.strip() for line in text.splitlines() if line.strip()]
            sentences.append(
                f"{wanted.name} are {len(lines)}: {wanted.meaning} "
                f"({', '.join(column.name for column in wanted.columns)}): {'; '.join(lines)}."
            )
        elif text:
            sentences.append(f"{wanted.name} is {in_both(wanted, text)}: {_meant(wanted, text)}.")
    return tuple(sentences)


def in_both(wanted: Input, text: str) -> str:
    """Return what was typed for an input, with the other habit's unit in brackets."""
    for dimension in (wanted.dimension, wanted.also):
        try:
            quantity = parse_quantity(text, dimension) if dimension else None
        except QuantityRefused:
            continue
        if quantity is not None:
            shown = both(quantity)
            return text + (f" {shown[shown.index('(') :]}" if "(" in shown else "")
    return text


def sentences(finding: Finding, book: Book) -> list[str]:
    """Return a finding in whole sentences, from what was given to what it means."""
    calculation, result = CALCULATIONS[finding.calculation], finding.result
    lines = [calculation.title, f"The rule: {calculation.formula}."]
    lines += ["", "What was given", *_each(said_of_inputs(calculation, finding.given))]
    if result.used:
        lines += ["", "What is published"]
        lines += [f"  {c.means}: {bare(c.value)}. Source: {c.citation}." for c in result.used]
    if result.lines:
        lines += ["", "The arithmetic, step by step"]
        lines += [f"  {number}. {line}" for number, line in enumerate(result.lines, 1)]
    lines += ["", "What comes out", *_each(_said_of(output) for output in result.outputs)]
    lines += [f"  It is {_VERDICTS[result.outcome]}. {result.says}"]
    lines += [f"  It also stops: {stop}" for stop in result.stops if stop != result.says]
    lines += [f"  Take care: {caution}" for caution in result.cautions]
    lines += [f"  What decided: {result.decided_by}."] if result.decided_by else []
    lines += ["", "Where it holds", *_each((*result.assumptions, *calculation.assumptions))]
    lines += [f"  {ONLY_STOPS}"] if calculation.only_stops else []
    return [*lines, "", "Sources", *_each(sources_said(calculation, book))]


def sources_said(calculation: Calculation, book: Book) -> tuple[str, ...]:
    """Return each source of a calculation with its standing."""
    return tuple(book.source(source).citation() for source in calculation.sources)


def changes(before: Finding, after: Finding) -> tuple[str, ...]:
    """Return what differs between two findings, the old beside the new, a sentence each."""
    said = []
    if before.result.outcome is not after.result.outcome:
        said.append(f"the finding: was {before.result.outcome}, is {after.result.outcome}")
    old = {output.name: output for output in before.result.outputs}
    new = {output.name: output for output in after.result.outputs}
    for name, output in new.items():
        was = old.get(name)
        if was is None:
            said.append(f"{output.meaning}: is {_quantity(output)}, was not there")
        elif was.quantity != output.quantity:
            said.append(f"{output.meaning}: was {_quantity(was)}, is {_quantity(output)}")
    said += [f"{old[name].meaning}: was {_quantity(old[name])}, is not there now"
             for name in old if name not in new]  # fmt: skip
    if before.result.decided_by != after.result.decided_by:
        said.append(f"what decides: was {before.result.decided_by or 'nothing'}, "
                    f"is {after.result.decided_by or 'nothing'}")  # fmt: skip
    return tuple(said)


def _meant(wanted: Input, text: str) -> str:
    chosen = (wanted.choices or {}).get(text, "")
    return f"{wanted.meaning}" + (f" ({chosen})" if chosen and chosen != text else "")


def _said_of(output: Output) -> str:
    return f"{output.meaning}: {_quantity(output)}."


def _quantity(output: Output) -> str:
    return bare(both(output.quantity, side=output.rounds))


def _each(entries: Iterable[str]) -> list[str]:
    return [f"  {entry}" for entry in entries]

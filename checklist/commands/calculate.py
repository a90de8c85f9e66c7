"""Runs a calculation on inputs from the command line, or explains what it needs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

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
from checklist.calculations.lesson import sentences
from checklist.commands.describing import described_data, described_lines, listed_lines
from checklist.commands.exits import FINE, NOT_SHOWN, WRONG
from checklist.commands.output import print_document, print_page
from checklist.commands.picturefile import write_picture
from checklist.errors import StandclearError
from checklist.pictures.drawing import Picture, picture_svg, picture_text
from checklist.pictures.ofcalculations import HAVE_PICTURES, picture_of
from checklist.rulebook import Book

_WIDTH, _ROWS = 78, 21


@dataclass(frozen=True, slots=True)
class Shown:
    """In which form a calculation is printed."""

    explained: bool = False
    """In whole sentences, step by step."""

    drawn: bool = False
    """With its picture as text, where it has one."""

    svg: Path | None = None
    """The new file into which its picture is drawn."""

    as_json: bool = False


def calculate(name: str | None, arguments: Sequence[str], book: Book, how: Shown) -> int:
    """Print a finding, the explanation of one calculation, or the list of all.

    Returns FINE for within, WRONG for over, NOT_SHOWN where it is not shown. Raises
    StandclearError for a calculation or an input that cannot be taken.
    """
    if name is None:
        return _list(book, as_json=how.as_json)
    calculation = calculation_named(name)
    if not arguments:
        return _describe(calculation, book, as_json=how.as_json)
    finding = run(name, typed_inputs(calculation, arguments), book)
    picture = _picture(finding) if how.drawn or how.svg else None
    if how.svg and picture:
        write_picture(how.svg, picture_svg(picture))
    if how.as_json:
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
        said = sentences(finding, book) if how.explained else [as_text(finding)]
        drawn = ["", *picture_text(picture, _WIDTH, _ROWS)] if how.drawn and picture else []
        print_page([*said, *drawn])
    return exit_of(finding)


def _picture(finding: Finding) -> Picture:
    """Return the picture that was asked for; raises StandclearError where there is none."""
    picture = picture_of(finding)
    if picture is None:
        is_known = finding.calculation in HAVE_PICTURES
        raise StandclearError(
            "too little is known to draw it" if is_known else "it has no picture",
            where=finding.calculation,
            right=f"Pictures are made of {', '.join(sorted(HAVE_PICTURES))}.",
        )
    return picture


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

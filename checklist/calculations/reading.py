"""Reads what was typed for one input: a quantity, a choice, a text, or rows of these."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

from checklist import plaintext
from checklist.calculations.kinds import Cell, Input
from checklist.calculations.refusals import InputRefused
from checklist.quantities import Quantity, QuantityRefused, both, parse_quantity

UNKNOWN_WORDS = frozenset({"unknown", "don't know", "don’t know", "dont know", "?"})
"""What people type for an input that they do not know; matched without regard to case."""

_LONGEST_NAME = 60
_SMALLEST = Decimal("0.000001")


def is_unknown(typed: str) -> bool:
    """Whether the text says that the input is not known."""
    return " ".join(typed.split()).casefold() in UNKNOWN_WORDS


def read_cell(wanted: Input, typed: str, field: str) -> Cell:
    """Return the parsed input, or None where it is unknown or an optional one left out.

    Raises InputRefused naming `field` where the text is no answer to what is asked.
    """
    text = plaintext.accept(typed, field=field)
    if not text:
        if wanted.optional:
            return None
        raise InputRefused(field, "nothing was given", right=needed(wanted))
    if is_unknown(text):
        return None
    if wanted.dimension:
        return _quantity(wanted, text, field)
    if wanted.choices is not None:
        return _choice(wanted, text, field)
    if len(text) > _LONGEST_NAME:
        raise InputRefused(
            field, f"the text has {len(text)} characters", right=f"At most {_LONGEST_NAME} fit."
        )
    return text


def read_rows(
    wanted: Input, typed: str | Sequence[str]
) -> tuple[tuple[Mapping[str, Cell], ...], frozenset[str]]:
    """Return the rows, and the names of the cells that were answered unknown.

    One line a row, columns separated by commas; empty lines are skipped. A single line
    `unknown` is not a row: ask `is_unknown` before.
    """
    lines = typed.splitlines() if isinstance(typed, str) else typed
    rows = []
    unknown = set()
    for number, line in enumerate((one for one in lines if one.strip()), start=1):
        field = f"{wanted.name} line {number}"
        cells = [cell.strip() for cell in plaintext.accept(line, field=field).split(",")]
        if len(cells) != len(wanted.columns):
            raise InputRefused(
                field, f"it has {len(cells)} columns", right=f"It needs {len(wanted.columns)}: "
                f"{', '.join(c.name for c in wanted.columns)}, as “{wanted.example}”.",
            )  # fmt: skip
        names = [f"{field}, {column.name}" for column in wanted.columns]
        unknown |= {name for name, cell in zip(names, cells, strict=True) if is_unknown(cell)}
        rows.append(
            {
                column.name: read_cell(column, cell, name)
                for column, cell, name in zip(wanted.columns, cells, names, strict=True)
            }
        )
    if len(rows) > wanted.most_rows:
        raise InputRefused(
            wanted.name, f"there are {len(rows)} lines", right=f"At most {wanted.most_rows} fit."
        )
    if not rows and not wanted.optional:
        raise InputRefused(wanted.name, "nothing was given", right=needed(wanted))
    return tuple(rows), frozenset(unknown)


def needed(wanted: Input) -> str:
    """Return the sentence that says what to give for an input."""
    example = f", as “{wanted.example}”" if wanted.example else ""
    return f"Give {wanted.meaning.rstrip('.')}{example}; or “unknown”."


def _quantity(wanted: Input, text: str, field: str) -> Quantity:
    try:
        quantity = parse_quantity(text, wanted.dimension)
    except QuantityRefused as refused:
        other = _in_other_dimension(wanted, text)
        if other is None:
            raise InputRefused(field, refused.what, right=refused.right) from None
        return other
    _refuse_out_of_range(wanted, quantity, text, field)
    return quantity


def _in_other_dimension(wanted: Input, text: str) -> Quantity | None:
    if not wanted.also:
        return None
    try:
        quantity = parse_quantity(text, wanted.also)
    except QuantityRefused:
        return None
    return quantity if quantity.si > 0 else None


def _refuse_out_of_range(wanted: Input, quantity: Quantity, text: str, field: str) -> None:
    if not wanted.least and quantity.value <= 0:
        raise InputRefused(
            field, f"“{text}” is not above zero", right=f"Give {wanted.meaning.rstrip('.')}."
        )
    if not wanted.least and quantity.value < _SMALLEST:
        raise InputRefused(
            field, f"“{text}” is less than can be meant here", right="Check number and unit."
        )
    if wanted.least and quantity < _bound(wanted.least, wanted):
        least = both(_bound(wanted.least, wanted))
        raise InputRefused(field, f"“{text}” is below {least}", right="Check number and unit.")
    if wanted.most and quantity > _bound(wanted.most, wanted):
        most = both(_bound(wanted.most, wanted))
        raise InputRefused(
            field,
            f"“{text}” is more than can be meant here",
            right=f"At most {most}; check number and unit.",
        )


def _bound(text: str, wanted: Input) -> Quantity:
    return parse_quantity(text, wanted.dimension)


def _choice(wanted: Input, text: str, field: str) -> str:
    choices = wanted.choices or {}
    for value in choices:
        if value.casefold() == text.casefold():
            return value
    known = "; ".join(v if m == v else f"{v} ({m})" for v, m in choices.items())
    raise InputRefused(field, f"“{text}” is not one of the choices", right=f"Give one of: {known}.")

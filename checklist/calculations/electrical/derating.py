"""What altitude and heat take from a generator, by its own maker's rule and no other."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from checklist.calculations.judging import Judgement
from checklist.calculations.kinds import Cell, Given, Input
from checklist.quantities import Quantity

_LOSS = Input("loss", "the share that the maker takes off for each step", "ratio", "3.5 %",
              most="100 %")  # fmt: skip

DERATING_INPUTS = (
    Input(
        "altitude",
        "the altitude of the place",
        "length",
        "6000 ft",
        optional=True,
        least="-1500 ft",
        most="30000 ft",
    ),
    Input(
        "altitude-rule",
        "the maker's rule for altitude: the loss, for each step of height, above which height",
        example="3.5 %, 1000 ft, 0 ft",
        columns=(
            _LOSS,
            Input("per", "the step of height", "length", "1000 ft", most="30000 ft"),
            Input("above", "the height it begins at", "length", "0 ft", least="0 ft",
                  most="30000 ft"),
        ),
        optional=True,
        most_rows=1,
    ),
    Input(
        "air-temperature",
        "the temperature of the air that the set draws in",
        "temperature",
        "95 degF",
        optional=True,
        least="-60 degC",
        most="80 degC",
    ),
    Input(
        "heat-rule",
        "the maker's rule for heat: the loss, for each step of temperature, above which one",
        example="1 %, 10 degF, 77 degF",
        columns=(
            _LOSS,
            Input("per", "the step of temperature, a difference", "temperature", "10 degF",
                  most="100 degF"),
            Input("above", "the temperature it begins at", "temperature", "77 degF",
                  least="-60 degC", most="80 degC"),
        ),
        optional=True,
        most_rows=1,
    ),
)  # fmt: skip


def derating(judgement: Judgement, inputs: Given) -> Fraction:
    """Return the share of the rating that is left, both rules multiplied; never below zero.

    A rule that was left out takes nothing and gives a caution; one that is unknown, or whose
    condition is not given, is not shown. Source: the maker's manual of the very set.
    """
    left = Fraction(1)
    for name, rule in (("altitude", "altitude-rule"), ("air-temperature", "heat-rule")):
        one = _left(judgement, inputs, name, rule)
        if one != 1 and left != 1:
            judgement.lines.append(
                f"both together: {float(left):.6g} x {float(one):.6g} = {float(left * one):.6g}"
            )
        left *= one
    return left


def _left(judgement: Judgement, inputs: Given, name: str, rule: str) -> Fraction:
    if inputs.unknown & {name, rule} or any(n.startswith(f"{rule} line") for n in inputs.unknown):
        judgement.unknown(f"what {name} takes off")
        return Fraction(1)
    here, rows = inputs.quantity(name), inputs.rows.get(rule, ())
    if not rows:
        judgement.caution(f"Nothing was taken off for {name}: no rule of the maker was given.")
        return Fraction(1)
    if here is None:
        judgement.unknown(name, "was not given, and the maker has a rule for it")
        return Fraction(1)
    return _by_rule(judgement, name, here, rows[0])


def _by_rule(judgement: Judgement, name: str, here: Quantity, row: Mapping[str, Cell]) -> Fraction:
    loss, per, above = (cell for cell in row.values() if isinstance(cell, Quantity))
    step = Fraction(per.value) * per.unit.factor  # a difference: a temperature's offset drops out
    steps = max((here.si - above.si) / step, Fraction(0))
    left = max(1 - loss.si * steps, Fraction(0))
    judgement.lines.append(
        f"steps of {name}: ({here.text()} - {above.text()}) / {per.text()}, none below 0 = "
        f"{float(steps):.6g}"
    )
    judgement.lines.append(
        f"left of the rating: 1 - {loss.text()} x {float(steps):.6g}, not below 0 = "
        f"{float(left):.6g}"
    )
    return left

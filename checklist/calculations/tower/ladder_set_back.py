"""Whether the foot of a ladder stands at a quarter of its working length."""

from __future__ import annotations

from fractions import Fraction
from math import acos, degrees

from checklist.calculations.judging import Computed, Judgement, given, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.quantities import Quantity
from checklist.rulebook import Book

_INPUTS = (
    Input(
        "working-length",
        "the length along the ladder from its foot to its top support",
        "length",
        "20 ft",
        most="100 ft",
    ),
    Input(
        "set-back",
        "the distance on the ground from the foot to the point below the top support",
        "length",
        "5 ft",
        most="100 ft",
    ),
    Input(
        "above-landing",
        "how far the side rails reach above the landing, if one steps off there",
        "length",
        "3 ft",
        optional=True,
        least="0 ft",
        most="50 ft",
    ),
)


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    length, set_back = inputs.quantity("working-length"), inputs.quantity("set-back")
    if length is None:
        judgement.unknown("the working length")
    if set_back is None:
        judgement.unknown("the set-back")
    if length is not None:
        _foot(judgement, length, set_back, book)
    above = inputs.quantity("above-landing")
    if above is not None:
        need = judgement.value(book.value("ladder/above-landing"))
        judgement.at_least("side rails above the landing", above, need, "where one steps off")
    elif "above-landing" not in inputs.unknown:
        judgement.assumptions.append("Nobody steps off the ladder at a landing.")
    return judgement.result()


def _foot(judgement: Judgement, length: Quantity, set_back: Quantity | None, book: Book) -> None:
    share = judgement.value(book.value("ladder/set-back")).si
    tolerance = judgement.value(book.value("ladder/set-back-tolerance")).si
    unit = length.unit.symbol
    right = Computed(length.to(unit) * share, unit)
    nearest = Computed(right.exact * (1 - tolerance), unit)
    farthest = Computed(right.exact * (1 + tolerance), unit)
    meaning = "where the foot belongs, a quarter of the working length"
    judgement.output("set-back", meaning, right, "nearest")
    judgement.lines.append(f"{length.text()} x {float(share):g} = {near(right)}")
    off = book.value("ladder/set-back-tolerance").quantity.text()
    judgement.lines.append(f"nearest: {near(right)} x (1 - {off}) = {near(nearest)}")
    judgement.lines.append(f"farthest: {near(right)} x (1 + {off}) = {near(farthest)}")
    if set_back is None:
        return
    if set_back < length:
        slope = degrees(acos(set_back.number(unit) / length.number(unit)))
        judgement.output(
            "angle", "angle from the ground", Computed(Fraction(slope), "deg"), "nearest"
        )
        judgement.lines.append(
            f"angle: arccos({set_back.text()} / {length.text()}) = {slope:.5g} deg"
        )
    judgement.lines.append(f"measured: {given(set_back)}")
    judgement.at_least("set-back", set_back, nearest, "nearer it tips backwards")
    judgement.at_most("set-back", set_back, farthest, "farther out the foot slides")


LADDER_SET_BACK = Calculation(
    name="ladder-set-back",
    title="Set-back of a ladder",
    version=1,
    inputs=_INPUTS,
    formula="set-back = working length / 4, with a tenth of it to either side",
    sources=("osha-1926-1053", "practice"),
    assumptions=(
        "The ladder leans against a firm support and stands on firm, level ground.",
        "Being tied or held, and being non-conductive near a supply, are asked elsewhere.",
    ),
    compute=_compute,
)

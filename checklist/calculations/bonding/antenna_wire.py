"""Whether the wire of a transmitting antenna is thick enough for its span."""

from __future__ import annotations

from checklist.calculations.bonding.gauge import SIZES, gauge_text
from checklist.calculations.judging import Judgement
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.quantities import Quantity
from checklist.rulebook import Book

_MATERIALS = ("hard-drawn copper", "copper-clad steel", "bronze")

_INPUTS = (
    Input("material", "what the wire is made of", example="hard-drawn copper",
          choices={m: m for m in _MATERIALS} | {"other": "soft copper, aluminium, anything else"}),
    Input("span", "the longest span without a support", "length", "130 ft", most="5000 ft"),
    Input("awg", "the gauge of the wire", example="14", choices={s: s for s in SIZES}),
)  # fmt: skip


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    material, span = inputs.word("material"), inputs.quantity("span")
    awg = inputs.word("awg")
    for name, known in (
        ("the material of the wire", material), ("the span", span), ("the gauge", awg),
    ):  # fmt: skip
        if not known:
            judgement.unknown(name)
    if material == "other":
        judgement.unknown("that wire", "has no row in the table here")
    if material not in _MATERIALS or span is None:
        return judgement.result()
    long = judgement.value(book.value("bonding/long-span"))
    column = "short" if span < long else "long"
    needed = judgement.cell(book.table("bonding/transmitting-wire").row(material), column)
    judgement.lines.append(
        f"{material}, span {span.text()}, the {column} column (long from {long.text()} on): "
        f"at least {gauge_text(int(needed.value))}"
    )
    judgement.output("gauge", "thinnest wire allowed", needed, "down")
    if awg:
        has = Quantity.of(SIZES[awg], "AWG")
        least = gauge_text(int(needed.value))
        said = f"{awg} AWG, at least {least} is needed for {span.text()}"
        if has > needed:
            judgement.over(f"{said}: a larger number is thinner.", "gauge")
        else:
            judgement.met(f"{said}.", "gauge")
    return judgement.result()


ANTENNA_WIRE = Calculation(
    name="antenna-wire",
    title="Wire of a transmitting antenna",
    version=1,
    inputs=_INPUTS,
    formula="the gauge is not thinner than the table's for its material, below or from 150 ft on",
    sources=("nec-810-52",),
    assumptions=(
        "A span of exactly 150 ft is counted as the long one.",
        "Ice, wind and the pull of a loaded wire are not in it, nor does it cross any power line.",
    ),
    compute=_compute,
)

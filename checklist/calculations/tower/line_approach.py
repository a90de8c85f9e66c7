"""How near an unqualified person, with all that is held, may come to an overhead line."""

from __future__ import annotations

from fractions import Fraction

from checklist.calculations.judging import Computed, Judgement, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.quantities import Quantity
from checklist.rulebook import Book

_INPUTS = (
    Input(
        "voltage-to-ground",
        "the voltage of the line to ground, from its utility",
        "voltage",
        "34.5 kV",
        most="2000 kV",
    ),
    Input(
        "approach",
        "the nearest that a person or the longest thing held can come to the line",
        "length",
        "12 ft",
        least="0 ft",
        most="10 mi",
    ),
)


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    voltage, approach = inputs.quantity("voltage-to-ground"), inputs.quantity("approach")
    base = judgement.value(book.value("approach/base"))
    if approach is None:
        judgement.unknown("the nearest approach")
    if voltage is None:
        judgement.unknown("the voltage of the line", "is unknown; its utility knows it")
        needed = Computed(base.to("ft"), "ft")
        judgement.lines.append(f"at the very least, whatever the voltage: {base.text()}")
    else:
        needed = _needed(judgement, voltage, base, book)
    judgement.output("needed", "least approach that is needed", needed)
    if approach is not None:
        judgement.at_least("approach", approach, needed, "10 ft + 4 in for each 10 kV above 50 kV")
    return judgement.result()


def _needed(judgement: Judgement, voltage: Quantity, base: Quantity, book: Book) -> Computed:
    """Return what is needed, each started 10 kV counted in full; the plain line is put out too."""
    start = judgement.value(book.value("approach/base-voltage"))
    step = judgement.value(book.value("approach/step"))
    per = judgement.value(book.value("approach/step-voltage"))
    steps = max((voltage.si - start.si) / per.si, Fraction(0))
    started = -(-steps.numerator // steps.denominator)
    plain = Computed(base.to("ft") + steps * step.to("ft"), "ft")
    needed = Computed(base.to("ft") + started * step.to("ft"), "ft")
    judgement.lines.append(
        f"steps: ({voltage.text()} - {start.text()}) / {per.text()}, none below 0 = "
        f"{float(steps):.5g}; started ones in full: {started}"
    )
    judgement.lines.append(
        f"in proportion: {base.text()} + {float(steps):.5g} x {step.text()} = {near(plain)}"
    )
    judgement.lines.append(f"in full: {base.text()} + {started} x {step.text()} = {near(needed)}")
    judgement.output("proportional", "the same in proportion, the milder reading", plain)
    return needed


LINE_APPROACH = Calculation(
    name="line-approach",
    title="Approach to an overhead line",
    version=1,
    inputs=_INPUTS,
    formula="needed = 10 ft + 4 in for each 10 kV, started ones in full, above 50 kV to ground",
    sources=("osha-333-lines",),
    assumptions=(
        "Unqualified people, and everything conductive that they hold or raise.",
        "For what can fall toward a line, power-line-distance asks for more; the larger counts.",
        "The utility's own figure prevails where it is larger.",
    ),
    compute=_compute,
)

"""The resistivity of soil from four probes in a line, by Wenner's method."""

from __future__ import annotations

from fractions import Fraction
from math import pi

from checklist.calculations.judging import Computed, Judgement, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.rulebook import Book

_INPUTS = (
    Input("spacing", "the distance from each probe to the next, all equal", "length", "20 ft",
          most="1000 ft"),
    Input("depth", "how deep the probes stand in the ground", "length", "6 in", most="30 ft"),
    Input("reading", "the resistance that the instrument shows", "resistance", "2 ohm",
          most="1000000 ohm"),
)  # fmt: skip


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    spacing, depth = inputs.quantity("spacing"), inputs.quantity("depth")
    reading = inputs.quantity("reading")
    for name, value in (
        ("distance between the probes", spacing), ("depth of the probes", depth),
        ("reading", reading),
    ):  # fmt: skip
        if value is None:
            judgement.unknown(f"the {name}")
    if spacing is not None and reading is not None:
        metres = Fraction(2 * pi) * spacing.si * reading.si
        result = Computed(metres * 100, "ohm cm")
        judgement.lines.append(f"rho = 2 pi x {spacing.text()} x {reading.text()} = {near(result)}")
        judgement.lines.append(
            f"in ohm metres: {near(result)} / 100 = {near(Computed(metres, 'ohm m'))}"
        )
        judgement.output("resistivity", "resistivity down to about that distance", result)
        judgement.output("in-metres", "the same in ohm metres", Computed(metres, "ohm m"))
    if spacing is not None and depth is not None:
        share = judgement.value(book.value("earth/probe-depth-share"))
        most = Computed(spacing.to("ft") * share.si, "ft")
        judgement.lines.append(f"{share.text()} x {spacing.text()} = {near(most)}")
        judgement.at_most("depth of the probes", depth, most, f"{share.text()} of their distance")
    return judgement.result()


SOIL_RESISTIVITY = Calculation(
    name="soil-resistivity",
    title="Soil resistivity by four probes",
    version=1,
    inputs=_INPUTS,
    formula="rho = 2 pi a R (ohm m), a the distance between neighbouring probes (m), R what the "
    "instrument shows (ohm)",
    sources=("wenner", "practice"),
    assumptions=(
        "Four probes in a straight line, away from pipes, fences and buried wire.",
        "The probes stand shallow beside their distance; it is an average down to about a.",
    ),
    compute=_compute,
)

"""What resistance a single rod may come to in a soil, and whether the rod is one at all."""

from __future__ import annotations

from fractions import Fraction

from checklist.calculations.bonding.rods import one_rod
from checklist.calculations.judging import Computed, Judgement, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.calculations.refusals import InputRefused
from checklist.quantities import Quantity
from checklist.rulebook import Book

_INPUTS = (
    Input("length", "the length of the rod in contact with soil", "length", "8 ft", most="300 ft"),
    Input("diameter", "the diameter of the rod, not its radius", "length", "0.625 in",
          most="12 in"),
    Input("soil", "the soil, where its resistivity was not measured", example="clay",
          choices={
              "fills": "fill: ashes, cinders, brine wastes",
              "clay": "clay, shale, gumbo, loam",
              "mixed": "the same with sand and gravel in it",
              "gravel": "gravel, sand, stones, with little clay or loam",
          }, optional=True),
    Input("resistivity", "the resistivity of the soil, where it was measured", "resistivity",
          "100 ohm m", optional=True, most="10000000 ohm m"),
)  # fmt: skip


def _refuse(inputs: Given) -> None:
    soil = inputs.word("soil") or "soil" in inputs.unknown
    measured = inputs.quantity("resistivity") or "resistivity" in inputs.unknown
    if soil and measured:
        raise InputRefused(
            "soil", "soil and resistivity were both given", right="Give one of them."
        )
    if not soil and not measured:
        raise InputRefused("soil", "nothing was given", right="Give the soil or its resistivity.")
    length, diameter = inputs.quantity("length"), inputs.quantity("diameter")
    if length is not None and diameter is not None and diameter >= length:
        raise InputRefused(
            "diameter", "the rod is thicker than it is long", right="Check number and unit."
        )


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    length, diameter = inputs.quantity("length"), inputs.quantity("diameter")
    if length is None:
        judgement.unknown("the length of the rod")
    else:
        least = judgement.value(book.value("earth/rod-length"))
        judgement.at_least("rod in contact with soil", length, least, "NEC 250.52 and 250.53")
    if diameter is None:
        judgement.unknown("the diameter of the rod")
    else:
        _thickness(judgement, diameter, book)
    soils = _resistivities(judgement, inputs, book)
    if not soils:
        judgement.unknown("the resistivity of the soil")
    if length is None or diameter is None:
        return judgement.result()
    if soils:
        metres, radius = length.number("m"), diameter.number("m") / 2
        judgement.lines.append(f"length: {length.text()} = {metres:.5g} m")
        judgement.lines.append(f"radius: {diameter.text()} / 2 = {radius:.5g} m")
    for name, resistivity in soils.items():
        _resistance(judgement, name, resistivity, (length, diameter))
    judgement.caution(
        "A computed resistance is a guess at the soil: only a measurement tells, and no rod alone "
        "clears a fault."
    )
    return judgement.result()


def _thickness(judgement: Judgement, diameter: Quantity, book: Book) -> None:
    listed = judgement.value(book.value("earth/listed-rod-diameter"))
    unlisted = judgement.value(book.value("earth/rod-diameter"))
    judgement.at_least("diameter of the rod", diameter, listed, "NEC 250.52, a listed rod")
    judgement.lines.append(f"below {unlisted.text()} only a listed rod: {diameter.text()}")
    if listed <= diameter < unlisted:
        judgement.caution(f"Thinner than {unlisted.text()}, a rod must be listed: see its mark.")


def _resistivities(judgement: Judgement, inputs: Given, book: Book) -> dict[str, Quantity]:
    measured, soil = inputs.quantity("resistivity"), inputs.word("soil")
    if measured is not None:
        return {"resistance": measured}
    if not soil:
        return {}
    row = book.table("earth/soil").row(soil)
    judgement.cell(row, "average")
    return {"resistance": row["average"], "lowest": row["least"], "highest": row["greatest"]}


def _resistance(
    judgement: Judgement, name: str, resistivity: Quantity, rod: tuple[Quantity, Quantity]
) -> None:
    length, diameter = (quantity.number("m") for quantity in rod)
    ohms = Computed(Fraction(one_rod(resistivity.number("ohm m"), length, diameter)), "ohm")
    words = {"lowest": " in the best such soil", "highest": " in the worst such soil"}
    judgement.output(name, f"resistance of the rod{words.get(name, '')}", ohms)
    judgement.lines.append(
        f"soil{words.get(name, '')}: {resistivity.text()} = {resistivity.number('ohm m'):.5g} ohm m"
    )
    judgement.lines.append(
        f"{resistivity.text()}: {resistivity.number('ohm m'):.5g} ohm m / (2 pi x "
        f"{length:.5g} m) x (ln(4 x {length:.5g} m / {diameter / 2:.5g} m) - 1) = {near(ohms)}"
    )


EARTH_ROD = Calculation(
    name="earth-rod",
    title="A single ground rod",
    version=1,
    inputs=_INPUTS,
    formula="R = rho / (2 pi L) x (ln(4 L / a) - 1) in ohm, rho the resistivity of the soil "
    "(ohm m), L the length in soil and a half the diameter (m)",
    sources=("dwight-1936", "nec-250-52-rod", "nbs-108"),
    assumptions=(
        "Uniform soil; real soil has layers, dries out and freezes.",
        "A rod of copper-clad or zinc-coated steel, driven to its full length.",
        "Every electrode is tied into the one grounding system of the house.",
    ),
    compute=_compute,
    refuse=_refuse,
)

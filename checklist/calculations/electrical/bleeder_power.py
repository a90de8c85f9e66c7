"""Whether a bleeder bears the power and the voltage that lie across it all the time."""

from __future__ import annotations

from checklist.calculations.judging import Computed, Judgement, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.rulebook import Book

_INPUTS = (
    Input("voltage", "the highest voltage across the bleeder", "voltage", "2500 V", most="1000 kV"),
    Input("resistance", "its resistance", "resistance", "100 kohm", most="1000000 Mohm"),
    Input("power-rating", "the power that it is rated for", "power", "150 W", most="100 kW"),
    Input(
        "voltage-rating",
        "the voltage that its maker allows across it, whatever its power",
        "voltage",
        "5 kV",
        optional=True,
        most="1000 kV",
    ),
)


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    voltage, resistance = inputs.quantity("voltage"), inputs.quantity("resistance")
    rating, most = inputs.quantity("power-rating"), inputs.quantity("voltage-rating")
    for name, value in (("voltage", voltage), ("resistance", resistance), ("rating", rating)):
        if value is None:
            judgement.unknown(f"the {name} of the bleeder")
    if voltage is not None and resistance is not None:
        power = Computed(voltage.si**2 / resistance.si, "W")
        judgement.lines.append(f"P = ({voltage.text()})^2 / {resistance.text()} = {near(power)}")
        judgement.output("power", "power that the bleeder turns to heat", power)
        factor = judgement.value(book.value("stored-energy/bleeder-power-factor"))
        need = Computed(power.exact * factor.si, "W")
        judgement.lines.append(f"{factor.value} x {near(power)} = {near(need)}")
        judgement.output("rating-needed", "power that it should be rated for", need)
        if rating is not None:
            judgement.at_least("power rating", rating, need, f"{factor.value} x its dissipation")
    if most is None and "voltage-rating" not in inputs.unknown:
        judgement.caution("Its voltage rating was not given: a resistor fails by voltage too.")
    if voltage is not None and most is not None:
        judgement.at_least("voltage rating", most, voltage, "the voltage across it")
    return judgement.result()


BLEEDER_POWER = Calculation(
    name="bleeder-power",
    title="Power in a bleeder",
    version=1,
    inputs=_INPUTS,
    formula="P = V^2 / R (W, V, ohm); the rating is at least twice that, and the voltage rating"
    " at least V",
    sources=("practice",),
    assumptions=("The full voltage lies across it all the time; cooling as its maker has it.",),
    compute=_compute,
)

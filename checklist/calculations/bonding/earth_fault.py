"""What current a fault drives through the earth alone: why a rod clears nothing."""

from __future__ import annotations

from checklist.calculations.judging import Computed, Judgement, low, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.rulebook import Book

_INPUTS = (
    Input("voltage", "the voltage of the faulty conductor to ground", "voltage", "120 V",
          most="1000 kV"),
    Input("resistance", "the resistance of the path through the earth, all rods on the way",
          "resistance", "25 ohm", most="1000000 ohm"),
    Input("breaker", "the rating of the breaker that should open", "current", "20 A",
          most="10000 A"),
)  # fmt: skip


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    voltage, resistance = inputs.quantity("voltage"), inputs.quantity("resistance")
    breaker = inputs.quantity("breaker")
    for name, value in (("voltage", voltage), ("resistance", resistance), ("breaker", breaker)):
        if value is None:
            judgement.unknown(f"the {name}")
    judgement.unknown(
        "the earth as the only path",
        "is no effective one (NEC 250.4(A)(5)): bond with a wire, whatever is computed",
    )
    if voltage is None or resistance is None:
        return judgement.result()
    current = Computed(voltage.si / resistance.si, "A")
    judgement.lines.append(f"I = {voltage.text()} / {resistance.text()} = {near(current)}")
    judgement.output("current", "current of the fault through the earth", current, "down")
    if breaker is not None and current.si <= breaker.si:
        judgement.over(
            f"The fault draws {low(current)} through the earth: a breaker of {breaker.text()} "
            "stays closed, and everything bonded to the rod stays live.",
            "current through the earth",
        )
    return judgement.result()


EARTH_FAULT = Calculation(
    name="earth-fault",
    title="Fault current through the earth",
    version=1,
    inputs=_INPUTS,
    formula="I = V / R (A, V to ground, R of the whole path through the earth in ohm)",
    sources=("nec-250-4",),
    assumptions=(
        "The earth is the only path back, as with a lone rod that is not bonded to the service.",
        "A breaker opens fast only at several times its rating.",
    ),
    compute=_compute,
    only_stops=True,
)

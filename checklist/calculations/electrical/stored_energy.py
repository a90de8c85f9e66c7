"""How much energy a charged capacitor holds, and whether that is a hazard by each source."""

from __future__ import annotations

from collections.abc import Callable

from checklist.calculations.judging import Computed, Judgement, high, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.quantities import Quantity
from checklist.rulebook import Book, Row

_INPUTS = (
    Input(
        "capacitance",
        "the capacitance of all that is charged together",
        "capacitance",
        "40 uF",
        most="10000 F",
    ),
    Input(
        "voltage",
        "the highest voltage to which it can be charged",
        "voltage",
        "2500 V",
        most="1000 kV",
    ),
)

_Passes = Callable[[Quantity, Row], bool]

_RULES: tuple[tuple[str, str, _Passes, bool], ...] = (
    ("doe-reached", "LBNL and DOE", lambda v, row: v >= row["voltage"], True),
    ("doe-passed", "LBNL and DOE", lambda v, row: v > row["voltage"], False),
    ("nfpa-70e-passed", "NFPA 70E 360.3", lambda v, row: v >= row["voltage"], False),
)
"""Table, whose it is, when its row counts for a voltage, and whether equal energy is over."""


def stored_energy(capacitance: Quantity, voltage: Quantity) -> Computed:
    """Return the energy in joules, C V2 / 2, exact. Source: electrostatics."""
    return Computed(capacitance.si * voltage.si**2 / 2, "J")


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    capacitance, voltage = inputs.quantity("capacitance"), inputs.quantity("voltage")
    if capacitance is None:
        judgement.unknown("the capacitance")
    if voltage is None:
        judgement.unknown("the voltage")
    if capacitance is None or voltage is None:
        return judgement.result()
    energy = stored_energy(capacitance, voltage)
    judgement.lines.append(f"E = {capacitance.text()} x ({voltage.text()})^2 / 2 = {near(energy)}")
    judgement.output("energy", "energy that is stored", energy)
    for table, whose, counts, equal_is_over in _RULES:
        for row in book.table(f"stored-energy/{table}").rows.values():
            if counts(voltage, row):
                _hold(judgement, energy, row, f"{whose}: {row.key}", equal_is_over)
    judgement.caution(
        "Below a threshold is no permission to touch: discharge it, short it, and measure."
    )
    return judgement.result()


def _hold(
    judgement: Judgement, energy: Computed, row: Row, named: str, equal_is_over: bool
) -> None:
    limit = judgement.cell(row, "energy")
    if equal_is_over and energy.si == limit.si:
        judgement.over(f"Stored energy {high(energy)} reaches {limit.text()} ({named}).", named)
        return
    judgement.at_most("stored energy", energy, limit, named)


STORED_ENERGY = Calculation(
    name="stored-energy",
    title="Energy stored in a capacitor",
    version=1,
    inputs=_INPUTS,
    formula="E = C V^2 / 2 (J, F, V); each source's thresholds are held against it apart, the "
    "strictest decides",
    sources=("lbnl-capacitors", "nfpa-70e-360-3"),
    assumptions=(
        "Charged to the voltage given, with all capacitors that hang together counted.",
        "Dielectric absorption can rebuild voltage after a discharge: a solid short stays on.",
    ),
    compute=_compute,
    only_stops=True,
)

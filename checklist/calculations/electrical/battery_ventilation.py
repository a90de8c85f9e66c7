"""How much air a lead-acid battery on charge needs."""

from __future__ import annotations

from fractions import Fraction

from checklist.calculations.judging import Computed, Judgement, high, low, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.rulebook import Book

_INPUTS = (
    Input(
        "kind",
        "what kind of battery it is",
        example="vented",
        choices={
            "vented": "lead-acid with caps, filled with water",
            "valve-regulated": "sealed lead-acid, gel or glass mat",
            "other": "lithium, nickel or anything else",
        },
    ),
    Input(
        "charge",
        "the strongest charge it gets there",
        example="float",
        choices={"float": "kept full", "boost": "fast, boost or equalizing charge"},
    ),
    Input("cells", "the number of cells; 6 in 12 V", "ratio", "6", least="1", most="1000"),
    Input("capacity", "the capacity of each string of cells, added up over parallel strings",
          "charge", "100 Ah", most="100000 Ah"),
    Input("opening", "the free area of the opening in, and as much of the opening out", "area",
          "20 cm2", optional=True, most="100 m2"),
    Input("air-flow", "the flow of outside air, where a fan is proved to run", "volume flow",
          "1 m3/h", optional=True, most="100000 m3/h"),
    Input("charge-current", "the current that flows into full cells, for the time to 1 %",
          "current", "10 A", optional=True, most="10000 A"),
    Input("room", "the volume of the closed space, for the time to 1 %", "volume", "10 m3",
          optional=True, most="100000 m3"),
)  # fmt: skip


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    cells, capacity = inputs.quantity("cells"), inputs.quantity("capacity")
    kind, charge = inputs.word("kind"), inputs.word("charge")
    for name, known in (
        ("the kind of battery", kind), ("the charge", charge),
        ("the number of cells", cells), ("the capacity", capacity),
    ):  # fmt: skip
        if not known:
            judgement.unknown(name)
    if kind == "other":
        judgement.unknown("a battery that is not lead-acid", "is not covered; ask its maker")
    elif kind and charge and cells is not None and capacity is not None:
        gassing = judgement.cell(
            book.table("batteries/gassing").row(f"{kind}, {charge}"), "current"
        )
        factor = judgement.value(book.value("batteries/air-per-current"))
        current = gassing.to("A") * capacity.to("Ah")
        air = Computed(factor.to("m3/h") * cells.si * current, "m3/h")
        judgement.lines.append(
            f"Q = {factor.text()} x {cells.value} cells x {gassing.text()} per Ah x "
            f"{capacity.text()} / 1000 mA per A = {near(air)}"
        )
        judgement.output("air", "flow of outside air that is needed", air)
        _hold(judgement, inputs, air, book)
    _closed_room(judgement, inputs, book)
    return judgement.result()


def _hold(judgement: Judgement, inputs: Given, air: Computed, book: Book) -> None:
    per_air = judgement.value(book.value("batteries/opening-per-air"))
    need = Computed(per_air.to("cm2") * air.exact, "cm2")
    judgement.output("opening", "free area of each opening without a fan", need)
    judgement.lines.append(f"A = {per_air.text()} x {near(air)} = {near(need)}")
    opening, flow = inputs.quantity("opening"), inputs.quantity("air-flow")
    if opening is not None:
        judgement.at_least("opening", opening, need, "air in and out by itself")
    if flow is not None:
        judgement.at_least("flow of air", flow, air, "air by a fan")
    if opening is None and flow is None:
        judgement.unknown("the air that the battery gets", "was not given: opening or air-flow")


def _closed_room(judgement: Judgement, inputs: Given, book: Book) -> None:
    """Put out what a closed space would come to; a picture beside the need for air."""
    current, room, cells = (inputs.quantity(n) for n in ("charge-current", "room", "cells"))
    if current is None or cells is None:
        return
    per_charge = judgement.value(book.value("batteries/hydrogen-per-charge"))
    rate = Computed(per_charge.to("m3") * current.to("A") * cells.si, "m3/h")
    judgement.lines.append(
        f"hydrogen = {per_charge.text()} per Ah x {current.text()} x {cells.value} cells = "
        f"{near(rate)}"
    )
    judgement.output("hydrogen", "hydrogen given off", rate)
    if room is None:
        return
    share = judgement.value(book.value("batteries/hydrogen-design"))
    explosive = judgement.value(book.value("batteries/hydrogen-explosive"))
    hours = Computed(Fraction(room.to("m3")) * share.si / rate.exact, "h")
    judgement.output("closed-time", f"time to {share.text()} in the closed space", hours, "down")
    held = Computed(Fraction(room.to("m3")) * share.si, "m3")
    judgement.lines.append(f"hydrogen held: {share.text()} x {room.text()} = {near(held)}")
    judgement.lines.append(f"{share.text()} after {near(held)} / {near(rate)} = {near(hours)}")
    judgement.lines.append(f"explodes from {near(explosive)} on")
    judgement.caution(
        f"Closed, the space holds {share.text()} of hydrogen after {low(hours)} of such a charge; "
        f"{high(explosive)} explodes, and under a ceiling it is more."
    )


BATTERY_VENTILATION = Calculation(
    name="battery-ventilation",
    title="Air for a battery on charge",
    version=1,
    inputs=_INPUTS,
    formula="Q = 0.05 n Igas C / 1000 (m3/h, n cells, Igas in mA per Ah by the way of charging,"
    " C in Ah); opening A = 28 Q (cm2)",
    sources=("iec-62485-2", "hydrogen-limits"),
    assumptions=(
        "Stationary lead-acid cells that are whole; a failed charger gives off more.",
        "Openings on opposite walls or far apart, low in and high out, to the open air.",
        "Within arm's length of the vents nothing sparks, whatever the air.",
    ),
    compute=_compute,
)

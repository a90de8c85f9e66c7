"""How far from a power line a mast must stand, so that nothing that falls can reach it."""

from __future__ import annotations

from fractions import Fraction

from checklist.calculations.judging import Computed, Judgement, given, high, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.quantities import Quantity
from checklist.rulebook import Book

_INPUTS = (
    Input(
        "mast-height",
        "the height of the mast or tower above the ground, fully raised",
        "length",
        "40 ft",
        most="2500 ft",
    ),
    Input(
        "above-top",
        "how far the antenna stands above the mast; 0 ft if it does not",
        "length",
        "5 ft",
        least="0 ft",
        most="500 ft",
    ),
    Input(
        "sideways-reach",
        "the longest piece that can swing or be thrown sideways: boom, element, wire, rope end; "
        "0 ft if there is none",
        "length",
        "12 ft",
        least="0 ft",
        most="2500 ft",
    ),
    Input("line-voltage", "the voltage of the line, from its utility", "voltage", "7.2 kV",
          most="2000 kV"),
    Input(
        "ground-distance",
        "the distance on the ground from the foot of the mast to the point under the nearest wire; "
        "not the slant up to the wire, which is longer",
        "length",
        "90 ft",
        most="10 mi",
    ),
    Input(
        "utility-clearance",
        "the clearance that the utility has set in writing; needed above 1000 kV",
        "length",
        "60 ft",
        optional=True,
        most="2500 ft",
    ),
)  # fmt: skip


def _clearance(
    voltage: Quantity, utility: Quantity | None, book: Book, judgement: Judgement
) -> Quantity | None:
    """Return the largest clearance that anyone asks, or None where no rule gives one."""
    asked = [] if utility is None else [utility]
    row = book.table("lines/clearance").up_to(voltage)
    if row is not None:
        tabled = judgement.cell(row, "clearance")
        judgement.lines.append(f"clearance for {voltage.text()}, up to {row.key}: {near(tabled)}")
        asked.append(tabled)
    elif utility is None:
        return None
    if voltage > book.value("lines/presumed-from").quantity:
        start = judgement.value(book.value("lines/presumed-from"))
        presumed = judgement.value(book.value("lines/presumed-clearance"))
        judgement.lines.append(f"clearance presumed above {near(start)}: {near(presumed)}")
        asked.append(presumed)
    return max(asked)


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    parts = [inputs.quantity(n) for n in ("mast-height", "above-top", "sideways-reach")]
    known = [part for part in parts if part is not None]
    if len(known) < len(parts):
        judgement.unknown("what can fall", "has a part of unknown size")
    voltage = inputs.quantity("line-voltage")
    clearance = None
    if voltage is None:
        judgement.unknown("the voltage of the line", "is unknown; its utility knows it")
    else:
        clearance = _clearance(voltage, inputs.quantity("utility-clearance"), book, judgement)
        if clearance is None:
            judgement.unknown(
                "the clearance", "is set by the utility or a registered engineer above 1000 kV"
            )
    if clearance is None:
        judgement.lines.append("clearance at the very least, the first row of the table, follows")
    # Without a voltage the smallest clearance is what is needed at the very least.
    least = clearance or judgement.cell(
        next(iter(book.table("lines/clearance").rows.values())), "clearance"
    )
    _hold(judgement, inputs, known, least, book)
    return judgement.result()


def _hold(
    judgement: Judgement, inputs: Given, known: list[Quantity], clearance: Quantity, book: Book
) -> None:
    unit = (known[0] if known else clearance).unit.symbol
    reach = _sum([*known, clearance], unit)
    names = ("mast-height", "above-top", "sideways-reach")
    words = " + ".join(
        part.text() if (part := inputs.quantity(name)) else f"{name} unknown" for name in names
    )
    judgement.lines.append(f"all that can fall: {words} + clearance {clearance.text()} = "
                           f"{near(reach)}")  # fmt: skip
    height = [q for n in ("mast-height", "above-top") if (q := inputs.quantity(n)) is not None]
    factor = judgement.value(book.value("lines/height-factor"))
    tall = Computed(_sum(height, unit).exact * factor.si, unit)
    if len(height) > 1:
        words = " + ".join(part.text() for part in height)
        judgement.lines.append(f"height: {words} = {near(_sum(height, unit))}")
    judgement.lines.append(f"{factor.value} x height {near(_sum(height, unit))} = {near(tall)}")
    need, why = max(
        (reach, "all that can fall + clearance"),
        (tall, f"{factor.value} x height"),
        key=lambda pair: pair[0].si,
    )
    judgement.output("reach", "everything that can fall, swing or be thrown, and clearance", reach)
    judgement.output("height-multiple", "the multiple of the height that utilities ask", tall)
    judgement.output("needed", "the distance on the ground that is needed", need)
    judgement.output("clearance", "the clearance from the line itself", clearance)
    distance = inputs.quantity("ground-distance")
    if distance is None:
        judgement.unknown("the distance on the ground", f"is unknown; it needs {high(need)}")
        return
    judgement.lines.append(f"measured on the ground: {given(distance)}")
    judgement.at_least("ground distance", distance, need, why)


def _sum(parts: list[Quantity], unit: str) -> Computed:
    return Computed(sum((part.to(unit) for part in parts), Fraction(0)), unit)


POWER_LINE_DISTANCE = Calculation(
    name="power-line-distance",
    title="Distance from a power line",
    version=1,
    inputs=_INPUTS,
    formula="needed = the larger of (mast + antenna above it + sideways reach + clearance for the "
    "voltage) and 1.5 x (mast + antenna above it); measured on the ground to below the wire",
    sources=("osha-1926-1408", "osha-1926-1409", "practice"),
    assumptions=(
        "The whole mast can fall in any direction, guyed or not.",
        "The sideways reach adds to the height in full, as if it pointed at the line.",
        "The wire's sag and its swing in the wind are not added: measure to the nearest place.",
        "The clearance table is written for cranes; a larger figure of the utility prevails.",
    ),
    compute=_compute,
)

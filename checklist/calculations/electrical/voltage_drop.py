"""How much voltage a run of copper takes away."""

from __future__ import annotations

from checklist.calculations.judging import Computed, Judgement, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.quantities import Quantity, rounded
from checklist.rulebook import Book, Row

_SIZES = ("18", "16", "14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0")

_INPUTS = (
    Input(
        "awg",
        "the gauge of the conductors",
        example="12",
        choices={size: size for size in _SIZES},
    ),
    Input(
        "wire",
        "how the conductor is made",
        example="stranded",
        choices={"stranded": "many thin wires, as in every cord", "solid": "one wire"},
    ),
    Input("length", "the length of the run", "length", "100 ft", most="10 mi"),
    Input(
        "length-is",
        "what that length is",
        example="one-way",
        choices={
            "one-way": "from the source to the load",
            "there-and-back": "both conductors together",
        },
    ),
    Input("current", "the current that the load draws", "current", "15 A", most="1000 A"),
    Input(
        "supply-voltage",
        "the voltage at the source",
        "voltage",
        "120 V",
        least="1 V",
        most="1000 V",
    ),
    Input(
        "conductor-temperature",
        "the temperature of the copper itself",
        "temperature",
        "75 degC",
        optional=True,
        least="-60 degC",
        most="150 degC",
    ),
)


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    resistance = _resistance(judgement, inputs, book)
    loop = _loop(judgement, inputs)
    current, supply = inputs.quantity("current"), inputs.quantity("supply-voltage")
    if current is None:
        judgement.unknown("the current")
    if supply is None:
        judgement.unknown("the voltage at the source")
    if resistance is None or loop is None or current is None or supply is None:
        return judgement.result()
    drop = Computed(current.si * resistance.si * loop.si, "V")
    share = Computed(drop.exact / supply.si * 100, "%")
    judgement.lines.append(
        f"drop = {current.text()} x {near(resistance)} x {near(loop)} = {near(drop)}"
    )
    judgement.lines.append(f"share = {near(drop)} / {supply.text()} = {near(share)}")
    judgement.output("drop", "voltage lost in the conductors", drop)
    judgement.output("share", "voltage lost, as a share of the supply", share)
    most = judgement.value(book.value("conductors/drop-stop"))
    judgement.at_most("voltage drop", share, most, "what equipment is made for")
    _advise(judgement, share, book)
    return judgement.result()


def _resistance(judgement: Judgement, inputs: Given, book: Book) -> Computed | None:
    row = _row(judgement, inputs, book)
    if row is None or "conductor-temperature" in inputs.unknown:
        return None
    at_75 = judgement.cell(row, "resistance")
    table_temperature = judgement.value(book.value("conductors/resistance-temperature"))
    given = inputs.quantity("conductor-temperature")
    if given is None:
        judgement.assumptions.append(
            f"The copper is at {table_temperature.text()}, the temperature of the table."
        )
        return Computed(at_75.to("ohm/kft"), "ohm/kft")
    slope = judgement.value(book.value("conductors/copper-temperature-coefficient")).si
    factor = 1 + slope * (given.si - table_temperature.si)
    resistance = Computed(at_75.to("ohm/kft") * factor, "ohm/kft")
    judgement.lines.append(
        f"copper by heat: 1 + {float(slope):.6g} x ({given.text()} - {table_temperature.text()}) = "
        f"{float(factor):.4f}"
    )
    judgement.lines.append(f"at {given.text()}: {near(at_75)} x {float(factor):.4f} = "
                           f"{near(resistance)}")  # fmt: skip
    return resistance


def _row(judgement: Judgement, inputs: Given, book: Book) -> Row | None:
    awg, wire = inputs.word("awg"), inputs.word("wire")
    if "conductor-temperature" in inputs.unknown:
        judgement.unknown("the temperature of the copper")
    if not awg:
        judgement.unknown("the gauge")
    if not wire:
        judgement.unknown("whether the wire is stranded or solid")
    if not awg or not wire:
        return None
    row = book.table(f"conductors/{wire}-copper").rows.get(awg)
    if row is None:
        judgement.unknown(f"the resistance of {wire} {awg} AWG", "has no row in the table here")
    return row


def _loop(judgement: Judgement, inputs: Given) -> Computed | None:
    length, kind = inputs.quantity("length"), inputs.word("length-is")
    if length is None:
        judgement.unknown("the length")
    if not kind:
        judgement.unknown("whether the length is one-way or there and back")
    if length is None or not kind:
        return None
    times = 2 if kind == "one-way" else 1
    loop = Computed(length.to(length.unit.symbol) * times, length.unit.symbol)
    judgement.lines.append(f"conductor there and back: {times} x {length.text()} = {near(loop)}")
    return loop


def _advise(judgement: Judgement, share: Computed, book: Book) -> None:
    for name in ("drop-total", "drop-circuit"):
        limit = book.value(f"conductors/{name}")
        if share.si > limit.quantity.si:
            advised: Quantity = judgement.value(limit)
            shown = rounded(share.quantity, side="up")
            judgement.caution(
                f"The voltage drop is {shown}, over {advised.text()}: {limit.cited.means}."
            )
            return


VOLTAGE_DROP = Calculation(
    name="voltage-drop",
    title="Voltage drop",
    version=1,
    inputs=_INPUTS,
    formula="drop (V) = current (A) x resistance per length x length there and back; "
    "R = R75 (1 + 0.00323 (T - 75 °C)) for copper, R75 the table's at 75 °C",
    sources=("nec-chapter-9-table-8", "nec-210-19-note", "practice"),
    assumptions=(
        "Two copper conductors of the same gauge; plugs and joints are not in it.",
        "Direct-current resistance, unity power factor.",
        "The shares of 3 % and 5 % are informational notes, not enforceable rules; that of 10 % is "
        "common practice.",
    ),
    compute=_compute,
)

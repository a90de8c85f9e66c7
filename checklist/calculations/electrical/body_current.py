"""What current a contact voltage drives through a person, and what that current does."""

from __future__ import annotations

from checklist.calculations.judging import Computed, Judgement, high, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.quantities import Quantity
from checklist.rulebook import Book, Row

_BODIES = {
    "ieee-80": "1000 ohm at any voltage (IEEE Std 80)",
    "iec-479-1994": "by voltage, not exceeded by 5 % of people (IEC 479-1, 1994)",
    "iec-60479-2005": "by voltage, not exceeded by 5 % of people (IEC 60479-1, 2005 and 2018)",
}
_EFFECTS = {
    "osha-3075": "OSHA 3075, Controlling Electrical Hazards",
    "niosh-98-131": "NIOSH 98-131",
}

_INPUTS = (
    Input("voltage", "the voltage that is touched", "voltage", "120 V", most="1000 kV"),
    Input("kind", "what kind of voltage it is", example="ac",
          choices={"ac": "alternating, as from the mains", "dc": "direct, as from a battery"}),
    Input("body", "by which table a body is reckoned", example="ieee-80", choices=_BODIES),
    Input("skin", "whether the skin is dry", example="dry",
          choices={"dry": "dry", "wet": "wet, sweating, in water or on wet ground"}),
    Input("effects", "by which table the effect is named", example="osha-3075", choices=_EFFECTS),
)  # fmt: skip


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    voltage, kind = inputs.quantity("voltage"), inputs.word("kind")
    if voltage is None:
        judgement.unknown("the voltage that is touched")
    for name in ("kind", "body", "skin", "effects"):
        if not inputs.word(name):
            judgement.unknown(name)
    body = None if voltage is None else _body(judgement, inputs, voltage, book)
    if voltage is None or body is None:
        return judgement.result()
    current = Computed(voltage.si / body.si * 1000, "mA")
    judgement.lines.append(f"I = {voltage.text()} / {near(body)} = {near(current)}")
    judgement.output("current", "current through the body", current)
    # Alternating current is the stricter of the two where the kind is not known.
    _hold(judgement, voltage, current, kind or "ac", book)
    if inputs.word("effects"):
        _name_effect(judgement, current, inputs.word("effects"), book)
    return judgement.result()


def _body(judgement: Judgement, inputs: Given, voltage: Quantity, book: Book) -> Computed | None:
    """Return what resists the current; where the table ends, its last row and not shown."""
    name = inputs.word("body")
    if not name:
        return None
    if name == "ieee-80":
        dry = judgement.value(book.value("shock/ieee-80-body"))
    else:
        table = book.table(f"shock/{name}")
        row = table.up_to(voltage)
        if row is None:
            row = list(table.rows.values())[-1]
            judgement.unknown("the body's impedance", f"is not printed above {row.key}")
        dry = judgement.cell(row, "impedance")
    judgement.lines.append(f"body, dry: {dry.text()} ({_BODIES[name]})")
    if inputs.word("skin") == "dry":
        return Computed(dry.si, "ohm")
    share = judgement.value(book.value("shock/wet-share"))
    wet = Computed(dry.si * share.si, "ohm")
    judgement.lines.append(f"wet: {share.text()} of that = {near(wet)}")
    return wet


def _hold(
    judgement: Judgement, voltage: Quantity, current: Computed, kind: str, book: Book
) -> None:
    least = judgement.value(book.value(f"shock/{kind}-voltage"))
    most = judgement.value(book.value(f"shock/{kind}-current"))
    named = f"shock hazard from {least.text()} and {most.text()} {kind.upper()} on"
    if voltage < least:
        judgement.met(
            f"{voltage.text()} is below {least.text()}, where the threshold begins ({named}).",
            named,
        )
    elif current.si >= most.si:
        judgement.over(f"Current {high(current)} reaches {most.text()} ({named}).", named)
    else:
        judgement.at_most("current", current, most, named)


def _name_effect(judgement: Judgement, current: Computed, name: str, book: Book) -> None:
    """Name what the current does; between printed ranges, the one below it is the least it does."""
    rows = [r for r in book.table(f"shock/{name}").rows.values() if r["from"].si <= current.si]
    inside = [r for r in rows if "to" not in r.cells or current.si < r["to"].si]
    chosen = (inside if name == "osha-3075" and inside else rows[-1:]) or rows
    if not chosen:
        judgement.lines.append(f"{near(current)} is below every row of {_EFFECTS[name]}")
        judgement.caution(f"{high(current)} is below every row of {_EFFECTS[name]}.")
        return
    said = "; ".join(_row_words(judgement, row) for row in chosen)
    judgement.lines.append(f"{near(current)} by {_EFFECTS[name]}: {said}")
    judgement.caution(
        f"{high(current)} by {_EFFECTS[name]}: {said}. A band of a table is no permission: "
        "a startle on a ladder kills, and the tables disagree."
    )


def _row_words(judgement: Judgement, row: Row) -> str:
    start = judgement.cell(row, "from")
    end = f" to {row['to'].text()}" if "to" in row.cells else " on"
    return f"{row.key} (from {start.text()}{end})"


BODY_CURRENT = Calculation(
    name="body-current",
    title="Current through a body",
    version=1,
    inputs=_INPUTS,
    formula="I = V / Z (A, V, ohm), Z of the body by the table chosen; wet skin halves it",
    sources=(
        "ieee-80", "iec-479-1994", "iec-60479-2005", "iec-60479-wet", "osha-3075",
        "niosh-98-131", "lbnl-shock",
    ),
    assumptions=(
        "Hand to hand or hand to foot with a large contact; gloves and shoes are not counted.",
        "Between two rows the impedance of the higher voltage is taken, the strict side.",
        "Direct current is named by the tables for 60 Hz; radio-frequency burns are not covered.",
    ),
    compute=_compute,
    only_stops=True,
)  # fmt: skip

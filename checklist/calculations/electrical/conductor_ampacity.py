"""Whether a building wire carries its current and is protected by its breaker or fuse."""

from __future__ import annotations

from checklist.calculations.judging import Judgement, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.quantities import Quantity
from checklist.rulebook import Book

_SIZES = ("14", "12", "10", "8", "6", "4")
_COLUMN = {"60": "60 C", "75": "75 C", "90": "90 C"}

_INPUTS = (
    Input("awg", "the gauge of the copper wire", example="12", choices={s: s for s in _SIZES}),
    Input(
        "temperature-rating",
        "the lowest temperature rating of insulation, terminals and device, in °C",
        example="60",
        choices={
            "60": "60 °C; also where nothing is marked, up to 100 A",
            "75": "75 °C, marked on wire and terminals",
            "90": "90 °C, marked on wire and terminals",
        },
    ),
    Input("device", "the rating of its breaker or fuse", "current", "20 A", most="10000 A"),
    Input("current", "the current that it carries", "current", "12 A", most="10000 A"),
)


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    awg, column = inputs.word("awg"), inputs.word("temperature-rating")
    device, current = inputs.quantity("device"), inputs.quantity("current")
    for name, known in (
        ("the gauge", awg),
        ("the temperature rating", column),
        ("the rating of the breaker or fuse", device),
        ("the current", current),
    ):
        if not known:
            judgement.unknown(name)
    if device is not None and current is not None:
        judgement.at_most("current", current, device, "the rating of the breaker or fuse")
    if not awg:
        return judgement.result()
    if column:
        carries = judgement.cell(book.table("ampacity/copper").row(awg), _COLUMN[column])
        judgement.lines.append(f"{awg} AWG copper at {column} °C: {near(carries)}")
        judgement.output("ampacity", "what the wire carries", carries, "down")
        if current is not None:
            judgement.at_most("current", current, carries, f"what {awg} AWG carries")
        if device is not None:
            judgement.at_most("breaker or fuse", device, carries, f"what {awg} AWG carries")
    _small(judgement, awg, device, book)
    return judgement.result()


def _small(judgement: Judgement, awg: str, device: Quantity | None, book: Book) -> None:
    row = book.table("ampacity/small-copper").rows.get(awg)
    if row is None:
        return
    most = judgement.cell(row, "device")
    judgement.lines.append(f"NEC 240.4(D), {awg} AWG: {near(most)} at most")
    judgement.output("largest-device", "largest breaker or fuse on that gauge", most, "down")
    if device is not None:
        judgement.at_most("breaker or fuse", device, most, f"NEC 240.4(D) for {awg} AWG")


CONDUCTOR_AMPACITY = Calculation(
    name="conductor-ampacity",
    title="Wire and its breaker",
    version=1,
    inputs=_INPUTS,
    formula="current and breaker may pass neither the ampacity of the wire nor, for 14 to 10 AWG, "
    "15, 20 and 30 A",
    sources=("nec-310-16", "nec-240-4"),
    assumptions=(
        "Copper, at most three current-carrying conductors together, 30 °C (86 °F) around them.",
        "The next larger standard breaker, which the code allows in places, is not allowed here.",
        "Local code and a licensed electrician decide for fixed wiring.",
    ),
    compute=_compute,
)

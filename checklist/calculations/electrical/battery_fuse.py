"""Whether the fuse at a battery protects its wire and can open a full short circuit."""

from __future__ import annotations

from checklist.calculations.judging import Computed, Judgement, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.rulebook import Book

_INPUTS = (
    Input("voltage", "the highest voltage of the battery", "voltage", "12.6 V", most="1500 V"),
    Input(
        "loop-resistance",
        "the resistance of battery and leads together, to the place of the short",
        "resistance",
        "5 mohm",
        most="1000 ohm",
    ),
    Input("fuse", "the rating of the fuse", "current", "40 A", most="10000 A"),
    Input(
        "interrupt-rating",
        "the direct current that the fuse can open at that voltage",
        "current",
        "5 kA",
        most="1000 kA",
    ),
    Input("wire", "the current that the thinnest wire behind it carries", "current", "50 A",
          most="10000 A"),
    Input("load", "the current that the load draws", "current", "25 A", most="10000 A"),
    Input("distance", "the length of lead from the terminal to the fuse", "length", "5 in",
          least="0 in", most="100 ft"),
)  # fmt: skip

_NAMES = {
    "voltage": "the voltage of the battery",
    "loop-resistance": "the resistance of battery and leads",
    "fuse": "the rating of the fuse",
    "interrupt-rating": "what the fuse can open",
    "wire": "what the wire carries",
    "load": "the current of the load",
    "distance": "the distance from terminal to fuse",
}


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    for name, words in _NAMES.items():
        if inputs.quantity(name) is None:
            judgement.unknown(words)
    _short(judgement, inputs)
    fuse, wire = inputs.quantity("fuse"), inputs.quantity("wire")
    load, distance = inputs.quantity("load"), inputs.quantity("distance")
    if fuse is not None and wire is not None:
        judgement.at_most("fuse", fuse, wire, "what the wire carries")
    if fuse is not None and load is not None:
        judgement.at_most("load", load, fuse, "the rating of the fuse")
    if distance is not None:
        most = judgement.value(book.value("batteries/fuse-distance"))
        judgement.at_most("lead without a fuse", distance, most, "terminal to fuse")
    return judgement.result()


def _short(judgement: Judgement, inputs: Given) -> None:
    voltage, loop = inputs.quantity("voltage"), inputs.quantity("loop-resistance")
    opens = inputs.quantity("interrupt-rating")
    if voltage is None or loop is None:
        return
    short = Computed(voltage.si / loop.si, "A")
    judgement.lines.append(f"short circuit = {voltage.text()} / {loop.text()} = {near(short)}")
    judgement.output("short-circuit", "current of a bolted short circuit", short)
    if opens is not None:
        judgement.at_least("interrupting rating", opens, short, "a bolted short circuit")


BATTERY_FUSE = Calculation(
    name="battery-fuse",
    title="Fuse at a battery",
    version=1,
    inputs=_INPUTS,
    formula="short circuit = V / R (A, V, ohm of battery and leads); fuse at most what the wire "
    "carries and at least the load; "
    "interrupting rating at least the short circuit; fuse near the terminal",
    sources=("battery-fuse",),
    assumptions=(
        "The wire's figure already counts bundling and heat; 12 V does not shock, and burns.",
        "A fuse of the right voltage for direct current.",
    ),
    compute=_compute,
)

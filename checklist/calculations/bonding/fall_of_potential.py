"""Whether a three-probe measurement of an electrode can be believed."""

from __future__ import annotations

from checklist.calculations.judging import Computed, Judgement, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.quantities import Quantity
from checklist.rulebook import Book

_INPUTS = (
    Input("connected", "what the electrode is connected to while it is tested", example="nothing",
          choices={
              "nothing": "nothing: it is new, or all power was off and locked out",
              "live-service": "the grounding system of a service that is live",
          }),
    Input("current-probe", "the distance of the current probe", "length", "100 ft",
          most="10000 ft"),
    Input("electrode-size", "the length of the rod, or the longest diagonal of the electrodes",
          "length", "8 ft", most="10000 ft"),
    Input("at-62", "the reading with the voltage probe at 62 %", "resistance", "20 ohm",
          most="1000000 ohm"),
    Input("at-52", "the reading with the voltage probe at 52 %", "resistance", "19 ohm",
          most="1000000 ohm"),
    Input("at-72", "the reading with the voltage probe at 72 %", "resistance", "21 ohm",
          most="1000000 ohm"),
)  # fmt: skip


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    connected, probe = inputs.word("connected"), inputs.quantity("current-probe")
    size = inputs.quantity("electrode-size")
    if connected == "live-service":
        judgement.over(
            "The grounding conductor of a live service is never opened for a test: it carries "
            "current of the neutral. Use a clamp-on tester.",
            "connected",
        )
    elif not connected:
        judgement.unknown("what the electrode is connected to")
    if probe is None:
        judgement.unknown("the distance of the current probe")
    else:
        _place(judgement, probe, size, book)
    if size is None:
        judgement.unknown("the size of the electrode")
    _agreement(judgement, inputs, book)
    return judgement.result()


def _place(judgement: Judgement, probe: Quantity, size: Quantity | None, book: Book) -> None:
    unit = probe.unit.symbol
    share = judgement.value(book.value("earth/probe-position"))
    place = Computed(probe.to(unit) * share.si, unit)
    judgement.output("voltage-probe", "where the voltage probe stands", place)
    judgement.lines.append(f"voltage probe: {share.text()} of {probe.text()} = {near(place)}")
    if size is not None:
        times = judgement.value(book.value("earth/probe-distance"))
        need = Computed(size.to(unit) * times.si, unit)
        judgement.lines.append(f"{times.value} x {size.text()} = {near(need)}")
        judgement.at_least(
            "distance of the current probe", probe, need, f"{times.value} x the electrode's size"
        )


def _agreement(judgement: Judgement, inputs: Given, book: Book) -> None:
    middle, around = inputs.quantity("at-62"), [inputs.quantity(n) for n in ("at-52", "at-72")]
    if middle is None or None in around:
        judgement.unknown("a reading at 52, 62 or 72 %")
    if middle is None:
        return
    judgement.lines.append(f"measured at 62 %: {middle.text()}")
    judgement.output("resistance", "measured resistance to earth", middle)
    most = judgement.value(book.value("earth/probe-agreement"))
    for reading in around:
        if reading is not None:
            off = Computed(abs(reading.si - middle.si) / middle.si * 100, "%")
            judgement.lines.append(
                f"|{reading.text()} - {middle.text()}| / {middle.text()} = {near(off)}"
            )
            judgement.at_most("readings apart by", off, most, "else move the current probe out")


FALL_OF_POTENTIAL = Calculation(
    name="fall-of-potential",
    title="Fall-of-potential measurement",
    version=1,
    inputs=_INPUTS,
    formula="voltage probe at 61.8 % of the current probe's distance; 52 and 72 % agree",
    sources=("ieee-81", "practice"),
    assumptions=(
        "Probes in a straight line, away from pipes, fences and other electrodes.",
        "The resistance holds for the season and the moisture of that day.",
    ),
    compute=_compute,
)

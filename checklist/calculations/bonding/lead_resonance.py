"""Whether a lead to ground is resonant on a band that the station works."""

from __future__ import annotations

from fractions import Fraction

from checklist.calculations.judging import Computed, Judgement, low, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.quantities import Quantity
from checklist.rulebook import Book

_LIGHT = 299792458  # m/s, exact by the definition of the metre
_C = f"{_LIGHT} m/s"

_INPUTS = (
    Input("length", "the length of the lead from the equipment to the ground", "length", "8 ft",
          most="1000 ft"),
    Input("frequencies", "the frequencies that are worked, one a line", example="14.2 MHz",
          columns=(Input("frequency", "a frequency that is worked", "frequency", "14.2 MHz",
                         least="10 kHz", most="30 GHz"),)),
    Input("velocity-factor", "the velocity factor of the lead; 0.95 if left out", "ratio", "0.95",
          optional=True, least="0.1", most="1"),
)  # fmt: skip


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    length, factor = inputs.quantity("length"), inputs.quantity("velocity-factor")
    if length is None:
        judgement.unknown("the length of the lead")
    if not inputs.rows["frequencies"]:
        judgement.unknown("the frequencies that are worked")
    if factor is None:
        factor = judgement.value(book.value("bonding/velocity-factor"))
        judgement.assumptions.append(f"The velocity factor is {factor.value}.")
    rows = [row["frequency"] for row in inputs.rows["frequencies"]]
    known = [frequency for frequency in rows if isinstance(frequency, Quantity)]
    if len(known) < len(rows):
        judgement.unknown("one of the frequencies")
    if length is not None:
        unit = "ft" if length.unit.symbol in {"ft", "in", "yd", "mi"} else "m"
        judgement.lines.append(f"length: {length.text()} = {length.number('m'):.5g} m")
        resonant = Computed(_LIGHT * factor.si / (4 * length.si) / 10**6, "MHz")
        judgement.output("resonance", "lowest resonance, a quarter wave", resonant, "nearest")
        judgement.lines.append(
            f"{_C} x {factor.value} / (4 x {length.number('m'):.5g} m) = {near(resonant)}"
        )
        for number, frequency in enumerate(known, start=1):
            _band(judgement, number, (length, unit), (frequency, factor), book)
        _short(judgement, length, known, book)
    return judgement.result()


def _band(
    judgement: Judgement,
    number: int,
    lead: tuple[Quantity, str],
    wave: tuple[Quantity, Quantity],
    book: Book,
) -> None:
    """Put out the quarter wave at one frequency, and whether the lead is near an odd number."""
    (length, unit), (frequency, factor) = lead, wave
    metres = _LIGHT * factor.si / (4 * frequency.si)
    quarter = Computed(metres / Computed(Fraction(1), unit).si, unit)
    meaning = f"quarter wave at {frequency.text()}, and its odd multiples, to avoid"
    judgement.output(f"quarter-{number}", meaning, quarter, "nearest")
    judgement.lines.append(
        f"quarter wave at {frequency.text()}: {_C} x {factor.value} / (4 x {frequency.text()}) = "
        f"{near(quarter)}"
    )
    waves = length.si / metres
    odd = max(2 * round((waves - 1) / 2) + 1, 1)
    judgement.lines.append(
        f"in quarter waves: {length.text()} / {near(quarter)} = {float(waves):.5g}; nearest odd "
        f"number: {odd}"
    )
    near_by = judgement.value(book.value("bonding/near-resonance"))
    said = f"{length.text()} is {float(waves):.3g} quarter waves at {frequency.text()}"
    judgement.lines.append(
        f"|{float(waves):.5g} - {odd}| = {float(abs(waves - odd)):.5g}, near up to "
        f"{near_by.text()} of a quarter wave"
    )
    if abs(waves - odd) <= near_by.si:
        judgement.caution(
            f"{said}, within {near_by.text()} of {odd}: it grounds nothing there, and the "
            "equipment can be hot with RF. Make it shorter, or longer for that band."
        )
    else:
        judgement.met(f"{said}, and not near an odd number of them.", f"{frequency.text()}")


def _short(judgement: Judgement, length: Quantity, known: list[Quantity], book: Book) -> None:
    if not known:
        return
    highest = max(known)
    share = judgement.value(book.value("bonding/short-lead"))
    limit = Computed(_LIGHT / highest.si * share.si, "m")
    judgement.lines.append(f"short up to: {share.text()} x {_C} / {highest.text()} = {near(limit)}")
    judgement.met("It was held against the bands that are worked.", "the bands")
    if length.si > limit.si:
        judgement.caution(
            f"The lead is longer than {low(limit)}, {share.text()} of a wavelength at "
            f"{highest.text()}: it is not short there."
        )


LEAD_RESONANCE = Calculation(
    name="lead-resonance",
    title="Resonance of a lead to ground",
    version=1,
    inputs=_INPUTS,
    formula="quarter wave = c VF / (4 f), VF the share of the speed of light c on the lead; a "
    "lead near 1, 3, 5 ... of them is resonant",
    sources=("speed-of-light", "practice"),
    assumptions=(
        "A lead alone, grounded at its far end; nearness to walls and other wire shifts it.",
        "It is about radio frequency: a safety ground stays, resonant or not.",
    ),
    compute=_compute,
)

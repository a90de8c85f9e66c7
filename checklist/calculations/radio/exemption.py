"""Whether one transmitter is exempt from routine evaluation, worked out line by line."""

from __future__ import annotations

from fractions import Fraction

from checklist.calculations.judging import Computed, Judgement, high, low, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.quantities import Quantity
from checklist.rulebook import Book

_INPUTS = (
    Input("power", "the greatest average power that is available to the antenna", "power", "100 W",
          most="100 kW"),
    Input("gain", "the greatest gain of the antenna", "gain", "0 dBd", least="-60 dBi",
          most="60 dBi"),
    Input("distance", "from any part of the antenna to any part of a body", "length", "20 m",
          least="0 m", most="100 km"),
    Input("frequency", "the frequency", "frequency", "146 MHz", least="1 kHz", most="300 GHz"),
)  # fmt: skip


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    names = ("power", "gain", "distance", "frequency")
    for name in names:
        if inputs.quantity(name) is None:
            judgement.unknown(f"the {name}")
    power, gain, distance, frequency = (inputs.quantity(name) for name in names)
    erp = None
    if power is not None and gain is not None:
        times = 10 ** (gain.number("dBd") / 10)
        erp = Computed(Fraction(power.number("W") * times), "W")
        judgement.lines.append(f"gain: 10^({gain.number('dBd'):.6g} dBd / 10) = {times:.5g}")
        judgement.lines.append(f"ERP: {power.text()} x {times:.5g} = {near(erp)}")
        judgement.output("erp", "effective radiated power", erp)
    if power is not None:
        _one_milliwatt(judgement, power, book)
    if distance is not None and frequency is not None:
        _by_erp(judgement, (distance, frequency), erp, power, book)
    return judgement.result()


def _one_milliwatt(judgement: Judgement, power: Quantity, book: Book) -> None:
    least = judgement.value(book.value("exemption/one-milliwatt"))
    if power <= least:
        judgement.lines.append(f"{power.text()} is no more than {least.text()}: (A) applies")
        _exempt(judgement, f"{power.text()} is exempt up to {least.text()} (A)")
    else:
        judgement.lines.append(f"{power.text()} is more than {least.text()}: (A) does not apply")


def _by_erp(
    judgement: Judgement,
    where: tuple[Quantity, Quantity],
    erp: Computed | None,
    power: Quantity | None,
    book: Book,
) -> None:
    """Hold the ERP against the table of criterion (C), where it is available."""
    # Loaded late: the engine's package takes longer to load than all calculations together.
    from checklist.calculations.exposure.constants import SPEED_OF_LIGHT
    from checklist.calculations.exposure.exempt import quasi_static_m, threshold_erp_w

    distance, frequency = where
    hertz, metres = frequency.number("Hz"), distance.number("m")
    least = Computed(Fraction(quasi_static_m(hertz)), "m")
    judgement.output("nearest", "a wavelength over 2 pi, nearer than which (C) is not there", least)
    judgement.lines.append(
        f"wavelength / (2 pi): {SPEED_OF_LIGHT:.0f} m/s / {frequency.text()} / (2 pi) = "
        f"{near(least)}"
    )
    if power is not None and power <= book.value("exemption/one-milliwatt").quantity:
        return
    from_frequency = judgement.value(book.value("exemption/erp-least-frequency"))
    row = book.table("exemption/erp").up_to(frequency)
    if distance.si < least.si:
        judgement.unknown("an exemption", f"is not there nearer than {high(least)}: evaluate")
        return
    if row is None or frequency < from_frequency:
        judgement.unknown("an exemption", f"has no row at {frequency.text()}: evaluate")
        return
    judgement.lines.append(f"the table of ERP is there from {from_frequency.text()} on")
    factor, exponent = judgement.cell(row, "factor").value, row["power"].value
    threshold = Computed(Fraction(threshold_erp_w(hertz, metres, book) or 0.0), "W")
    judgement.lines.append(f"distance: {distance.text()} = {metres:.6g} m")
    judgement.lines.append(
        f"threshold, row up to {row.key}: {factor} x ({metres:.6g})^2 x ({hertz / 1e6:.6g})^"
        f"{exponent}, in m and MHz = {near(threshold)}"
    )
    judgement.output("threshold", "ERP that is exempt there", threshold, "down")
    if erp is not None:
        _hold_erp(judgement, erp, threshold)


def _hold_erp(judgement: Judgement, erp: Computed, threshold: Computed) -> None:
    if erp.si <= threshold.si:
        judgement.lines.append(f"ERP {near(erp)} is no more than {near(threshold)}: (C) applies")
        _exempt(judgement, f"an ERP of {high(erp)} is exempt up to {low(threshold)} (C)")
    else:
        judgement.lines.append(f"ERP {near(erp)} is more than {near(threshold)}: (C) does not help")
        judgement.unknown(
            "an exemption", f"ends at {low(threshold)} there, and the ERP is {high(erp)}: evaluate"
        )


def _exempt(judgement: Judgement, said: str) -> None:
    """Say that it is exempt, which shows nothing about the limits themselves."""
    judgement.unknown("the limits", f"are not compared: {said}, which is not the same as within")


EXEMPTION = Calculation(
    name="exposure-exemption",
    title="Exempt from routine evaluation",
    version=1,
    inputs=_INPUTS,
    formula="exempt up to 1 mW (A); or, from a wavelength over 2 pi on, up to an ERP of factor x "
    "R^2 x f^power by the row of the frequency (W, R in m, f in MHz; C)",
    sources=("fcc-1307-exemption", "speed-of-light"),
    assumptions=(
        "One transmitter alone: several that are exempt alone can fail together.",
        "Criterion (B), for 0.5 to 40 cm, is not worked out here; a station's evaluation has it.",
        "Power is averaged over no more than 30 minutes; the greatest gain counts everywhere.",
        "Exempt is not the same as within the limits.",
    ),
    compute=_compute,
    only_stops=True,
)

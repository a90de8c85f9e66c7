"""What a lead to ground does at radio frequency and to a lightning current."""

from __future__ import annotations

from fractions import Fraction
from math import log, pi

from checklist.calculations.bonding.gauge import SIZES, diameter_in
from checklist.calculations.judging import Computed, Judgement, low, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.calculations.refusals import InputRefused
from checklist.quantities import Quantity
from checklist.rulebook import Book

_MICROHENRY_PER_INCH = 0.00508  # mu0 / (2 pi), 2 nH a centimetre, in the handbook's inches

_INPUTS = (
    Input("shape", "the shape of the lead", example="wire",
          choices={"wire": "round wire", "strap": "flat strap"}),
    Input("length", "the length of the lead, all bends counted", "length", "8 ft", most="1000 ft"),
    Input("awg", "for wire: its gauge, or give the diameter", example="6",
          choices={s: s for s in SIZES}, optional=True),
    Input("diameter", "for wire: its diameter, or give the gauge", "length", "0.162 in",
          optional=True, most="12 in"),
    Input("width", "for strap: its width", "length", "3 in", optional=True, most="10 ft"),
    Input("thickness", "for strap: its thickness", "length", "0.022 in", optional=True,
          most="1 in"),
    Input("frequency", "a frequency, to see the reactance", "frequency", "14.2 MHz", optional=True,
          most="30 GHz"),
    Input("slope", "how fast the current of a stroke rises, to see the voltage", "current slope",
          "20 kA/us", optional=True, most="1000 kA/us"),
)  # fmt: skip


def wire_inductance(length: float, diameter: float, constant: float) -> float:
    """Return the microhenries of a straight round wire, 0.00508 l (ln(4 l / d) - constant).

    Both in inches; the constant is 0.75 at low and 1.00 at radio frequency. Source: Rosa,
    Grover, Terman. The logarithm is the natural one.
    """
    return _MICROHENRY_PER_INCH * length * (log(4 * length / diameter) - constant)


def strap_inductance(length: float, width: float, thickness: float) -> float:
    """Return the microhenries of a flat strap, of inches.

    0.00508 l (ln(2 l / (w + t)) + 0.5 + 0.2235 (w + t) / l). Source: Terman.
    """
    around = width + thickness
    return (
        _MICROHENRY_PER_INCH * length * (log(2 * length / around) + 0.5 + 0.2235 * around / length)
    )


def _refuse(inputs: Given) -> None:
    has = {n for n in ("awg", "diameter", "width", "thickness")
           if n in inputs.unknown or inputs.values.get(n) is not None}  # fmt: skip
    shape = inputs.word("shape")
    if shape == "wire" and len(has & {"awg", "diameter"}) != 1:
        raise InputRefused("awg", "one of awg and diameter is needed", right="Give exactly one.")
    if shape == "wire" and has & {"width", "thickness"}:
        raise InputRefused("width", "a wire has none", right="Leave it out, or choose strap.")
    if shape == "strap" and not {"width", "thickness"} <= has:
        raise InputRefused("width", "a strap needs both", right="Give width and thickness.")
    if shape == "strap" and has & {"awg", "diameter"}:
        raise InputRefused("awg", "a strap has none", right="Leave it out, or choose wire.")
    _refuse_thick(inputs)


def _refuse_thick(inputs: Given) -> None:
    """Refuse a lead that is not long beside its thickness: the formulas are for long ones."""
    length = inputs.quantity("length")
    for name in ("diameter", "width", "thickness"):
        size = inputs.quantity(name)
        if length is not None and size is not None and size.si * 2 > length.si:
            raise InputRefused(
                name, "the lead is not long beside it", right="Check number and unit."
            )


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    length = inputs.quantity("length")
    if length is None:
        judgement.unknown("the length of the lead")
    microhenries = None if length is None else _inductance(judgement, inputs, length)
    if microhenries is None:
        judgement.unknown("the size of the lead")
        return judgement.result()
    frequency, slope = inputs.quantity("frequency"), inputs.quantity("slope")
    if frequency is not None:
        ohms = Computed(Fraction(2 * pi * microhenries) * frequency.si / 10**6, "ohm")
        judgement.output("reactance", f"reactance at {frequency.text()}", ohms)
        henries = near(_microhenries(microhenries))
        judgement.lines.append(f"X = 2 pi x {frequency.text()} x {henries} = {near(ohms)}")
        _advise(judgement, length, frequency, book)
    if slope is not None:
        volts = Computed(Fraction(microhenries) * slope.si / 10**9, "kV")
        judgement.output("voltage", f"voltage along the lead at {slope.text()}", volts)
        judgement.lines.append(
            f"V = {near(_microhenries(microhenries))} x {slope.text()} = {near(volts)}"
        )
    judgement.unknown(
        "whether the lead is short enough", "has no published limit: shorter, wider and straight"
    )
    return judgement.result()


def _inductance(judgement: Judgement, inputs: Given, length: Quantity) -> float | None:
    inches = length.number("in")
    judgement.lines.append(f"length: {length.text()} = {inches:.5g} in")
    if inputs.word("shape") == "strap":
        width, thickness = inputs.quantity("width"), inputs.quantity("thickness")
        if width is None or thickness is None:
            return None
        w, t = width.number("in"), thickness.number("in")
        low = strap_inductance(inches, w, t)
        words = (
            f"{_MICROHENRY_PER_INCH} uH/in x {inches:.5g} in x (ln(2 x {inches:.5g} in / "
            f"{w + t:.5g} in) + 0.5 + 0.2235 x {w + t:.5g} in / {inches:.5g} in)"
        )
        judgement.lines.append(
            f"width and thickness: {width.text()} + {thickness.text()} = {w + t:.5g} in"
        )
    elif (diameter := _diameter(inputs)) is not None and inputs.word("shape"):
        low = wire_inductance(inches, diameter, 0.75)
        words = f"{_wire_words(inches, diameter)} - 0.75)"
        judgement.lines += _diameter_lines(inputs, diameter)
        at_radio = _microhenries(wire_inductance(inches, diameter, 1.0))
        judgement.output("inductance-radio", "inductance at radio frequency", at_radio)
        judgement.lines.append(
            f"at radio frequency: {_wire_words(inches, diameter)} - 1.00) = {near(at_radio)}"
        )
    else:
        return None
    judgement.output("inductance", "inductance, the larger figure", _microhenries(low))
    judgement.lines.append(f"L = {words} = {near(_microhenries(low))}")
    return low


def _wire_words(inches: float, diameter: float) -> str:
    return (
        f"{_MICROHENRY_PER_INCH} uH/in x {inches:.5g} in x "
        f"(ln(4 x {inches:.5g} in / {diameter:.5g} in)"
    )


def _diameter_lines(inputs: Given, diameter: float) -> list[str]:
    awg, typed = inputs.word("awg"), inputs.quantity("diameter")
    if typed is not None:
        return [f"diameter: {typed.text()} = {diameter:.5g} in"]
    number = SIZES[awg]
    counted = [f"{awg} AWG counts as number {number}"] if number < 1 else []
    taken = f"({number})" if number < 0 else f"{number}"
    return [*counted, f"diameter: 0.005 in x 92^((36 - {taken}) / 39) = {diameter:.5g} in"]


def _diameter(inputs: Given) -> float | None:
    if inputs.word("awg"):
        return diameter_in(SIZES[inputs.word("awg")])
    diameter = inputs.quantity("diameter")
    return None if diameter is None else diameter.number("in")


def _advise(judgement: Judgement, length: Quantity | None, frequency: Quantity, book: Book) -> None:
    share = judgement.value(book.value("bonding/short-lead"))
    limit = Computed(Fraction(299792458) / frequency.si * share.si, "m")
    judgement.lines.append(
        f"short up to: {share.text()} x 299792458 m/s / {frequency.text()} = {near(limit)}"
    )
    if length is not None and length.si > limit.si:
        judgement.caution(
            f"The lead is longer than {low(limit)}, {share.text()} of a wavelength at "
            f"{frequency.text()}: it is no plain inductance there."
        )


def _microhenries(value: float) -> Computed:
    return Computed(Fraction(value), "uH")


LEAD_INDUCTANCE = Calculation(
    name="lead-inductance",
    title="Inductance of a lead to ground",
    version=1,
    inputs=_INPUTS,
    formula="wire L = 0.00508 l (ln(4 l / d) - 0.75), at radio frequency - 1.00; strap "
    "L = 0.00508 l (ln(2 l / (w + t)) + 0.5 + 0.2235 (w + t) / l); L in uH, length l, diameter d, "
    "width w and thickness t in inches; X = 2 pi f L; V = L di/dt",
    sources=("inductance-handbook", "awg-definition", "speed-of-light", "practice"),
    assumptions=(
        "A straight lead alone in space; a bend or a loop adds to it.",
        "The larger figure, for low frequency, is used for reactance and voltage.",
        "A slope of 20 kA/us is an illustration: strokes rise slower and faster.",
    ),
    compute=_compute,
    refuse=_refuse,
)

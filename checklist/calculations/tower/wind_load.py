"""What the wind does to an antenna and to the mast that carries it."""

from __future__ import annotations

import math
from fractions import Fraction

from checklist.calculations.judging import Computed, Judgement, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.calculations.refusals import InputRefused
from checklist.quantities import Quantity
from checklist.rulebook import Book

_INPUTS = (
    Input(
        "speed",
        "the design wind speed of the place, as a 3-second gust; not a fastest-mile figure",
        "speed",
        "90 mph",
        most="300 mph",
    ),
    Input(
        "area",
        "the wind area of all that is on the mast, with the shape factor in it, as makers give it",
        "area",
        "8 ft2",
        most="1000 ft2",
    ),
    Input("height", "the height of the antenna above the ground", "length", "45 ft", most="900 ft"),
    Input(
        "exposure",
        "the terrain around",
        example="C",
        choices={
            "B": "town, suburb or wood",
            "C": "open country with scattered obstacles",
            "D": "flat shore of open water",
        },
    ),
    Input(
        "lever-arm",
        "how far the antenna sits above the top bearing of its mast",
        "length",
        "4 ft",
        optional=True,
        most="100 ft",
    ),
    Input(
        "topographic-factor",
        "the topographic factor; 1 on level ground, more on a hill or ridge",
        "ratio",
        "1",
        optional=True,
        least="1",
        most="4",
    ),
    Input(
        "allowable-area",
        "the wind area that the maker of tower or mast allows",
        "area",
        "12 ft2",
        optional=True,
        most="1000 ft2",
    ),
    Input(
        "allowable-speed",
        "the wind speed that belongs to the maker's area, as a 3-second gust",
        "speed",
        "90 mph",
        optional=True,
        most="300 mph",
    ),
    Input(
        "allowable-moment",
        "the bending moment that the maker of the mast allows",
        "moment",
        "900 ft lbf",
        optional=True,
        most="1000000 ft lbf",
    ),
)


def velocity_pressure(speed: Quantity, factors: Fraction, book: Book) -> Computed:
    """Return the wind pressure on a flat plate, with the product of all factors put in.

    q = 0.00256 V2 in psf with V in mph; source: ASCE 7-05 to 7-16. Exact but for `factors`.
    """
    per_mph = book.value("wind/pressure-factor").quantity.to("psf")
    return Computed(per_mph * speed.to("mph") ** 2 * factors, "psf")


def exposure_coefficient(height: Quantity, exposure: str, book: Book) -> float:
    """Return Kz, the growth of pressure with height, by the power law 2.01 (z/zg)^(2/alpha).

    Below the table's lowest height the pressure there is taken; source: ASCE 7-05 to 7-16.
    """
    row = book.table("wind/exposure").row(exposure)
    reckoned = max(height, row["lowest"])
    share = float(reckoned.si / row["gradient"].si)
    factor = book.value("wind/power-law-factor").quantity.number("1")
    return factor * math.pow(share, 2 / row["alpha"].number("1"))


def _refuse(inputs: Given) -> None:
    speed = inputs.quantity("allowable-speed")
    area_is_given = inputs.quantity("allowable-area") or "allowable-area" in inputs.unknown
    if speed is not None and not area_is_given:
        raise InputRefused(
            "allowable-speed",
            "it belongs to the maker's area, which was not given",
            right="Give allowable-area too, or leave both out.",
        )


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    pressure = _pressure(judgement, inputs, book)
    area = inputs.quantity("area")
    if area is None:
        judgement.unknown("the wind area")
    force = None
    if pressure is not None and area is not None:
        force = Computed(pressure.exact * area.to("ft2"), "lbf")
        judgement.output("force", "force of the wind on the antenna", force)
        judgement.lines.append(f"force = {near(pressure)} x {area.text()} = {near(force)}")
    moment = _moment(judgement, inputs, force)
    _hold(judgement, inputs, force, moment, book)
    return judgement.result()


def _pressure(judgement: Judgement, inputs: Given, book: Book) -> Computed | None:
    speed, height = inputs.quantity("speed"), inputs.quantity("height")
    exposure = inputs.word("exposure")
    for name, value in (("the wind speed", speed), ("the height", height)):
        if value is None:
            judgement.unknown(name)
    if not exposure:
        judgement.unknown("the terrain around")
    if speed is None or height is None or not exposure:
        return None
    kz = exposure_coefficient(height, exposure, book)
    judgement.cell(book.table("wind/exposure").row(exposure), "alpha")
    judgement.value(book.value("wind/power-law-factor"))
    judgement.value(book.value("wind/pressure-factor"))
    given = inputs.quantity("topographic-factor")
    kzt = given.si if given is not None else Fraction(1)
    if given is None:
        judgement.assumptions.append("Level ground: on a hill or ridge the wind is stronger.")
    pressure = velocity_pressure(speed, Fraction(kz) * kzt, book)
    judgement.lines.append(_kz_line(height, exposure, kz, book))
    judgement.lines.append(
        f"q = {book.value('wind/pressure-factor').quantity.text()} x {kz:.5g} x {float(kzt):.4g} "
        f"x ({speed.number('mph'):.4g})^2, the speed in mph = {near(pressure)}"
    )
    judgement.output("pressure", "wind pressure at the antenna", pressure)
    return pressure


def _kz_line(height: Quantity, exposure: str, kz: float, book: Book) -> str:
    row = book.table("wind/exposure").row(exposure)
    factor, alpha = book.value("wind/power-law-factor").quantity, row["alpha"]
    reckoned = max(height, row["lowest"])
    lowest = "" if reckoned == height else f", {height.text()} counting as {reckoned.text()}"
    return (
        f"Kz, exposure {exposure}{lowest} = {factor.value} x ({reckoned.text()} / "
        f"{row['gradient'].text()})^(2 / {alpha.value}) = {kz:.5g}"
    )


def _moment(judgement: Judgement, inputs: Given, force: Computed | None) -> Computed | None:
    arm = inputs.quantity("lever-arm")
    if force is None or arm is None:
        return None
    moment = Computed(force.exact * arm.to("ft"), "ft lbf")
    judgement.output("moment", "bending moment of the mast at its top bearing", moment)
    judgement.lines.append(f"moment = {near(force)} x {arm.text()} = {near(moment)}")
    return moment


def _hold(
    judgement: Judgement,
    inputs: Given,
    force: Computed | None,
    moment: Computed | None,
    book: Book,
) -> None:
    area, allowed = inputs.quantity("area"), inputs.quantity("allowable-area")
    most = inputs.quantity("allowable-moment")
    if area is not None and allowed is not None:
        judgement.at_most("wind area", area, allowed, "the maker's area")
        _hold_at_speed(judgement, inputs, force, allowed, book)
    if most is not None:
        if moment is None:
            judgement.unknown("the bending moment", "needs the lever arm above the top bearing")
        else:
            judgement.at_most("bending moment", moment, most, "the maker's moment")
    if allowed is None and most is None:
        judgement.unknown(
            "whether the tower carries it",
            "cannot be said, as no figure of its maker was given: the numbers are advisory only",
        )


def _hold_at_speed(
    judgement: Judgement, inputs: Given, force: Computed | None, allowed: Quantity, book: Book
) -> None:
    """Hold the force here against the force that the maker's area takes at the maker's wind."""
    rated = inputs.quantity("allowable-speed")
    if rated is None:
        judgement.caution(
            "The wind speed that belongs to the maker's area was not given: areas alone compare."
        )
    elif force is not None:
        most = velocity_pressure(rated, Fraction(1), book)
        limit = Computed(most.exact * allowed.to("ft2"), "lbf")
        judgement.lines.append(
            f"the maker's wind: {book.value('wind/pressure-factor').quantity.text()} x "
            f"({rated.number('mph'):.4g})^2, the speed in mph = {near(most)}"
        )
        judgement.lines.append(
            f"the maker's area at the maker's wind: {near(most)} x {allowed.text()} = {near(limit)}"
        )
        judgement.at_most("wind force", force, limit, "the maker's area at the maker's wind")


WIND_LOAD = Calculation(
    name="wind-load",
    title="Wind load of an antenna",
    version=1,
    inputs=_INPUTS,
    formula="q = 0.00256 Kz Kzt V^2 (psf, V in mph); force = q x area; moment = force x lever arm; "
    "Kz = 2.01 (z/zg)^(2/alpha), z the height, zg and alpha by the terrain, Kzt 1 if left out",
    sources=("asce-7", "asce-7-exposure"),
    assumptions=(
        "ASCE 7-05 to 7-16; the 2022 edition has other constants, and local code may ask another.",
        "Directionality is left at 1, the strict side; gusts beyond the 3-second gust, ice and the "
        "mast's own area are not in it.",
        "The maker's area is taken at its own height factor of 1, the strict side.",
        "It holds for a structure that was designed: without its maker's or an engineer's figures "
        "it is advisory only.",
    ),
    compute=_compute,
    refuse=_refuse,
)

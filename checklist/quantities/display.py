"""Shows quantities: rounded to the strict side, and in feet and metres together."""

from __future__ import annotations

from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Context, Decimal
from typing import Literal

from checklist.quantities.quantity import Quantity, plain

Side = Literal["up", "down", "nearest"]

_ROUNDING = {"up": ROUND_CEILING, "down": ROUND_FLOOR, "nearest": ROUND_HALF_EVEN}

_OTHER_WORLD = {
    "ft": "m",
    "in": "cm",
    "m": "ft",
    "cm": "in",
    "mm": "in",
    "mi": "km",
    "km": "mi",
    "yd": "m",
    "ft2": "m2",
    "m2": "ft2",
    "ft3": "m3",
    "m3": "ft3",
    "gal": "L",
    "L": "gal",
    "mph": "km/h",
    "km/h": "mph",
    "m/s": "mph",
    "kn": "mph",
    "lb": "kg",
    "kg": "lb",
    "lbf": "N",
    "N": "lbf",
    "kgf": "lbf",
    "kN": "lbf",
    "week": "d",
    "in2": "cm2",
    "cm2": "in2",
    "psi": "kPa",
    "kPa": "psi",
    "ft/s": "m/s",
    "psf": "Pa",
    "Pa": "psf",
    "degF": "degC",
    "degC": "degF",
    "ft lbf": "N m",
    "N m": "ft lbf",
    "in lbf": "N m",
    "gal/h": "L/h",
    "L/h": "gal/h",
    "W": "kW",
    "kW": "W",
    "dBi": "dBd",
    "dBd": "dBi",
    "dB/100 ft": "dB/100 m",
    "dB/100 m": "dB/100 ft",
    "W/m2": "mW/cm2",
    "mW/cm2": "W/m2",
}
"""What a person of the other habit reads: feet beside metres, watts beside kilowatts."""


_FROM_HERE_KW = 10_000


def rounded(quantity: Quantity, digits: int = 3, side: Side = "nearest", unit: str = "") -> str:
    """Return the quantity in `unit` (or its own) to `digits` significant digits.

    `side` says where to round: a limit that must be reached is rounded up, one that must
    not be passed down, so that a shown number never reads milder than the number compared.
    Whole numbers keep all their digits. A plain number has no unit that people write.
    """
    symbol = unit or quantity.unit.symbol
    exact = quantity.to(symbol)
    value = Decimal(exact.numerator) / Decimal(exact.denominator)
    context = Context(prec=max(digits, value.adjusted() + 1, 1), rounding=_ROUNDING[side])
    return _written(context.create_decimal(value), symbol)


def figures(value: float, digits: int) -> str:
    """Return a number to `digits` significant digits, written out: never `1.556e+04`."""
    return plain(Decimal(f"{value:.{digits}g}"))


def power(watts: float, side: Side = "nearest") -> str:
    """Return a power to four digits, from 10 kW on in kilowatts."""
    return rounded(Quantity.of(watts, "W"), 4, side, "kW" if watts >= _FROM_HERE_KW else "W")


def unrounded(quantity: Quantity) -> str:
    """Return the quantity with all its digits in its own unit, as people write it."""
    return _written(quantity.value, quantity.unit.symbol)


def _written(value: Decimal, symbol: str) -> str:
    return plain(value) if symbol == "1" else f"{plain(value)} {symbol}"


def both(quantity: Quantity, digits: int = 3, side: Side = "nearest") -> str:
    """Return the quantity as given with the other habit's unit in brackets: `20 ft (6.10 m)`."""
    own = rounded(quantity, digits, side)
    other = _OTHER_WORLD.get(quantity.unit.symbol)
    return f"{own} ({rounded(quantity, digits, side, other)})" if other else own

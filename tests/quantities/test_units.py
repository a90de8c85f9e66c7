"""Units: every factor against another library, every spelling without mistake."""

from __future__ import annotations

import math
from fractions import Fraction

import pint
import pytest

from checklist.quantities import DIMENSIONS, UNITS, Unit, parse_quantity, unit_named

_SI = {
    "length": "meter",
    "area": "meter**2",
    "volume": "meter**3",
    "time": "second",
    "speed": "meter/second",
    "mass": "kilogram",
    "force": "newton",
    "moment": "newton*meter",
    "pressure": "pascal",
    "power": "watt",
    "apparent power": "watt",
    "voltage": "volt",
    "current": "ampere",
    "resistance": "ohm",
    "resistance per length": "ohm/meter",
    "capacitance": "farad",
    "inductance": "henry",
    "energy": "joule",
    "charge": "coulomb",
    "frequency": "hertz",
    "angle": "radian",
    "temperature": "kelvin",
    "ratio": "dimensionless",
    "concentration": "ppm",
    "mass flow": "kilogram/second",
    "volume flow": "meter**3/second",
    "air changes": "1/second",
    "mass concentration": "kilogram/meter**3",
    "resistivity": "ohm*meter",
    "gain": "decibel over an isotropic radiator",
    "attenuation": "decibel",
    "attenuation per length": "1/meter",
    "power density": "watt/meter**2",
    "electric field": "volt/meter",
    "magnetic field": "ampere/meter",
    "wire gauge": "dimensionless",
    "current slope": "ampere/second",
}

_ELSEWHERE = {
    "cm2": "cm**2",
    "m2": "m**2",
    "ft2": "foot**2",
    "in2": "inch**2",
    "cmil": "circular_mil",
    "m3": "m**3",
    "ft3": "foot**3",
    "L": "liter",
    "gal": "gallon",
    "d": "day",
    "week": "week",
    "h": "hour",
    "kn": "knot",
    "km/h": "km/hour",
    "mph": "mile/hour",
    "lbf": "pound_force",
    "kgf": "kilogram_force",
    "N m": "newton*meter",
    "ft lbf": "foot*pound_force",
    "in lbf": "inch*pound_force",
    "psf": "pound_force/foot**2",
    "mohm": "milliohm",
    "Mohm": "megaohm",
    "ohm/kft": "milliohm/foot",
    "ohm/km": "ohm/km",
    "F": "farad",
    "H": "henry",
    "Ah": "ampere*hour",
    "mAh": "milliampere*hour",
    "Wh": "watt*hour",
    "kWh": "kilowatt*hour",
    "1": "dimensionless",
    "%": "percent",
    "g/h": "gram/hour",
    "kg/h": "kilogram/hour",
    "gal/h": "gallon/hour",
    "L/h": "liter/hour",
    "m3/h": "meter**3/hour",
    "1/h": "1/hour",
    "mg/m3": "mg/meter**3",
    "ohm m": "ohm*meter",
    "ohm cm": "ohm*centimeter",
    "VA": "volt*ampere",
    "kVA": "kilovolt*ampere",
    "yd": "yard",
    "deg": "degree",
    "rad": "radian",
    "dB/m": "1/meter",
    "W/m2": "watt/meter**2",
    "mW/cm2": "milliwatt/cm**2",
    "uW/cm2": "microwatt/cm**2",
    "V/m": "volt/meter",
    "mV/m": "millivolt/meter",
    "kV/m": "kilovolt/meter",
    "A/m": "ampere/meter",
    "mA/m": "milliampere/meter",
    "AWG": "dimensionless",
    "kA/us": "kiloampere/microsecond",
}
"""How the oracle writes a unit that it does not know by the symbol used here."""


_APART = {"year", "dBi", "dBd", "dB", "dB/100 ft", "dB/100 m"}
"""Units that the oracle reads as something else (6 dBi as decibits), tested on their own."""


@pytest.fixture(scope="module")
def oracle() -> pint.UnitRegistry[float]:
    return pint.UnitRegistry()


@pytest.mark.parametrize(
    "unit",
    [u for u in UNITS.values() if u.symbol not in _APART and u.dimension != "temperature"],
    ids=lambda unit: unit.symbol,
)
def test_every_factor_agrees_with_another_library(
    unit: Unit, oracle: pint.UnitRegistry[float]
) -> None:
    """One of each unit is as many SI units as pint, an independent library, says."""
    one = oracle.Quantity(1.0, _ELSEWHERE.get(unit.symbol, unit.symbol))

    assert float(unit.factor) == pytest.approx(one.to(_SI[unit.dimension]).magnitude, rel=1e-12)


@pytest.mark.parametrize(
    ("symbol", "name"), [("degC", "degree_Celsius"), ("degF", "degree_Fahrenheit")]
)
@pytest.mark.parametrize("reading", [-40, 0, 32, 77, 100, 212])
def test_temperatures_agree_with_another_library(
    symbol: str, name: str, reading: int, oracle: pint.UnitRegistry[float]
) -> None:
    """A thermometer's reading is as many kelvins as pint says, offset included."""
    unit = UNITS[symbol]
    kelvin = oracle.Quantity(float(reading), name).to("kelvin").magnitude

    assert float(reading * unit.factor + unit.offset) == pytest.approx(kelvin, rel=1e-12)


@pytest.mark.parametrize(
    ("symbol", "printed"),
    [
        ("ft", Fraction("0.3048")),
        ("in", Fraction("0.0254")),
        ("mi", Fraction("1609.344")),
        ("lb", Fraction("0.45359237")),
        ("lbf", Fraction("4.4482216152605")),
        ("gal", Fraction("0.003785411784")),
        ("mph", Fraction("0.44704")),
        ("kgf", Fraction("9.80665")),
    ],
)
def test_exact_factors_are_the_printed_ones(symbol: str, printed: Fraction) -> None:
    """NIST SP 811 (2008) appendix B.8 prints these as exact (in bold)."""
    assert UNITS[symbol].factor == printed


@pytest.mark.parametrize(("symbol", "length"), [("dB/100 ft", "foot"), ("dB/100 m", "meter")])
def test_loss_along_a_line_agrees_with_another_library(
    symbol: str, length: str, oracle: pint.UnitRegistry[float]
) -> None:
    """One decibel in a hundred feet or metres is as many in a metre as pint's lengths make it."""
    metres = oracle.Quantity(100.0, length).to("meter").magnitude

    assert float(UNITS[symbol].factor) == pytest.approx(1 / metres, rel=1e-12)


def test_a_dipole_is_as_far_over_isotropic_as_its_integral_says() -> None:
    """0 dBd is 2.15 dBi (ITU-R V.573); Balanis, Antenna Theory, 4.6: D = 4 / Cin(2 pi), 1.643.

    Cin is integrated here, (1 - cos t) / t from 0 to 2 pi, by the midpoint rule.
    """
    steps = 20_000
    width = 2 * math.pi / steps
    middles = ((n + 0.5) * width for n in range(steps))
    directivity = 4 / (width * sum((1 - math.cos(t)) / t for t in middles))

    assert directivity == pytest.approx(1.643, abs=0.0025)  # from memory: 1.643 or 1.64 printed
    assert 10 * math.log10(directivity) == pytest.approx(2.15, abs=0.005)  # rounded to 2.15
    assert float(UNITS["dBd"].offset) == 2.15


def test_gains_compare_across_their_two_references() -> None:
    """6 dBd are 8.15 dBi, and more than 8 dBi."""
    typed = parse_quantity("6 dBd", "gain")

    assert typed.to("dBi") == Fraction("8.15")
    assert typed > parse_quantity("8 dBi", "gain")


def test_a_year_is_of_365_days() -> None:
    """Lives of answers count in days: a year is 365 of them, not the astronomers' 365.25."""
    assert UNITS["year"].factor == 365 * UNITS["d"].factor


@pytest.mark.parametrize("unit", UNITS.values(), ids=lambda unit: unit.symbol)
def test_every_symbol_and_spelling_finds_its_unit(unit: Unit) -> None:
    """Whatever is listed for a unit is read as that unit where its dimension is asked for."""
    for spelling in (unit.symbol, *unit.spellings):
        assert unit_named(spelling, unit.dimension) is unit


@pytest.mark.parametrize("unit", UNITS.values(), ids=lambda unit: unit.symbol)
def test_another_case_never_changes_the_size(unit: Unit) -> None:
    """Capital or small letters may be refused; they never give another unit of the dimension."""
    for spelling in (unit.symbol.upper(), unit.symbol.lower(), unit.symbol.swapcase()):
        found = unit_named(spelling, unit.dimension)

        assert found is None or found.symbol in {unit.symbol, spelling} or (
            found.dimension != unit.dimension
        )  # fmt: skip


@pytest.mark.parametrize(
    ("typed", "dimension"),
    [
        ("MW", "power"),
        ("MV", "voltage"),
        ("MA", "current"),
        ("MAh", "charge"),
        ("MS", "time"),
        ("MW/cm2", "power density"),
        ("MV/m", "electric field"),
        ("MA/m", "magnetic field"),
    ],
)
def test_mega_is_never_read_as_milli(typed: str, dimension: str) -> None:
    """5 MW is not 5 mW: a unit that is not known is refused, not guessed."""
    assert unit_named(typed, dimension) is None


def test_megohms_and_milliohms_keep_apart() -> None:
    """A bleeder of 1 MΩ is not 1 mΩ, however the sign is typed."""
    assert unit_named("MΩ", "resistance") is UNITS["Mohm"]
    assert unit_named("mΩ", "resistance") is UNITS["mohm"]
    assert unit_named("MOHM", "resistance") is None


def test_the_dimension_asked_for_comes_first() -> None:
    """`F` is a temperature where one is asked for, and a farad where a capacitance is."""
    assert unit_named("F", "temperature") is UNITS["degF"]
    assert unit_named("F", "capacitance") is UNITS["F"]


def test_symbols_are_unique_and_dimensions_complete() -> None:
    """Each unit has one symbol, and stands in exactly one dimension."""
    listed = [unit for units in DIMENSIONS.values() for unit in units]

    assert len(listed) == len(UNITS)
    assert set(_SI) == set(DIMENSIONS)

"""The units that the trade types, each with its exact factor to the SI unit of its dimension.

Factors are exact rationals. Sources: BIPM, The International System of Units (9th ed.,
2019) for SI and prefixes; NIST Special Publication 811 (2008), Appendix B.8, for the foot,
inch, mile, pound, pound-force, gallon, horsepower-free units and degree Fahrenheit, all of
which are exact there (bold type). The tests compare every factor with another library.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

_FOOT = Fraction(3048, 10000)
_POUND = Fraction(45359237, 100000000)
_GRAVITY = Fraction(980665, 100000)
_POUND_FORCE = _POUND * _GRAVITY
_GALLON = Fraction(3785411784, 10**12)
_HOUR = 3600

# A half-wave dipole over an isotropic radiator, rounded to two decimals as the trade has it
# (ITU-R V.573: 2.15 dB); dBd and dBi differ by it.
_DIPOLE_OVER_ISOTROPIC = Fraction(215, 100)


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit: how it is written, what it measures, and its way to SI."""

    symbol: str
    """The one spelling in which it is shown and stored."""

    dimension: str
    """What it measures; only units of one dimension are compared."""

    factor: Fraction
    """SI units in one of these."""

    offset: Fraction = Fraction(0)
    """Added after the factor; only temperatures and gains have one."""

    spellings: tuple[str, ...] = ()
    """Other spellings that people type; matched without regard to case."""


def _unit(symbol: str, dimension: str, factor: Fraction | int, *spellings: str) -> Unit:
    return Unit(symbol, dimension, Fraction(factor), spellings=spellings)


_ALL = (
    _unit("m", "length", 1, "metre", "metres", "meter", "meters"),
    _unit("cm", "length", Fraction(1, 100)),
    _unit("mm", "length", Fraction(1, 1000)),
    _unit("km", "length", 1000),
    _unit("ft", "length", _FOOT, "foot", "feet", "'"),
    _unit("in", "length", _FOOT / 12, "inch", "inches", '"'),
    _unit("yd", "length", _FOOT * 3, "yard", "yards"),
    _unit("mi", "length", _FOOT * 5280, "mile", "miles"),
    _unit("m2", "area", 1, "m²", "sqm"),
    _unit("cm2", "area", Fraction(1, 10000), "cm²"),
    _unit("ft2", "area", _FOOT**2, "ft²", "sqft", "sq ft"),
    _unit("in2", "area", (_FOOT / 12) ** 2, "in²", "sq in"),
    _unit("cmil", "area", (_FOOT / 12000) ** 2 * Fraction(31415926535897932, 4 * 10**16)),
    _unit("m3", "volume", 1, "m³"),
    _unit("ft3", "volume", _FOOT**3, "ft³", "cu ft"),
    _unit("L", "volume", Fraction(1, 1000), "l", "litre", "litres", "liter", "liters"),
    _unit("gal", "volume", _GALLON, "gallon", "gallons", "us gal"),
    _unit("s", "time", 1, "sec", "second", "seconds"),
    _unit("min", "time", 60, "minute", "minutes"),
    _unit("h", "time", _HOUR, "hr", "hour", "hours"),
    _unit("d", "time", 24 * _HOUR, "day", "days"),
    _unit("week", "time", 7 * 24 * _HOUR, "wk", "weeks"),
    _unit("year", "time", 365 * 24 * _HOUR, "years"),
    _unit("ms", "time", Fraction(1, 1000)),
    _unit("m/s", "speed", 1, "mps"),
    _unit("km/h", "speed", Fraction(1000, _HOUR), "kph", "kmh"),
    _unit("mph", "speed", _FOOT * 5280 / _HOUR, "mi/h"),
    _unit("kn", "speed", Fraction(1852, _HOUR), "kt", "knot", "knots"),
    _unit("ft/s", "speed", _FOOT),
    _unit("kg", "mass", 1),
    _unit("g", "mass", Fraction(1, 1000)),
    _unit("lb", "mass", _POUND, "lbs", "pound", "pounds"),
    _unit("N", "force", 1),
    _unit("kN", "force", 1000),
    _unit("lbf", "force", _POUND_FORCE),
    _unit("kgf", "force", _GRAVITY),
    _unit("N m", "moment", 1, "nm", "n·m"),
    _unit("ft lbf", "moment", _FOOT * _POUND_FORCE, "lbf ft", "ft-lbf", "ft·lbf"),
    _unit("in lbf", "moment", _FOOT / 12 * _POUND_FORCE, "lbf in", "in-lbf", "in·lbf"),
    _unit("Pa", "pressure", 1),
    _unit("kPa", "pressure", 1000),
    _unit("psf", "pressure", _POUND_FORCE / _FOOT**2, "lbf/ft2", "lb/ft2"),
    _unit("psi", "pressure", _POUND_FORCE / (_FOOT / 12) ** 2),
    _unit("W", "power", 1, "watt", "watts"),
    _unit("mW", "power", Fraction(1, 1000)),
    _unit("kW", "power", 1000),
    _unit("VA", "apparent power", 1),
    _unit("kVA", "apparent power", 1000),
    _unit("V", "voltage", 1, "volt", "volts"),
    _unit("mV", "voltage", Fraction(1, 1000)),
    _unit("kV", "voltage", 1000),
    _unit("A", "current", 1, "amp", "amps"),
    _unit("mA", "current", Fraction(1, 1000)),
    _unit("kA", "current", 1000),
    _unit("ohm", "resistance", 1, "ohms", "Ω", "Ω"),
    _unit("mohm", "resistance", Fraction(1, 1000), "milliohm", "mΩ"),
    _unit("kohm", "resistance", 1000, "kΩ", "k"),
    _unit("Mohm", "resistance", 10**6, "megohm", "MΩ"),
    _unit("ohm/kft", "resistance per length", Fraction(1, 1000) / _FOOT),
    _unit("ohm/km", "resistance per length", Fraction(1, 1000)),
    _unit("F", "capacitance", 1, "farad"),
    _unit("uF", "capacitance", Fraction(1, 10**6), "µF", "μF", "mfd"),
    _unit("nF", "capacitance", Fraction(1, 10**9)),
    _unit("pF", "capacitance", Fraction(1, 10**12)),
    _unit("H", "inductance", 1),
    _unit("uH", "inductance", Fraction(1, 10**6), "µH", "μH"),
    _unit("J", "energy", 1, "joule", "joules"),
    _unit("kJ", "energy", 1000),
    _unit("Wh", "energy", _HOUR),
    _unit("kWh", "energy", 1000 * _HOUR),
    _unit("Ah", "charge", _HOUR),
    _unit("mAh", "charge", Fraction(_HOUR, 1000)),
    _unit("Hz", "frequency", 1),
    _unit("kHz", "frequency", 1000),
    _unit("MHz", "frequency", 10**6),
    _unit("GHz", "frequency", 10**9),
    # pi to 32 digits: the tests compare the degree with another library to 1e-12.
    _unit("rad", "angle", 1),
    _unit("deg", "angle", Fraction(31415926535897932384626433832795, 180 * 10**31), "°", "degrees"),
    Unit("degC", "temperature", Fraction(1), Fraction(27315, 100), ("c", "°c", "celsius")),
    Unit(
        "degF",
        "temperature",
        Fraction(5, 9),
        Fraction(45967, 100) * Fraction(5, 9),
        ("f", "°f", "fahrenheit"),
    ),
    _unit("1", "ratio", 1, "x"),
    _unit("%", "ratio", Fraction(1, 100), "percent"),
    _unit("ppm", "concentration", 1),
    _unit("g/h", "mass flow", Fraction(1, 1000 * _HOUR)),
    _unit("kg/h", "mass flow", Fraction(1, _HOUR)),
    _unit("gal/h", "volume flow", _GALLON / _HOUR, "gph"),
    _unit("L/h", "volume flow", Fraction(1, 1000 * _HOUR), "l/hr"),
    _unit("m3/h", "volume flow", Fraction(1, _HOUR), "m³/h"),
    _unit("1/h", "air changes", Fraction(1, _HOUR), "ach", "per hour"),
    _unit("mg/m3", "mass concentration", Fraction(1, 10**6), "mg/m³"),
    _unit("ohm m", "resistivity", 1, "ohm-m", "Ω·m", "Ω m"),
    _unit("ohm cm", "resistivity", Fraction(1, 100), "ohm-cm"),
    # Decibels stay decibels: the base of these three dimensions is 1 dB, and 0 dBi for a gain.
    _unit("dBi", "gain", 1),
    Unit("dBd", "gain", Fraction(1), _DIPOLE_OVER_ISOTROPIC),
    _unit("dB", "attenuation", 1, "decibel", "decibels"),
    _unit("dB/100 ft", "attenuation per length", 1 / (100 * _FOOT), "dB/100ft"),
    _unit("dB/100 m", "attenuation per length", Fraction(1, 100), "dB/100m"),
    _unit("dB/m", "attenuation per length", 1),
    _unit("W/m2", "power density", 1, "W/m²"),
    _unit("mW/cm2", "power density", 10, "mW/cm²"),
    _unit("uW/cm2", "power density", Fraction(1, 100), "µW/cm²", "μW/cm²", "µW/cm2", "μW/cm2"),
    _unit("V/m", "electric field", 1),
    _unit("mV/m", "electric field", Fraction(1, 1000)),
    _unit("kV/m", "electric field", 1000),
    _unit("A/m", "magnetic field", 1),
    _unit("mA/m", "magnetic field", Fraction(1, 1000)),
    # A gauge is a number on a scale: 1/0 is 0 AWG, 2/0 is -1 AWG, and less is thicker.
    _unit("AWG", "wire gauge", 1, "ga"),
    _unit("kA/us", "current slope", 10**9, "kA/µs", "kA/μs"),
)

UNITS: dict[str, Unit] = {unit.symbol: unit for unit in _ALL}
"""Every unit by its symbol."""

DIMENSIONS: dict[str, tuple[Unit, ...]] = {
    dimension: tuple(u for u in _ALL if u.dimension == dimension)
    for dimension in dict.fromkeys(u.dimension for u in _ALL)
}
"""The units of each dimension, the ones to suggest first."""


_MILLI = {"mW", "mV", "mA", "mAh", "ms", "mohm", "mW/cm2", "mV/m", "mA/m"}


def unit_named(spelling: str, dimension: str = "") -> Unit | None:
    """Return the unit that people write as `spelling`, or None.

    Units of `dimension` come first, so that `20 F` is a temperature where one is asked for.
    A symbol is matched exactly first, so that mW and MW, or mohm and Mohm, can never be
    mistaken for each other; only then any spelling, or a symbol that is unique without case.
    """
    text = " ".join(spelling.split())
    return _among(DIMENSIONS.get(dimension, ()), text) or _among(_ALL, text)


def _among(units: tuple[Unit, ...], text: str) -> Unit | None:
    folded = text.casefold()
    exact = [u for u in units if u.symbol == text] or [u for u in units if text in u.spellings]
    loose = [u for u in units if u.symbol.casefold() == folded]
    spelled = [u for u in units if folded in map(str.casefold, u.spellings)]
    if exact:
        return exact[0]
    found = loose or spelled
    return found[0] if len(found) == 1 and not _turns_mega_to_milli(text, found[0]) else None


def _turns_mega_to_milli(text: str, unit: Unit) -> bool:
    """Whether a typed M would be read as milli: 5 MW must not pass for 5 mW."""
    return text[:1] == "M" and unit.symbol in _MILLI

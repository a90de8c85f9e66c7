"""How cold wind makes it feel, and how soon bare skin freezes."""

from __future__ import annotations

from fractions import Fraction

from checklist.calculations.judging import Computed, Judgement, given, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.quantities import Quantity
from checklist.rulebook import Book

_TERMS = ("one", "T", "V0.16", "T V0.16")

_INPUTS = (
    Input("temperature", "the temperature of the air", "temperature", "30 degF",
          least="-120 degF", most="135 degF"),
    Input("wind", "the wind at working height", "speed", "10 mph", least="0 mph", most="250 mph"),
)  # fmt: skip


def wind_chill(temperature: float, wind: float, factors: tuple[float, ...]) -> float:
    """Return the wind chill in degrees Fahrenheit, of degrees Fahrenheit and miles per hour.

    Holds at 50 °F and below and above 3 mph. Source: NWS and MSC, 2001.
    """
    power = wind**0.16
    one, by_temperature, by_wind, by_both = factors
    chill = one + by_temperature * temperature + by_wind * power + by_both * temperature * power
    return float(chill)


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    temperature, wind = inputs.quantity("temperature"), inputs.quantity("wind")
    if temperature is None:
        judgement.unknown("the temperature")
    if wind is None:
        judgement.unknown("the wind")
    if temperature is None or wind is None:
        return judgement.result()
    felt = _felt(judgement, temperature, wind, book)
    judgement.output("felt", "how cold it feels", felt, "down")
    least = judgement.value(book.value("weather/frostbite"))
    judgement.at_least("felt temperature", felt, least, "frostbite within 30 minutes below")
    return judgement.result()


def _felt(judgement: Judgement, temperature: Quantity, wind: Quantity, book: Book) -> Computed:
    """Return the wind chill, or the air's own temperature where there is none."""
    warmest = judgement.value(book.value("weather/chill-warmest"))
    calm = judgement.value(book.value("weather/chill-least-wind"))
    air = Computed(temperature.to("degF"), "degF")
    if temperature > warmest or wind <= calm:
        why = f"above {warmest.text()}" if temperature > warmest else f"up to {calm.text()} of wind"
        judgement.lines.append(f"no wind chill {why}: {given(temperature)}, the air temperature")
        judgement.assumptions.append(f"There is no wind chill {why}; the air temperature counts.")
        return air
    row = book.table("weather/chill-formula").row("2001")
    factors = tuple(judgement.cell(row, term).number("1") for term in _TERMS)
    chill = wind_chill(temperature.number("degF"), wind.number("mph"), factors)
    felt = Computed(Fraction(chill), "degF")
    judgement.lines.append(f"wind chill: up to {warmest.text()} and above {calm.text()}")
    judgement.lines += _lines(temperature, wind, factors, felt)
    # Just above 3 mph the formula gives more than the air: the colder of the two is taken.
    return felt if felt.si < air.si else air


def _lines(
    temperature: Quantity, wind: Quantity, factors: tuple[float, ...], felt: Computed
) -> list[str]:
    """Return the formula with its numbers, T in degrees Fahrenheit and V in miles per hour."""
    t, v = temperature.number("degF"), wind.number("mph")
    power = v**0.16
    one, by_t, by_v, by_both = (f"{factor:g}" for factor in factors)
    return [
        f"T: {temperature.text()} = {t:.6g} degF",
        f"V: {wind.text()} = {v:.6g} mph; V^0.16 = {power:.6g}",
        f"{one} + {by_t} x {t:.6g} + ({by_v}) x {power:.6g} + {by_both} x {t:.6g} x {power:.6g} = "
        f"{near(felt)}",
    ]


WIND_CHILL = Calculation(
    name="wind-chill",
    title="Wind chill",
    version=1,
    inputs=_INPUTS,
    formula="35.74 + 0.6215 T - 35.75 V^0.16 + 0.4275 T V^0.16 (T in °F, V in mph)",
    sources=("nws-heat-cold", "nws-frostbite"),
    assumptions=(
        "Bare dry skin, no sun; wet clothes and gloves taken off make it worse.",
        "The chart is for wind at 33 ft; higher up it blows harder.",
    ),
    compute=_compute,
)

"""How hot it feels in the shade or the sun, and in which band that lies."""

from __future__ import annotations

from fractions import Fraction
from math import sqrt

from checklist.calculations.judging import Computed, Judgement, given, high, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.quantities import Quantity
from checklist.quantities.display import figures
from checklist.rulebook import Book, Row

_TERMS = ("one", "T", "R", "T R", "T2", "R2", "T2 R", "T R2", "T2 R2")
_WRITTEN = ("T", "R", "T x R", "T^2", "R^2", "T^2 x R", "T x R^2", "T^2 x R^2")
_REGRESSION_FROM = 80.0

_INPUTS = (
    Input("temperature", "the temperature of the air in the shade", "temperature", "90 degF",
          least="-40 degF", most="135 degF"),
    Input("humidity", "the relative humidity", "ratio", "70 %", least="0 %", most="100 %"),
    Input("sun", "where people work", example="shade",
          choices={"shade": "in the shade or under cloud", "sun": "in full sun"}),
)  # fmt: skip


def heat_index(temperature: float, humidity: float, factors: tuple[float, ...]) -> float:
    """Return the heat index in degrees Fahrenheit, of degrees Fahrenheit and percent.

    The simple formula below 80 °F; else the regression with `factors` in the order of the
    table, and its adjustments for dry and for damp air. Source: NWS SR 90-23 and its notes.
    """
    t, r = temperature, humidity
    simple = 0.5 * (t + 61.0 + (t - 68.0) * 1.2 + r * 0.094)
    if simple < _REGRESSION_FROM:
        return simple
    terms = (1.0, t, r, t * r, t * t, r * r, t * t * r, t * r * r, t * t * r * r)
    full = sum(factor * term for factor, term in zip(factors, terms, strict=True))
    return full + _adjustment(t, r)


def _adjustment(t: float, r: float) -> float:
    if r < 13 and 80 <= t <= 112:
        return -((13 - r) / 4) * sqrt((17 - abs(t - 95)) / 17)
    if r > 85 and 80 <= t <= 87:
        return ((r - 85) / 10) * ((87 - t) / 5)
    return 0.0


def band(heat: float, rows: list[Row], edition: str) -> Row | None:
    """Return the band of a heat index in °F, each from its first degree on, or None below all."""
    reached = [row for row in rows if row[edition].number("degF") <= heat]
    return reached[-1] if reached else None


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    temperature, humidity = inputs.quantity("temperature"), inputs.quantity("humidity")
    sun = inputs.word("sun")
    for name, known in (
        ("the temperature", temperature), ("the humidity", humidity),
        ("whether people work in the sun", sun),
    ):  # fmt: skip
        if not known:
            judgement.unknown(name)
    if temperature is None or humidity is None:
        return judgement.result()
    row = book.table("weather/heat-regression").row("Rothfusz")
    factors = tuple(judgement.cell(row, term).number("1") for term in _TERMS)
    shade = heat_index(temperature.number("degF"), humidity.number("%"), factors)
    judgement.lines += _lines(temperature, humidity, factors, shade)
    judgement.output("shade", "heat index in the shade", _degrees(shade))
    felt = shade
    if sun != "shade":
        more = judgement.value(book.value("weather/full-sun")).number("1")
        felt = shade + more
        judgement.lines.append(
            f"full sun: {near(_degrees(shade))} + {more:g} degF = {near(_degrees(felt))}"
        )
        judgement.output("sun", "heat index in full sun, at worst", _degrees(felt))
    _hold(judgement, felt, book)
    return judgement.result()


def _lines(
    temperature: Quantity, humidity: Quantity, factors: tuple[float, ...], shade: float
) -> list[str]:
    """Return the formula that counts with its numbers, T in °F and R in percent."""
    t, r = temperature.number("degF"), humidity.number("%")
    simple = 0.5 * (t + 61.0 + (t - 68.0) * 1.2 + r * 0.094)
    lines = [
        f"T: {temperature.text()} = {t:.6g} degF; R: {humidity.text()} = {r:.6g} %",
        f"simple: 0.5 x ({t:.6g} + 61 + ({t:.6g} - 68) x 1.2 + {r:.6g} x 0.094) = "
        f"{near(_degrees(simple))}",
    ]
    if simple < _REGRESSION_FROM:
        return lines
    terms = ("", *(f" x {term}" for term in _WRITTEN))
    words = " + ".join(f"({figures(f, 12)}{term})" for f, term in zip(factors, terms, strict=True))
    adjusted = _adjustment(t, r)
    full = shade - adjusted
    lines.append(f"from {_REGRESSION_FROM:g} degF on, nine terms: {words} = {near(_degrees(full))}")
    if adjusted:
        lines.append(f"for dry or damp air: {full:.6g} degF + ({adjusted:.6g} degF) = "
                     f"{near(_degrees(shade))}")  # fmt: skip
    return lines


def _hold(judgement: Judgement, felt: float, book: Book) -> None:
    rows = list(book.table("weather/heat-bands").rows.values())
    worst = rows[-1]
    limit = judgement.cell(worst, "present")
    now, older = band(felt, rows, "present"), band(felt, rows, "older")
    if now is worst:
        judgement.over(
            f"Heat index {high(_degrees(felt))} reaches {given(limit)}: {worst.key}.", worst.key
        )
    else:
        judgement.at_most("heat index", _degrees(felt), limit, f"{worst.key} from there on")
    if now is not None and now is not worst:
        judgement.caution(
            f"Heat index {high(_degrees(felt))}: {now.key}, from {now['present'].text()} on. "
            "Water, shade, rest, and someone who watches."
        )
    if older is not None and now is not older:
        judgement.caution(
            f"An older chart calls it {older.key}; the stricter, present one is used."
        )


def _degrees(value: float) -> Computed:
    return Computed(Fraction(value), "degF")


HEAT_INDEX = Calculation(
    name="heat-index",
    title="Heat index",
    version=1,
    inputs=_INPUTS,
    formula="below 80 °F 0.5 (T + 61 + 1.2 (T - 68) + 0.094 R), T in °F, R the humidity in %; else "
    "the regression of nine terms with its adjustments below 13 % and above 85 % humidity",
    sources=("nws-sr-90-23", "nws-heat-cold"),
    assumptions=(
        "For the shade and a light wind; full sun adds up to 15 °F, and all of it is counted.",
        "Heavy clothes, hard work, age and illness are not in it.",
    ),
    compute=_compute,
)

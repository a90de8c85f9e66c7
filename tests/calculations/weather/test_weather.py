"""Heat, cold, thunder and wind."""

from __future__ import annotations

import pytest

from checklist.calculations import InputRefused, Outcome, Result, run
from checklist.calculations.weather.heat_index import band, heat_index
from checklist.calculations.weather.wind_chill import wind_chill
from checklist.rulebook import Book


def calculate(name: str, typed: dict[str, str], book: Book) -> Result:
    return run(name, typed, book).result


def factors(book: Book, table: str) -> tuple[float, ...]:
    row = next(iter(book.table(f"weather/{table}").rows.values()))
    return tuple(cell.number("1") for cell in row.cells.values())


@pytest.mark.parametrize(
    ("temperature", "humidity", "value"),
    [
        (90, 70, 105.92),
        (100, 50, 118.32),
        (86, 90, 105.39),
        (96, 65, 121.03),
        (80, 40, 79.58),
        (110, 40, 135.66),
        (88, 60, 95.149),
        (95, 10, 89.45),
    ],
)
def test_the_equation_to_a_hundredth(
    temperature: float, humidity: float, value: float, book: Book
) -> None:
    """NWS SR 90-23 with both adjustments; the values were computed, the chart is checked apart."""
    found = heat_index(temperature, humidity, factors(book, "heat-regression"))

    assert found == pytest.approx(value, abs=0.006)


def test_each_adjustment_stays_in_its_corner(book: Book) -> None:
    """Dry air below 13 % from 80 to 112 °F takes away, damp air above 85 % to 87 °F adds."""
    terms = factors(book, "heat-regression")

    assert heat_index(95, 12.9, terms) < heat_index(95, 13, terms)
    assert heat_index(86, 85.1, terms) - heat_index(86, 85, terms) > 0
    assert heat_index(112.1, 10, terms) > heat_index(112, 10, terms)
    # At the end of its range each adjustment has come to nothing: no jump.
    assert heat_index(87.001, 90, terms) == pytest.approx(heat_index(87, 90, terms), abs=0.01)


@pytest.mark.parametrize(
    ("heat", "present", "older"),
    [
        (79.9, None, None),
        (80, "caution", "caution"),
        (90, "extreme caution", "extreme caution"),
        (102.9, "extreme caution", "extreme caution"),
        (103, "danger", "extreme caution"),
        (105, "danger", "danger"),
        (124.9, "danger", "danger"),
        (126, "extreme danger", "danger"),
        (130, "extreme danger", "extreme danger"),
    ],
)
def test_bands_by_edition(heat: float, present: str | None, older: str | None, book: Book) -> None:
    """Present NWS bands begin at 80, 90, 103 and 125 °F, older ones at 80, 90, 105 and 130."""
    rows = list(book.table("weather/heat-bands").rows.values())
    found = [band(heat, rows, edition) for edition in ("present", "older")]

    assert [row.key if row else None for row in found] == [present, older]


def test_the_stricter_edition_decides_and_the_other_is_named(book: Book) -> None:
    """98 °F and 65 % is 128 °F: extreme danger now, danger in the older chart."""
    typed = {"temperature": "98 degF", "humidity": "65 %", "sun": "shade"}
    result = calculate("heat-index", typed, book)

    assert result.outcome is Outcome.OVER
    assert "An older chart calls it danger" in " ".join(result.cautions)


def test_an_unknown_place_is_counted_as_sun(book: Book) -> None:
    """Full sun adds 15 °F; not known is the strict side, and not shown."""
    typed = {"temperature": "90 degF", "humidity": "40 %", "sun": "unknown"}
    result = calculate("heat-index", typed, book)
    outputs = {o.name: o.quantity.number("degF") for o in result.outputs}

    assert result.outcome is Outcome.NOT_SHOWN
    assert outputs["sun"] == pytest.approx(outputs["shade"] + 15)


def test_celsius_is_the_same_heat(book: Book) -> None:
    """35 °C is 95 °F."""
    typed = {"humidity": "50 %", "sun": "shade"}
    values = [
        calculate("heat-index", {"temperature": text, **typed}, book).outputs[0].quantity
        for text in ("35 degC", "95 degF")
    ]

    assert values[0] == values[1]


@pytest.mark.parametrize("celsius", [-40, -20, -5, 0, 10])
@pytest.mark.parametrize("kilometres", [5, 10, 30, 60, 100])
def test_wind_chill_agrees_with_the_metric_formula(
    celsius: float, kilometres: float, book: Book
) -> None:
    """A second route: the same 2001 index as Canada prints it in °C and km/h (from memory).

    Both print rounded factors, which come to 0.05 °C apart in the worst cold.
    """
    power = kilometres**0.16
    metric = 13.12 + 0.6215 * celsius - 11.37 * power + 0.3965 * celsius * power
    fahrenheit = wind_chill(
        celsius * 1.8 + 32, kilometres / 1.609344, factors(book, "chill-formula")
    )

    assert (fahrenheit - 32) / 1.8 == pytest.approx(metric, abs=0.06)


@pytest.mark.parametrize(
    ("temperature", "wind", "felt"),
    [
        ("50.1 degF", "60 mph", 50.1),
        ("50 degF", "3 mph", 50),
        ("20 degF", "0 mph", 20),
        ("50 degF", "3.1 mph", 49.7),
        ("10 degC", "10 km/h", 47.5),
    ],
)
def test_where_there_is_no_wind_chill_the_air_counts(
    temperature: str, wind: str, felt: float, book: Book
) -> None:
    """NWS 2001: at 50 °F and below, and above 3 mph; never warmer than the air."""
    result = calculate("wind-chill", {"temperature": temperature, "wind": wind}, book)
    found = result.outputs[0].quantity.number("degF")

    assert found == pytest.approx(felt, abs=0.35)
    assert found <= 50.1


@pytest.mark.parametrize(
    ("typed", "outcome"),
    [
        ({"thunder": "heard", "since-thunder": "29.9 min"}, Outcome.OVER),
        ({"thunder": "heard", "since-thunder": "0.5 h"}, Outcome.WITHIN),
        ({"thunder": "heard", "since-thunder": "unknown"}, Outcome.NOT_SHOWN),
        ({"thunder": "not-heard"}, Outcome.WITHIN),
        ({"thunder": "unknown"}, Outcome.NOT_SHOWN),
        ({"thunder": "unknown", "since-thunder": "5 min"}, Outcome.OVER),
    ],
)
def test_the_clock_of_thirty_minutes(typed: dict[str, str], outcome: Outcome, book: Book) -> None:
    """NWS: thirty minutes after the last thunder; what is not known does not end it."""
    assert calculate("lightning", typed, book).outcome is outcome


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"thunder": "heard"}, "since-thunder"),
        ({"thunder": "not-heard", "since-thunder": "5 min"}, "since-thunder"),
        ({"thunder": "not-heard", "flash-to-thunder": "5 s"}, "flash-to-thunder"),
    ],
)
def test_thunder_is_heard_or_not(typed: dict[str, str], field: str, book: Book) -> None:
    """A time since thunder belongs to thunder that was heard."""
    with pytest.raises(InputRefused) as refused:
        calculate("lightning", typed, book)

    assert refused.value.field == field


def test_no_distance_is_far_enough(book: Book) -> None:
    """Ten miles away and half an hour ago: the distance is told and permits nothing."""
    typed = {"thunder": "heard", "since-thunder": "10 min", "flash-to-thunder": "50 s"}
    result = calculate("lightning", typed, book)
    outputs = {o.name: o.quantity for o in result.outputs}

    assert result.outcome is Outcome.OVER
    assert outputs["distance"].number("mi") == 10
    assert outputs["wait"].number("min") == 20


def test_the_speed_of_sound_gives_five_seconds_a_mile() -> None:
    """A second route: 1609.344 m at 343 m/s in air of 20 °C is 4.7 s, printed as 5."""
    seconds = 1609.344 / 343

    assert seconds == pytest.approx(5, abs=0.5)


@pytest.mark.parametrize(
    ("gust", "work", "words"),
    [
        ("41 mph", "climbing", "at most 40 mph"),
        ("31 mph", "material", "at most 30 mph"),
        ("21 mph", "personnel-hoist", "qualified person to decide above 20 mph"),
    ],
)
def test_federal_figures_are_named(gust: str, work: str, words: str, book: Book) -> None:
    """OSHA's high wind and the personnel hoist each have their own sentence."""
    result = calculate("wind-limit", {"gust": gust, "work": work}, book)

    assert any(words in stop for stop in result.stops)


@pytest.mark.parametrize(
    ("gust", "own", "outcome"),
    [
        ("20 mph", "", Outcome.WITHIN),
        ("20.1 mph", "", Outcome.OVER),
        ("39 mph", "", Outcome.OVER),
        ("16 mph", "15 mph", Outcome.OVER),
        ("25 mph", "40 mph", Outcome.OVER),
        ("32.2 km/h", "", Outcome.OVER),
    ],
)
def test_the_lowest_limit_decides(gust: str, own: str, outcome: Outcome, book: Book) -> None:
    """20 mph is common practice (no source); a lower own limit counts, a higher one does not."""
    typed = {"gust": gust, "work": "climbing", "own-limit": own}

    assert calculate("wind-limit", typed, book).outcome is outcome

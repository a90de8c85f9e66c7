"""Wind: pressure, force, moment, and no verdict without the maker's figure."""

from __future__ import annotations

from fractions import Fraction

import pytest

from checklist.calculations import InputRefused, Outcome, Result, run
from checklist.calculations.tower.wind_load import exposure_coefficient, velocity_pressure
from checklist.quantities import Quantity, parse_quantity
from checklist.rulebook import Book

_ANTENNA = {"speed": "70 mph", "area": "8 ft2", "height": "30 ft", "exposure": "C"}


def wind(book: Book, **more: str) -> Result:
    changed = {name.replace("_", "-"): value for name, value in more.items()}
    return run("wind-load", {**_ANTENNA, **changed}, book).result


def _pressure(speed: str, factors: float, book: Book) -> Quantity:
    return velocity_pressure(parse_quantity(speed, "speed"), Fraction(factors), book).quantity


def _output(result: Result, name: str, unit: str) -> float:
    return {o.name: o.quantity for o in result.outputs}[name].number(unit)


def test_pressure_with_all_factors_one(book: Book) -> None:
    """ASCE 7, 0.00256 V2: 70 mph give 12.544 psf (computed)."""
    assert _pressure("70 mph", 1, book).number("psf") == pytest.approx(12.544)


def test_pressure_with_height_and_direction(book: Book) -> None:
    """ASCE 7-05 to -16, Kz 0.98 and Kd 0.85 at 100 mph: 21.325 psf."""
    assert _pressure("100 mph", 0.98 * 0.85, book).number("psf") == pytest.approx(21.325, abs=5e-4)


def test_pressure_in_the_si_form(book: Book) -> None:
    """A TIA-222-G worked sheet prints 1254.00 Pa for Kz 1.09, Kd 0.95 and 44.44 m/s.

    Its constant is 0.613 in SI where this is 0.00256 in customary units: 0.1 % is allowed.
    """
    assert _pressure("44.44 m/s", 1.09 * 0.95, book).number("Pa") == pytest.approx(1254, rel=1e-3)


@pytest.mark.parametrize(("exposure", "printed"), [("B", 0.70), ("C", 0.98), ("D", 1.16)])
def test_the_height_factor_at_30_feet(exposure: str, printed: float, book: Book) -> None:
    """ASCE 7-05 to -16 print Kz 0.70, 0.98 and 1.16 at 30 ft for exposures B, C and D."""
    found = exposure_coefficient(Quantity.of(30, "ft"), exposure, book)

    assert found == pytest.approx(printed, abs=5e-3)


def test_the_height_factor_does_not_fall_below_its_lowest_height(book: Book) -> None:
    """Near the ground the pressure at 15 ft is taken, in exposure B that at 30 ft."""
    low, fifteen, thirty = (Quantity.of(feet, "ft") for feet in (3, 15, 30))

    assert exposure_coefficient(low, "C", book) == exposure_coefficient(fifteen, "C", book)
    assert exposure_coefficient(low, "B", book) == exposure_coefficient(thirty, "B", book)


def test_force_and_moment(book: Book) -> None:
    """12.544 psf x Kz on 8 ft2 is 100.35 lbf x Kz, and 4 ft above the bearing 401.4 ft lbf x Kz."""
    result = wind(book, lever_arm="4 ft")
    kz = exposure_coefficient(Quantity.of(30, "ft"), "C", book)

    assert _output(result, "force", "lbf") == pytest.approx(100.352 * kz)
    assert _output(result, "moment", "ft lbf") == pytest.approx(401.41 * kz, rel=1e-5)


def test_metres_per_second_are_not_miles_per_hour(book: Book) -> None:
    """44 m/s is 98.4 mph: five times the pressure of 44 mph."""
    metric = _output(wind(book, speed="44 m/s"), "pressure", "psf")
    miles = _output(wind(book, speed="44 mph"), "pressure", "psf")

    assert metric / miles == pytest.approx(5.004, abs=1e-3)


def test_without_the_makers_figures_it_is_advisory(book: Book) -> None:
    """Nothing is within that was not held against anything."""
    result = wind(book)

    assert result.outcome is Outcome.NOT_SHOWN
    assert "advisory" in result.says


@pytest.mark.parametrize(
    ("more", "outcome", "cautions"),
    [
        ({"allowable_area": "8 ft2"}, Outcome.WITHIN, 1),
        ({"allowable_area": "7.99 ft2"}, Outcome.OVER, 1),
        ({"allowable_area": "8 ft2", "allowable_speed": "70 mph"}, Outcome.WITHIN, 0),
        ({"allowable_area": "8 ft2", "allowable_speed": "60 mph"}, Outcome.OVER, 0),
        ({"allowable_area": "12 ft2", "allowable_speed": "60 mph"}, Outcome.WITHIN, 0),
        ({"allowable_moment": "395 ft lbf", "lever_arm": "4 ft"}, Outcome.WITHIN, 0),
        ({"allowable_moment": "394 ft lbf", "lever_arm": "4 ft"}, Outcome.OVER, 0),
        ({"allowable_moment": "395 ft lbf"}, Outcome.NOT_SHOWN, 0),
        ({"allowable_area": "unknown"}, Outcome.NOT_SHOWN, 0),
        ({"allowable_area": "9 ft2", "speed": "unknown"}, Outcome.NOT_SHOWN, 1),
        ({"allowable_area": "7 ft2", "speed": "unknown"}, Outcome.OVER, 1),
    ],
)
def test_area_force_and_moment_against_the_maker(
    more: dict[str, str], outcome: Outcome, cautions: int, book: Book
) -> None:
    """Each figure of the maker that is given holds; its wind speed is asked with its area."""
    result = wind(book, **more)

    assert result.outcome is outcome
    assert len(result.cautions) == cautions


def test_a_hill_makes_it_worse(book: Book) -> None:
    """The topographic factor multiplies; below one it is refused."""
    hill = _output(wind(book, topographic_factor="1.5"), "force", "lbf")

    assert hill == pytest.approx(1.5 * _output(wind(book), "force", "lbf"))
    with pytest.raises(InputRefused, match=r"topographic-factor"):
        wind(book, topographic_factor="0.9")


def test_a_makers_speed_needs_its_area(book: Book) -> None:
    """A wind speed alone says nothing about the tower."""
    with pytest.raises(InputRefused, match=r"allowable-speed"):
        wind(book, allowable_speed="70 mph")


@pytest.mark.parametrize("name", ["speed", "height", "exposure"])
def test_one_unknown_leaves_no_pressure(name: str, book: Book) -> None:
    """Each alone takes the pressure away, and nothing is put in its place."""
    result = wind(book, allowable_area="9 ft2", **{name: "unknown"})

    assert result.outcome is Outcome.NOT_SHOWN
    assert result.outputs == ()


def test_level_ground_is_assumed_only_where_no_factor_was_given(book: Book) -> None:
    """Given as 1 it is no assumption any more."""
    assert len(wind(book).assumptions) == 1
    assert wind(book, topographic_factor="1").assumptions == ()

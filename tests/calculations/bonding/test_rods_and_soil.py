"""Rods, soil, and what their measurement is worth."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checklist.calculations import CALCULATIONS, InputRefused, Outcome, Result, run
from checklist.calculations.bonding.rods import one_rod, two_rods
from checklist.quantities import Quantity
from checklist.rulebook import Book

_FOOT, _INCH = 0.3048, 0.0254
_FALL = {
    "connected": "nothing",
    "current-probe": "100 ft",
    "electrode-size": "8 ft",
    "at-62": "20 ohm",
    "at-52": "19 ohm",
    "at-72": "21 ohm",
}


def calculate(name: str, typed: dict[str, str], book: Book) -> Result:
    return run(name, typed, book).result


def output(result: Result, name: str, unit: str = "ohm") -> float:
    return {o.name: o.quantity for o in result.outputs}[name].number(unit)


def test_the_diameter_is_halved() -> None:
    """8 ft x 5/8 in in 100 ohm m is 39.9 ohm (Dwight); the slip with the diameter gives 35.4."""
    assert one_rod(100, 8 * _FOOT, 0.625 * _INCH) == pytest.approx(39.9, abs=0.05)
    assert one_rod(100, 8 * _FOOT, 2 * 0.625 * _INCH) == pytest.approx(35.4, abs=0.05)


def test_a_rod_agrees_with_a_line_of_current() -> None:
    """A second route: the mean potential of a line source with its image, integrated in steps.

    R = rho / (4 pi L2) times the double integral of 1/r over rod and image, r from the axis to
    the surface. Dwight's closed form leaves out terms in a/L, so that 0.5 % is allowed.
    """
    length, radius, steps = 3.048, 0.009525, 1500
    width = length / steps
    total = sum(
        math.asinh((length - z) / radius) + math.asinh((length + z) / radius)
        for z in ((n + 0.5) * width for n in range(steps))
    )
    ohms = 100 / (4 * math.pi * length**2) * total * width

    assert one_rod(100, length, 2 * radius) == pytest.approx(ohms, rel=0.005)


@given(st.floats(2, 30), st.floats(0.005, 0.05), st.floats(1.01, 100))
def test_two_rods_lie_between_a_half_and_a_whole(
    length: float, diameter: float, lengths_apart: float
) -> None:
    """Two rods are better than one and never better than half of one; far apart it is half."""
    one = one_rod(100, length, diameter)
    two = two_rods(100, length, diameter, length * lengths_apart)

    assert one / 2 < two < one
    assert two_rods(100, length, diameter, length * 1e6) == pytest.approx(one / 2, rel=1e-3)


def test_two_rods_one_length_apart_agree_with_the_factor(book: Book) -> None:
    """IEEE Std 142 prints F = 1.16 for two rods one length apart; Dwight's series comes to 1.15."""
    length, diameter = 10 * _FOOT, 0.75 * _INCH
    factor = 2 * two_rods(100, length, diameter, length) / one_rod(100, length, diameter)

    assert factor == pytest.approx(
        book.table("earth/several-rods").row("2")["factor"].number("1"), abs=0.015
    )


@pytest.mark.parametrize(
    ("rods", "ohms"), [("2", 23.2), ("5", 40 * 1.68 / 5), ("8", 8.4), ("24", 40 * 2.16 / 24)]
)
def test_between_printed_numbers_the_larger_factor_is_taken(
    rods: str, ohms: float, book: Book
) -> None:
    """Five rods take the factor of eight: never better than the table can show."""
    typed = {"rods": rods, "spacing": "8 ft", "length": "8 ft", "one-rod": "40 ohm"}

    assert output(calculate("earth-rods", typed, book), "resistance") == pytest.approx(ohms)


@pytest.mark.parametrize(
    ("more", "outcome"),
    [
        ({"rods": "25"}, Outcome.NOT_SHOWN),
        ({"spacing": "7.9 ft"}, Outcome.NOT_SHOWN),
        ({"spacing": "5.9 ft"}, Outcome.OVER),
        ({"length": "7.9 ft"}, Outcome.OVER),
        ({"spacing": "unknown"}, Outcome.NOT_SHOWN),
    ],
)
def test_outside_the_table_nothing_is_shown(
    more: dict[str, str], outcome: Outcome, book: Book
) -> None:
    """More rods than printed, or nearer than their length, have no factor; 6 ft is the rule."""
    typed = {"rods": "4", "spacing": "8 ft", "length": "8 ft", "one-rod": "40 ohm"}

    assert calculate("earth-rods", {**typed, **more}, book).outcome is outcome


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"rods": "2.5", "one-rod": "40 ohm"}, "rods"),
        ({"rods": "2"}, "one-rod"),
        ({"rods": "2", "one-rod": "40 ohm", "resistivity": "100 ohm m"}, "one-rod"),
        ({"rods": "2", "resistivity": "100 ohm m"}, "diameter"),
        ({"rods": "2", "resistivity": "9 ohm m", "diameter": "1 in", "share": "5 %"}, "share"),
        ({"rods": "3", "resistivity": "100 ohm m", "diameter": "1 in"}, "resistivity"),
    ],
)
def test_what_does_not_go_together_is_refused(
    typed: dict[str, str], field: str, book: Book
) -> None:
    """One rod's resistance, or for two rods the soil and their diameter; rods are whole."""
    with pytest.raises(InputRefused) as refused:
        calculate("earth-rods", {"spacing": "16 ft", "length": "8 ft", **typed}, book)

    assert refused.value.field == field


def test_a_named_soil_shows_its_extremes(book: Book) -> None:
    """NBS 108: gravel's average 94000, 59000 to 458000 ohm cm, each with its own resistance."""
    typed = {"length": "10 ft", "diameter": "0.625 in", "soil": "gravel"}
    result = calculate("earth-rod", typed, book)
    average = output(result, "resistance")

    assert output(result, "lowest") == pytest.approx(average * 59000 / 94000)
    assert output(result, "highest") == pytest.approx(average * 458000 / 94000)
    assert "only a measurement tells" in " ".join(result.cautions)


def test_the_soils_offered_are_those_of_the_table(book: Book) -> None:
    """Nothing can be chosen that has no row."""
    soil = next(i for i in CALCULATIONS["earth-rod"].inputs if i.name == "soil")

    assert set(soil.choices or {}) == set(book.table("earth/soil").rows)


@pytest.mark.parametrize(
    ("more", "field"),
    [
        ({}, "soil"),
        ({"soil": "clay", "resistivity": "9 ohm m"}, "soil"),
        ({"soil": "clay", "diameter": "8 ft"}, "diameter"),
    ],
)
def test_a_rod_is_thin_and_stands_in_one_soil(more: dict[str, str], field: str, book: Book) -> None:
    """Soil or resistivity, not both and not neither; a diameter in feet is a slip."""
    with pytest.raises(InputRefused) as refused:
        calculate("earth-rod", {"length": "8 ft", "diameter": "0.625 in", **more}, book)

    assert refused.value.field == field


@pytest.mark.parametrize(
    ("typed", "outcome"),
    [
        ({"electrodes": "one-rod", "resistance": "25.1 ohm"}, Outcome.OVER),
        ({"electrodes": "one-rod"}, Outcome.NOT_SHOWN),
        ({"electrodes": "two-or-more"}, Outcome.WITHIN),
        ({"electrodes": "two-or-more", "spacing": "5 ft"}, Outcome.OVER),
        ({"electrodes": "unknown", "resistance": "5 ohm"}, Outcome.NOT_SHOWN),
    ],
)
def test_the_25_ohm_rule_as_what_it_is(typed: dict[str, str], outcome: Outcome, book: Book) -> None:
    """NEC 250.53(A)(2): a single rod, measured, up to 25 ohm; two rods have no limit."""
    assert calculate("rod-rule", typed, book).outcome is outcome


def test_wenner_holds_in_any_unit(book: Book) -> None:
    """2 pi a R: 6.096 m and 2 ohm are 76.6 ohm m, the same as 20 ft."""
    typed = {"spacing": "6.096 m", "depth": "15 cm", "reading": "2 ohm"}
    result = calculate("soil-resistivity", typed, book)

    assert output(result, "in-metres", "ohm m") == pytest.approx(2 * math.pi * 6.096 * 2)
    assert output(result, "resistivity", "ohm cm") == pytest.approx(7660.4, abs=0.5)


@pytest.mark.parametrize(
    ("depth", "outcome"),
    [("1 ft", Outcome.WITHIN), ("13 in", Outcome.OVER), ("unknown", Outcome.NOT_SHOWN)],
)
def test_deep_probes_spoil_the_method(depth: str, outcome: Outcome, book: Book) -> None:
    """A twentieth of their distance (common practice, no source): 1 ft of 20 ft."""
    typed = {"spacing": "20 ft", "depth": depth, "reading": "2 ohm"}

    assert calculate("soil-resistivity", typed, book).outcome is outcome


@pytest.mark.parametrize(
    ("more", "outcome"),
    [
        ({"at-52": "18 ohm", "at-72": "22 ohm"}, Outcome.WITHIN),
        ({"at-52": "17.9 ohm"}, Outcome.OVER),
        ({"at-72": "22.1 ohm"}, Outcome.OVER),
        ({"electrode-size": "20.1 ft"}, Outcome.OVER),
        ({"at-72": "unknown"}, Outcome.NOT_SHOWN),
        ({"connected": "unknown"}, Outcome.NOT_SHOWN),
        ({"connected": "live-service"}, Outcome.OVER),
    ],
)
def test_a_measurement_that_can_be_believed(
    more: dict[str, str], outcome: Outcome, book: Book
) -> None:
    """Readings agree within 10 %, the current probe is five sizes away, nothing live is opened."""
    assert calculate("fall-of-potential", {**_FALL, **more}, book).outcome is outcome


@pytest.mark.parametrize(
    ("voltage", "resistance", "outcome"),
    [
        ("120 V", "25 ohm", Outcome.OVER),
        ("120 V", "1 ohm", Outcome.NOT_SHOWN),
        ("unknown", "1 ohm", Outcome.NOT_SHOWN),
    ],
)
def test_the_earth_never_clears_a_fault(
    voltage: str, resistance: str, outcome: Outcome, book: Book
) -> None:
    """NEC 250.4(A)(5): no resistance makes it an effective path, even 120 A on a 20 A breaker."""
    typed = {"voltage": voltage, "resistance": resistance, "breaker": "20 A"}

    assert calculate("earth-fault", typed, book).outcome is outcome


def test_the_soil_table_rises_from_fills_to_gravel(book: Book) -> None:
    """Each row's average lies between its extremes."""
    for row in book.table("earth/soil").rows.values():
        cells: list[Quantity] = [row["least"], row["average"], row["greatest"]]

        assert cells == sorted(cells)

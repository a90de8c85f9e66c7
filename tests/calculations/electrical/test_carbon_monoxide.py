"""Carbon monoxide: the picture, and that it never permits."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checklist.calculations import Outcome, run
from checklist.calculations.electrical.carbon_monoxide import concentration, hours_until
from checklist.rulebook import Book

_ROOM = {"place": "inside", "volume": "3200 ft3", "air-changes": "0.5 1/h", "minutes": "10 min"}
_PER_PPM = 1.1456


def test_the_molar_volume_gives_the_factor(book: Book) -> None:
    """28.01 g/mol over 24.45 L/mol, the molar volume at 25 °C, is 1.1456 mg/m3."""
    value = book.value("carbon-monoxide/milligrams-per-ppm").quantity

    assert value.number("mg/m3") == pytest.approx(28.01 / 24.45, abs=5e-5)


@pytest.mark.parametrize("place", ["inside", "open-air", "unknown"])
@pytest.mark.parametrize("volume", ["1 m3", "1000000 m3", "unknown"])
def test_nothing_is_ever_within(place: str, volume: str, book: Book) -> None:
    """Any room is over, the open air and the unknown are not shown."""
    typed = {**_ROOM, "place": place, "volume": volume, "emission": "0.001 g/h"}
    outcome = run("carbon-monoxide", typed, book).result.outcome

    assert outcome is (Outcome.OVER if place == "inside" else Outcome.NOT_SHOWN)


def test_the_worst_published_emission_is_taken(book: Book) -> None:
    """Without a measured emission it is 4000 g/h (NIST, Indoor Air 2014): 8 times 500 g/h."""
    worst = run("carbon-monoxide", _ROOM, book).result
    milder = run("carbon-monoxide", {**_ROOM, "emission": "500 g/h"}, book).result
    after = [{o.name: o.quantity for o in r.outputs}["after"].number("ppm")
             for r in (worst, milder)]  # fmt: skip

    assert after[0] == pytest.approx(8 * after[1])
    assert "generator/emission-worst" in {c.address for c in worst.used}


def test_a_level_above_the_steady_one_is_never_reached() -> None:
    """20,000 ppm at 500 g/h, 90.614 m3 and 0.5 per hour: the room settles below it."""
    assert hours_until(20000, 500_000, 90.614, 0.5, _PER_PPM) is None


def test_the_concentration_is_at_most_the_whole_of_the_air() -> None:
    """A tiny closed room is full of it, and no fuller."""
    assert concentration(4e6, 0.001, 0, 24, _PER_PPM) == 1e6


@given(
    st.floats(1e3, 1e7), st.floats(20, 1e5), st.floats(0.01, 50), st.floats(0.01, 10),
)  # fmt: skip
def test_the_two_formulas_are_each_others_inverse(
    emission: float, volume: float, air: float, hours: float
) -> None:
    """The time until the level that is reached after a time is that time."""
    level = concentration(emission, volume, air, hours, _PER_PPM)
    back = hours_until(level, emission, volume, air, _PER_PPM)
    if level < 1e6 and air * hours < 10:
        assert back is not None
        assert math.isclose(back, hours, rel_tol=1e-6)


@given(st.floats(1e3, 1e7), st.floats(20, 1e5), st.floats(0.01, 24))
def test_a_closed_room_is_the_limit_of_a_leaky_one(
    emission: float, volume: float, hours: float
) -> None:
    """As the air changes go to zero, the formula of the closed room is approached."""
    closed = concentration(emission, volume, 0, hours, _PER_PPM)

    assert concentration(emission, volume, 1e-9, hours, _PER_PPM) == pytest.approx(closed)


def test_small_steps_agree_with_the_formula() -> None:
    """A second road: the balance of mass, summed up in small steps of time."""
    emission, volume, air = 500_000.0, 90.614, 0.5
    mass, steps = 0.0, 100_000
    for _ in range(steps):
        mass += (emission - air * mass) / 6 / steps
    by_steps = mass / volume / _PER_PPM

    assert concentration(emission, volume, air, 1 / 6, _PER_PPM) == pytest.approx(
        by_steps, rel=1e-5
    )

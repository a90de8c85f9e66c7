"""A dish against the models of OET Bulletin 65, edition 97-01, equations 3 and 11 to 18."""

from __future__ import annotations

import math

import pytest

from checklist.calculations.exposure import Figures, far
from checklist.calculations.exposure.constants import SPEED_OF_LIGHT
from checklist.calculations.exposure.model import Dish, Ground, Place
from checklist.calculations.exposure.strength import Strength

WAVE = 0.1
DIAMETER = 3.0
GAIN = 0.6 * (math.pi * DIAMETER / WAVE) ** 2
"""With an efficiency of 0.6, as equation 14 has it the other way round."""


def beside(numbers: Figures, metres: float, ground: Ground = Ground.NONE) -> Strength:
    dish = Dish("dish", (0, 0, 5), DIAMETER, 10 * math.log10(GAIN))
    place = Place("path", DIAMETER / 2 + metres, 0, 4, 6, controlled=False)
    found = far.dish(dish, SPEED_OF_LIGHT / WAVE, place, ground, numbers)

    assert isinstance(found, Strength)
    return found


@pytest.mark.parametrize("diameter", [0.6, 1.0, 3.0])
def test_an_even_aperture_has_an_efficiency_of_one(diameter: float) -> None:
    """Its gain is 4 pi A / lambda^2, that is (pi D / lambda)^2 (equation 14)."""
    gain = (math.pi * diameter / WAVE) ** 2

    assert far.aperture_efficiency(gain, diameter, WAVE) == pytest.approx(1)


def test_a_dish_near_and_far(numbers: Figures) -> None:
    """16 eta P / (pi D^2) on the beam as far as D^2 / 4 lambda, then P G / (4 pi R^2).

    Between them the larger of two models counts, which is the far field's for a dish of 0.6.
    """
    near, end = 16 * 0.6 / (math.pi * DIAMETER**2), DIAMETER**2 / (4 * WAVE)
    far_off = 0.6 * DIAMETER**2 / WAVE * 2

    for metres in (0.5, end):
        assert beside(numbers, metres).se_w_m2 == pytest.approx(near)
    assert beside(numbers, 2 * end).se_w_m2 == pytest.approx(GAIN / (16 * math.pi * end**2))
    found = beside(numbers, far_off)
    assert found.se_w_m2 == found.sh_w_m2 == pytest.approx(GAIN / (4 * math.pi * far_off**2))
    assert found.distance_m == pytest.approx(far_off)


def test_a_place_in_the_aperture_has_its_surface(numbers: Figures) -> None:
    """4 P / A (equation 11) where the body is within the dish's radius, at no distance."""
    found = beside(numbers, -0.5)

    assert found.se_w_m2 == pytest.approx(4 / (math.pi * DIAMETER**2 / 4))
    assert found.distance_m == 0


def test_ground_counts_as_a_full_reflection(numbers: Figures) -> None:
    """Twice the field and four times the density (equation 6), named in the reason."""
    free, over = beside(numbers, 40), beside(numbers, 40, Ground.PERFECT)

    assert over.se_w_m2 == pytest.approx(4 * free.se_w_m2)
    assert over.sh_w_m2 == pytest.approx(4 * free.sh_w_m2)
    assert free.why.startswith("Factor 1 for")
    assert over.why.startswith("Factor 4 for")

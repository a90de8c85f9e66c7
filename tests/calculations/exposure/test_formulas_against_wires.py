"""Where a formula decides, it is held against the fields of the wires themselves."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from checklist.calculations.exposure import Figures
from checklist.calculations.exposure.builders import small_loop
from checklist.calculations.exposure.constants import SPEED_OF_LIGHT
from checklist.calculations.exposure.far import by_gain
from checklist.calculations.exposure.model import ByGain, Feed, Ground, Kind, Wire, Wires
from checklist.calculations.exposure.near import by_wires, greatest_gain
from checklist.calculations.exposure.strength import Refused, Strength
from tests.calculations.exposure.making import LAWN, dipole

_HZ = 146e6
_WAVE = SPEED_OF_LIGHT / _HZ


def _as_gain(antenna: Wires, kind: Kind) -> ByGain:
    gain = 10 * math.log10(greatest_gain(antenna, _HZ))
    return ByGain(antenna.name, kind, gain, tuple((w.start, w.end) for w in antenna.wires))


def _collinear(count: int, low_m: float) -> Wires:
    """Return `count` half-wave dipoles on one upright line, fed alike."""
    step = 0.55 * _WAVE
    wires = tuple(
        Wire((0, 0, low_m + i * step), (0, 0, low_m + i * step + 0.48 * _WAVE), 0.003)
        for i in range(count)
    )
    return Wires("collinear", wires, tuple(Feed(i, 0.5) for i in range(count)))


@pytest.mark.parametrize("wavelengths", [1.0, 1.5, 2.5])
@pytest.mark.parametrize("kind", [Kind.SMALL_LOOP, Kind.SHORTENED])
def test_a_wavelength_away_the_formula_bounds_short_antennas(
    kind: Kind, wavelengths: float, numbers: Figures
) -> None:
    """Nearer it refuses; a wavelength off, a quarter wavelength up, factor 4 is not exceeded."""
    loop = small_loop("loop", (0, 0, 1.5), 0.08, 0.001)
    short = dipole("short", (0, 0, 1.5), 0.2, 0.001)
    antenna = loop if kind is Kind.SMALL_LOOP else short
    for x, y in ((1.0, 0.0), (0.0, 1.0), (0.7071, 0.7071)):
        out = wavelengths * _WAVE + 0.11
        place = replace(LAWN, x_m=x * out, y_m=y * out)
        formula = by_gain(_as_gain(antenna, kind), _HZ, place, Ground.REAL, numbers)
        assert isinstance(formula, Strength)
        for ground in (Ground.NONE, Ground.PERFECT):
            solved = by_wires(antenna, _HZ, place, ground, numbers)
            assert isinstance(solved, Strength)

            assert max(solved.se_w_m2, solved.sh_w_m2) <= formula.se_w_m2
    near = replace(LAWN, x_m=0.5 * _WAVE, y_m=0.0)
    assert isinstance(by_gain(_as_gain(antenna, kind), _HZ, near, Ground.REAL, numbers), Refused)


@pytest.mark.parametrize("metres", [0.3, 1.0, 2.0, 5.0, 12.0])
@pytest.mark.parametrize("count", [2, 4])
def test_the_cylinder_bounds_a_collinear(count: int, metres: float, numbers: Figures) -> None:
    """Beside a collinear, P/(2 pi R h) with its factor is above the field of the wires."""
    antenna = _collinear(count, 0.6)
    place = replace(LAWN, x_m=metres, y_m=0.0)
    formula = by_gain(_as_gain(antenna, Kind.COLLINEAR), _HZ, place, Ground.REAL, numbers)
    assert isinstance(formula, Strength)
    for ground in (Ground.NONE, Ground.PERFECT):
        solved = by_wires(antenna, _HZ, place, ground, numbers)
        assert isinstance(solved, Strength)

        assert max(solved.se_w_m2, solved.sh_w_m2) <= formula.se_w_m2

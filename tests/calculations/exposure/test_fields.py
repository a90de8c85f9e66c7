"""Fields of given currents against numerical integration and the closed form."""

from __future__ import annotations

import math

import numpy as np
import pytest

from checklist.calculations.exposure.constants import IMPEDANCE, SPEED_OF_LIGHT
from checklist.calculations.exposure.fields import fields, magnitudes
from checklist.calculations.exposure.model import Feed, Wire, Wires
from checklist.calculations.exposure.moments import Currents, Run, currents
from tests.calculations.exposure import closed_form

_K = 2 * math.pi * 14.1e6 / SPEED_OF_LIGHT


def _sine_dipole(length: float, segments: int = 2) -> Currents:
    """Return a dipole along z with an imposed sine of 1 A at its maximum."""
    stations = np.linspace(0, length, segments + 1)
    amperes = np.sin(_K * (length / 2 - np.abs(stations - length / 2))).astype(np.complex128)
    start, up = np.array([0.0, 0.0, -length / 2]), np.array([0.0, 0.0, 1.0])
    return Currents(_K, (Run(start, up, stations, amperes),), (), segments)


@pytest.mark.parametrize("share", [0.5, 0.3, 0.75, 1.25])
def test_a_sine_current_gives_the_closed_form(share: float) -> None:
    """Balanis, chapter 8: E and H to a millionth, also where a sine has a kink at the feed."""
    length = share * 2 * math.pi / _K
    found = _sine_dipole(length, 6)
    for rho, z in ((1.0, 0.0), (0.3, 2.0), (3.0, 6.0), (40.0, 25.0), (0.05, 1.0)):
        electric, magnetic = fields(found, np.array([[rho, 0.0, z]]))
        erho, ez, h = closed_form.fields(1.0, length, _K, rho, z)

        assert abs(electric[0, 0] - erho) <= 1e-6 * abs(erho) + 1e-9
        assert abs(electric[0, 2] - ez) <= 1e-6 * max(abs(ez), abs(erho)) + 1e-9
        assert abs(magnetic[0, 1] - h) <= 1e-6 * abs(h)


def test_fields_agree_with_a_sum_of_current_elements() -> None:
    """H by Biot and Savart with retardation, integrated over 20,001 points of a tilted wire."""
    length, start = 3.0, np.array([0.3, -0.2, 5.0])
    along = np.array([2.0, -1.0, 0.5]) / math.sqrt(5.25)
    stations = np.linspace(0, length, 5)
    ends = np.array([0.0, 0.8 + 0.2j, 1.0 - 0.1j, 0.5 + 0.3j, 0.0])
    found = Currents(_K, (Run(start, along, stations, ends),), (), 4)
    at = np.array([2.0, 1.0, 4.0])
    s = np.linspace(0, length, 20001)
    step = stations[1]
    left = np.minimum((s / step).astype(int), 3)
    inside = s - left * step
    current = (
        ends[left] * np.sin(_K * (step - inside)) + ends[left + 1] * np.sin(_K * inside)
    ) / math.sin(_K * step)
    away = at - start - s[:, None] * along
    r = np.linalg.norm(away, axis=1)
    kernel = current * (1 + 1j * _K * r) * np.exp(-1j * _K * r) / (4 * math.pi * r**3)
    summed = np.trapezoid(kernel[:, None] * np.cross(along, away), s, axis=0)
    _, magnetic = fields(found, at[None, :])

    assert np.allclose(magnetic[0], summed, rtol=1e-6, atol=1e-10)


def test_far_away_e_over_h_is_the_impedance_of_space() -> None:
    """At 1,000 wavelengths the wave is plane: E = 376.73 ohm x H, CODATA 2018."""
    found = _sine_dipole(math.pi / _K)
    electric, magnetic = magnitudes(found, np.array([[21_000.0, 0.0, 3_000.0]]))

    assert electric[0] / magnetic[0] == pytest.approx(IMPEDANCE, rel=1e-6)


def test_the_axis_beyond_a_wire_has_no_magnetic_field() -> None:
    """Where the formulas are 0/0 the numbers stay finite, and H is zero by symmetry."""
    found = _sine_dipole(math.pi / _K)
    electric, magnetic = magnitudes(found, np.array([[0.0, 0.0, 8.0], [0.0, 0.0, -30.0]]))

    assert np.all(np.isfinite(electric))
    assert np.all(magnetic < 1e-6)
    close, _ = magnitudes(found, np.array([[1e-4, 0.0, 8.0], [1e-4, 0.0, -30.0]]))

    assert np.allclose(electric, close, rtol=1e-5)


def test_perfect_ground_leaves_no_field_along_it() -> None:
    """On the ground plane E stands upright and H lies flat: the boundary condition."""
    wire = Wires("w", (Wire((0, -4, 3), (1, 4, 5), 0.001),), (Feed(0, 0.4),))
    found = currents(wire, 14.1e6, True, 40)
    points = np.array([[3.0, 2.0, 0.0], [-7.0, 11.0, 0.0]])
    electric, magnetic = fields(found, points)

    assert np.all(np.abs(electric[:, :2]) < 1e-9 * np.abs(electric[:, 2:]))
    assert np.all(np.abs(magnetic[:, 2]) < 1e-9 * np.abs(magnetic[:, 0]))


def test_points_taken_in_chunks_give_the_same() -> None:
    """More points than fit into one chunk give what each gives alone."""
    found = _sine_dipole(math.pi / _K, 40)
    points = np.column_stack([np.linspace(1, 50, 9000), np.zeros(9000), np.linspace(-5, 5, 9000)])
    electric, magnetic = magnitudes(found, points)
    for i in (0, 4877, 4878, 8999):
        one_e, one_h = magnitudes(found, points[i : i + 1])

        assert electric[i] == pytest.approx(float(one_e[0]), rel=1e-12)
        assert magnetic[i] == pytest.approx(float(one_h[0]), rel=1e-12)

"""The currents: power balance, convergence, and what physics asks of them."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from checklist.calculations.exposure.builders import Element, inverted_v, small_loop, vertical, yagi
from checklist.calculations.exposure.constants import IMPEDANCE, SPEED_OF_LIGHT
from checklist.calculations.exposure.fields import magnitudes
from checklist.calculations.exposure.model import Feed, Wire, Wires
from checklist.calculations.exposure.moments import currents
from tests.calculations.exposure import closed_form
from tests.calculations.exposure.making import dipole

_HZ = 14.1e6
_BEAM = yagi(
    "beam",
    (0, 0, 12),
    [Element(10.6, 0, 0.01), Element(10.1, 2.8, 0.01, is_driven=True), Element(9.6, 5.6, 0.01)],
    30,
)
_BENT = (Wire((0, 0, 6), (0, 0, 10), 0.002), Wire((0, 0, 10), (7, 2, 10), 0.001))
_ANTENNAS = [
    dipole("dipole", (0, 0, 9), 10.2, 0.001, 20),
    inverted_v("inverted V", (0, 0, 9), 5.2, 35, 0.001),
    vertical("ground plane", (0, 0, 4), 5.1, 0.002, 4, 5.0, 20),
    small_loop("loop", (0, 0, 3), 1.0, 0.008),
    _BEAM,
    Wires("bent", _BENT, (Feed(1, 0.3),)),
]


def _radiated(antenna: Wires, over_ground: bool) -> float:
    """Return the power through a far sphere (its upper half over ground) for one watt accepted."""
    found = currents(antenna, _HZ, over_ground, 40)
    cosines, weights = np.polynomial.legendre.leggauss(48)
    around = np.linspace(0, 2 * math.pi, 96, endpoint=False)
    if over_ground:
        cosines, weights = (cosines + 1) / 2, weights / 2
    radius = 1e5
    sine = np.sqrt(1 - cosines**2)
    turns = [(math.cos(a), math.sin(a)) for a in around]
    rings = zip(cosines, sine, strict=True)
    grid = np.array([[s * x, s * y, c] for c, s in rings for x, y in turns])
    electric, _ = magnitudes(found, radius * grid)
    density = (electric**2 / IMPEDANCE).reshape(len(cosines), len(around)).mean(axis=1)
    return float((density * weights).sum() * 2 * math.pi * radius**2)


@pytest.mark.parametrize("over_ground", [False, True], ids=["free space", "perfect ground"])
@pytest.mark.parametrize("antenna", _ANTENNAS, ids=lambda a: a.name)
def test_what_is_accepted_is_radiated(antenna: Wires, over_ground: bool) -> None:
    """Conservation of energy: the power through a far sphere is the accepted one in 0.05 dB."""
    assert abs(10 * math.log10(_radiated(antenna, over_ground))) <= 0.05


@pytest.mark.parametrize("antenna", _ANTENNAS, ids=lambda a: a.name)
def test_a_finer_mesh_moves_the_density_little(antenna: Wires) -> None:
    """At 0.05 wavelength and beyond, nine points of ten move by less than 0.3 dB in E and in H."""
    rng = np.random.default_rng(7)
    points = rng.uniform([-8, -8, 0.1], [8, 8, 14], (60, 3))
    coarse, fine = (magnitudes(currents(antenna, _HZ, True, n), points) for n in (40, 80))
    near = np.array([min(_from(w, p) for w in antenna.wires) for p in points])
    kept = near >= 0.05 * SPEED_OF_LIGHT / _HZ
    for a, b in zip(coarse, fine, strict=True):
        worst = np.abs(20 * np.log10(a[kept] / b[kept]))

        assert np.percentile(worst, 90) <= 0.3


def test_a_finer_mesh_moves_the_worst_place_little() -> None:
    """The larger of E and H, which decides, moves by less than 0.3 dB at every point."""
    rng = np.random.default_rng(11)
    points = rng.uniform([-8, -8, 0.1], [8, 8, 2], (80, 3))
    for antenna in _ANTENNAS[:2]:
        found = [magnitudes(currents(antenna, _HZ, True, n), points) for n in (40, 80)]
        densest = [np.maximum(e**2 / IMPEDANCE, h**2 * IMPEDANCE) for e, h in found]

        assert np.max(np.abs(10 * np.log10(densest[0] / densest[1]))) <= 0.3


def test_a_thin_half_wave_dipole_has_the_textbook_resistance() -> None:
    """73.1 ohm (Balanis, chapter 8); the current differs from a sine by about 1/ln(l/a)."""
    wire = dipole("d", (0, 0, 0), 0.5, 1e-8)
    found = currents(wire, SPEED_OF_LIGHT, False, 80)

    assert found.impedances[0].real == pytest.approx(closed_form.resistance_ohm(0.5), rel=0.05)


def test_a_monopole_has_half_the_impedance_of_the_dipole() -> None:
    """By images: a quarter wave over perfect ground is half of a half wave in free space."""
    mono = currents(vertical("m", (0, 0, 0), 5.0, 0.01), _HZ, True, 80).impedances[0]
    whole = Wires("d", (Wire((0, 0, -5), (0, 0, 5), 0.01),), (Feed(0, 0.5),))
    half = currents(whole, _HZ, False, 80).impedances[0] / 2

    assert abs(mono - half) <= 1e-6 * abs(half)


@pytest.mark.parametrize("height_m", [3.0, 6.0, 12.0])
def test_a_dipole_over_ground_couples_to_its_image(height_m: float) -> None:
    """R = R11 - R12(2h) with the textbook's mutual resistance, within 5 %."""
    k = SPEED_OF_LIGHT / _HZ
    wire = dipole("d", (0, 0, height_m), k / 2, 1e-7)
    got = currents(wire, _HZ, True, 40).impedances[0].real
    free = currents(wire, _HZ, False, 40).impedances[0].real
    want = free - closed_form.mutual_ohm(2 * height_m / k)

    assert got == pytest.approx(want, rel=0.05)


def test_where_a_feed_stands_on_a_joint_does_not_matter() -> None:
    """A dipole in one piece, in two pieces, or driven from the other side of the joint."""
    one = Wires("1", (Wire((0, -5, 9), (0, 5, 9), 0.001),), (Feed(0, 0.5),))
    halves = (Wire((0, -5, 9), (0, 0, 9), 0.001), Wire((0, 0, 9), (0, 5, 9), 0.001))
    right = Wires("2", halves, (Feed(1, 0.0),))
    left = Wires("3", halves, (Feed(0, 1.0),))
    found = [currents(a, _HZ, True, 40).impedances[0] for a in (one, right, left)]

    assert found[0] == pytest.approx(found[1], rel=1e-9)
    assert found[0] == pytest.approx(found[2], rel=1e-9)


def test_currents_are_found_once_for_a_geometry() -> None:
    """The same geometry, frequency and mesh give the very same object again."""
    wire = dipole("again", (0, 0, 5), 9.0, 0.001)
    same = dipole("again", (0, 0, 5), 9.0, 0.001)

    assert currents(wire, _HZ, True, 40) is currents(same, _HZ, True, 40)


def test_fields_scale_with_frequency_and_size() -> None:
    """An antenna ten times smaller on ten times the frequency: the same E times ten at a tenth."""
    big, small = (dipole("d", (0, 0, s * 8), s * 10, s * 0.01) for s in (1.0, 0.1))
    e_big, h_big = magnitudes(currents(big, _HZ, True, 40), np.array([[3.0, 2.0, 1.5]]))
    e_small, h_small = magnitudes(currents(small, 10 * _HZ, True, 40), np.array([[0.3, 0.2, 0.15]]))

    assert e_small == pytest.approx(10 * e_big, rel=1e-9)
    assert h_small == pytest.approx(10 * h_big, rel=1e-9)


def _from(wire: Wire, point: Any) -> float:
    start, end = np.array(wire.start), np.array(wire.end)
    along = end - start
    share = min(1.0, max(0.0, float((point - start) @ along / (along @ along))))
    return float(np.linalg.norm(point - start - share * along))

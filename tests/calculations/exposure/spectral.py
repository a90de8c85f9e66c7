"""The field of a level wire over real ground by spectral integrals: a second route, slow.

Vector potentials of a horizontal element over a half-space (A. Sommerfeld, 1909; as in textbooks
of layered media): reflected A_x by the transverse-electric coefficient, reflected A_z by what
continuity then asks for. Integrated along a path above the poles, with scipy's Bessel functions.
Time goes as exp(+jwt). Shares with the engine the shape of the wire's current alone.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from scipy.special import jv  # type: ignore[import-untyped]  # scipy ships no types

from checklist.calculations.exposure.constants import IMPEDANCE, SPEED_OF_LIGHT
from checklist.calculations.exposure.fields import fields
from checklist.calculations.exposure.model import Wires
from checklist.calculations.exposure.moments import Complex, Real, currents

_MU = IMPEDANCE / SPEED_OF_LIGHT
_EPSILON = 1 / (IMPEDANCE * SPEED_OF_LIGHT)


@dataclass(frozen=True, slots=True)
class Soil:
    """Relative permittivity, and conductivity in S/m."""

    permittivity: float
    conductivity: float


@dataclass(frozen=True, slots=True, eq=False)
class Elements:
    """Short pieces of a level wire along x at y = 0, and the wave on them."""

    frequency_hz: float
    x_m: Real
    height_m: float
    moments: Complex
    """Current times length, in A m, rms."""


def densities(
    antenna: Wires, frequency_hz: float, points: Real, soil: Soil, per_wavelength: int = 80
) -> Real:
    """Return the larger of E^2 / eta and eta H^2 in W/m2 at points, for one watt accepted.

    The shape of the current is that of free space; what the ground adds to or takes from the
    power at the feed is found from the reflected field along the wire.
    """
    found = currents(antenna, frequency_hz, False, per_wavelength)
    wire = _elements(antenna, frequency_hz, per_wavelength)
    electric, magnetic = fields(found, points)
    back_e, back_h = _reflected(wire, points, soil)
    watts = 1 - float((wire.moments.conj() @ _mutual(wire, soil) @ wire.moments).real)
    se = (np.abs(electric + back_e) ** 2).sum(axis=1) / IMPEDANCE
    sh = (np.abs(magnetic + back_h) ** 2).sum(axis=1) * IMPEDANCE
    return np.asarray(np.maximum(se, sh) / watts)


def _elements(antenna: Wires, frequency_hz: float, per_wavelength: int) -> Elements:
    found = currents(antenna, frequency_hz, False, per_wavelength)
    k = found.wavenumber
    places: list[float] = []
    moments: list[complex] = []
    for run in found.runs:
        for i, length in enumerate(np.diff(run.stations_m)):
            middle = (run.amperes[i] + run.amperes[i + 1]) / (2 * math.cos(k * length / 2))
            places.append(run.start[0] + run.along[0] * (run.stations_m[i] + length / 2))
            moments.append(run.along[0] * middle * length)
    height = antenna.wires[0].start[2]
    return Elements(frequency_hz, np.array(places), height, np.array(moments))


def _mutual(wire: Elements, soil: Soil) -> Complex:
    """Return the reflected field along the wire at each piece by each, for one A m.

    It depends on how far apart they are alone, and they lie evenly.
    """
    step = float(np.diff(wire.x_m).mean())
    one = replace(wire, x_m=np.zeros(1), moments=np.ones(1, dtype=np.complex128))
    apart = [(i * step, 0.0, wire.height_m) for i in range(len(wire.x_m))]
    back, _ = _reflected(one, np.array(apart), soil)
    number = np.arange(len(wire.x_m))
    return np.asarray(back[np.abs(number[:, None] - number[None, :]), 0])


def _reflected(wire: Elements, points: Real, soil: Soil) -> tuple[Complex, Complex]:
    electric = np.zeros((len(points), 3), dtype=np.complex128)
    magnetic = np.zeros_like(electric)
    for number, point in enumerate(points):
        electric[number], magnetic[number] = _at(wire, point, soil)
    return electric, magnetic


def _at(wire: Elements, point: Real, soil: Soil) -> tuple[Complex, Complex]:
    omega = 2 * math.pi * wire.frequency_hz
    k = omega / SPEED_OF_LIGHT
    n2 = soil.permittivity - 1j * soil.conductivity / (omega * _EPSILON)
    x, y = point[0] - wire.x_m, np.full_like(wire.x_m, point[1])
    rho = np.maximum(np.hypot(x, y), 1e-6)
    above = point[2] + wire.height_m
    radial, steps = _path(k, above, float(rho.max()), abs(np.sqrt(n2)))
    air, ground = _decaying(radial**2 - k**2), _decaying(radial**2 - n2 * k**2)
    air = np.where((radial.real < k) & (air.imag < 0), -air, air)
    wave = np.exp(-air * above) * radial * steps
    potential_x = (air - ground) / (air + ground) / air * wave
    potential_z = 2 * (n2 - 1) / ((n2 * air + ground) * (air + ground)) * wave
    scalar = potential_x - air * potential_z
    turned = radial[None, :] * rho[:, None]
    j0, j1, j2 = jv(0, turned), jv(1, turned), jv(2, turned)
    cosine, sine, r = (x / rho)[:, None], (y / rho)[:, None], radial[None, :]
    by_x, by_y = -r * cosine * j1, -r * sine * j1
    by_xx = -(r**2) * (j0 / 2 - (cosine**2 - sine**2) / 2 * j2)
    by_xy = r**2 * cosine * sine * j2

    def over(weights: Complex, kernel: Complex) -> Complex:
        return np.asarray((kernel * weights[None, :]).sum(axis=1))

    scale = _MU / (4 * math.pi) * wire.moments
    e_x = over(potential_x, j0) + over(scalar, by_xx) / k**2
    e_y = over(scalar, by_xy) / k**2
    e_z = over(potential_z, by_x) + over(-air * scalar, by_x) / k**2
    h_x = over(potential_z, by_xy)
    h_y = over(-air * potential_x, j0) - over(potential_z, by_xx)
    h_z = -over(potential_x, by_y)
    electric = [(-1j * omega * scale * part).sum() for part in (e_x, e_y, e_z)]
    magnetic = [(scale / _MU * part).sum() for part in (h_x, h_y, h_z)]
    return np.array(electric), np.array(magnetic)


def _path(k: float, above: float, rho: float, index: float) -> tuple[Complex, Complex]:
    """Return points and steps: half an ellipse over the poles, then out along the real axis."""
    top = 1.2 * k * min(max(1.0, index), 3.0)
    lift = min(0.5 * k, 1 / max(rho, 1e-3))
    nodes, weights = np.polynomial.legendre.leggauss(200)
    t = (nodes + 1) / 2 * math.pi
    bow = top / 2 * (1 - np.cos(t)) + 1j * lift * np.sin(t)
    bow_steps = (top / 2 * np.sin(t) + 1j * lift * np.cos(t)) * weights * math.pi / 2
    pieces = int(max(30.0, rho * 45 / above / 6.3 * 1.2))
    edges = np.linspace(top, top + 45 / above, pieces + 1)
    nodes, weights = np.polynomial.legendre.leggauss(12)
    half = np.diff(edges)[:, None] / 2
    straight = (edges[:-1, None] + half * (nodes + 1)).ravel()
    return (
        np.concatenate([bow, straight]),
        np.concatenate([bow_steps, (half * weights).ravel()]),
    )


def _decaying(squared: Complex) -> Complex:
    root = np.sqrt(squared)
    return np.asarray(np.where(root.real < 0, -root, root))

"""The exact electric and magnetic field of sinusoidal currents on straight wires.

For a current I(z') that follows a sine of kz' from A to B, with u = z' - z,
R^2 = rho^2 + u^2 and e = exp(-jkR):
  Ez   = (-j eta / 4 pi k) [ -I u (1 + jkR) e / R^3 - I' e / R ] from A to B
  Erho = (j eta / 4 pi k rho) [ e (-I rho^2 (1 + jkR) / R^3 + jk I + I' u / R) ] from A to B
  Hphi = (1 / 4 pi rho) [ e (I u / R + I' / jk) ] from A to B
The terms with I/R^3 point at the ends and cancel wherever the current is continuous; as it is
at every node here and zero at free ends, they are left out. Derived by two integrations by
parts; the tests hold them against numerical integration of current elements.
"""

from __future__ import annotations

import math

import numpy as np

from checklist.calculations.exposure.constants import IMPEDANCE
from checklist.calculations.exposure.moments import Complex, Currents, Real, Run
from checklist.stopping import go_on

_AT_ONCE = 200_000
_LEAST_RHO2 = 1e-12


def fields(found: Currents, points: Real) -> tuple[Complex, Complex]:
    """Return E in V/m and H in A/m (rms, shape (n, 3)) at points in metres, for one watt.

    Points on a wire, or on the ground below it where it is grounded, give no usable number.
    Memory stays bounded: the points are taken in chunks.
    """
    electric = np.zeros((len(points), 3), dtype=np.complex128)
    magnetic = np.zeros((len(points), 3), dtype=np.complex128)
    longest = max(len(run.stations_m) for run in found.runs)
    step = max(64, _AT_ONCE // longest)
    for first in range(0, len(points), step):
        part = slice(first, first + step)
        for run in found.runs:
            go_on()
            _add(run, found.wavenumber, points[part], electric[part], magnetic[part])
    electric *= 1j * IMPEDANCE / (4 * math.pi * found.wavenumber)
    magnetic /= 4 * math.pi
    return electric, magnetic


def magnitudes(found: Currents, points: Real) -> tuple[Real, Real]:
    """Return the magnitudes of E in V/m and H in A/m, rms, at each point, for one watt."""
    electric, magnetic = fields(found, points)
    return _length(electric), _length(magnetic)


def _length(vectors: Complex) -> Real:
    return np.asarray(np.sqrt((vectors.real**2 + vectors.imag**2).sum(axis=1)))


def _add(run: Run, k: float, points: Real, electric: Complex, magnetic: Complex) -> None:
    offset = points - run.start
    z = offset @ run.along
    across = offset - z[:, None] * run.along
    rho2 = np.einsum("pi,pi->p", across, across)
    u = run.stations_m - z[:, None]
    r = np.sqrt(rho2[:, None] + u * u)
    np.maximum(r, math.sqrt(_LEAST_RHO2), out=r)
    jumps = _slope_jumps(run, k)
    weights = np.column_stack([jumps.real, jumps.imag])
    moments = np.column_stack([weights, weights * run.stations_m[:, None]])
    cosine, sine = np.cos(k * r), np.sin(k * r)
    ends = _ends(run, u, r, cosine, sine)
    whole = _combine(cosine @ weights, sine @ weights)[:, 0]
    over_r = _combine((cosine / r) @ moments, (sine / r) @ moments)
    lengthwise = over_r[:, 0]
    sidewise = 1j * k * ends[0] + over_r[:, 1] - z * lengthwise
    outward = across / np.maximum(rho2, _LEAST_RHO2)[:, None]
    electric += lengthwise[:, None] * run.along + sidewise[:, None] * outward
    around = np.cross(run.along, outward)
    magnetic += (ends[1] + whole / (1j * k))[:, None] * around


def _combine(cosine: Real, sine: Real) -> Complex:
    """Return (cos - j sin) times complex weights, given their real products column by column."""
    real = cosine[:, 0::2] + sine[:, 1::2]
    imaginary = cosine[:, 1::2] - sine[:, 0::2]
    return np.asarray(real + 1j * imaginary)


def _ends(run: Run, u: Real, r: Real, cosine: Real, sine: Real) -> tuple[Complex, Complex]:
    """Return I e and I u e / R, end less start: between them the current is continuous."""
    sums = []
    for factor in (np.ones_like(r[:, [0, -1]]), (u / r)[:, [0, -1]]):
        waves = (cosine[:, [0, -1]] - 1j * sine[:, [0, -1]]) * factor
        sums.append(waves[:, 1] * run.amperes[-1] - waves[:, 0] * run.amperes[0])
    return sums[0], sums[1]


def _slope_jumps(run: Run, k: float) -> Complex:
    """Return at each node the slope dI/dz on its left less the slope on its right."""
    lengths = np.diff(run.stations_m)
    sine, cosine = np.sin(k * lengths), np.cos(k * lengths)
    left, right = run.amperes[:-1], run.amperes[1:]
    at_start = k * (right - left * cosine) / sine
    at_end = k * (right * cosine - left) / sine
    jumps = np.zeros(len(run.stations_m), dtype=np.complex128)
    jumps[1:] += at_end
    jumps[:-1] -= at_start
    return jumps

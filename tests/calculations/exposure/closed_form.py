"""The closed form of a centre-fed dipole with a sinusoidal current, by scipy's special functions.

C. A. Balanis, Antenna Theory, chapter 8; Jordan and Balmain, chapter 14 (from memory; checked
against numerical integration of current elements in test_fields).
"""

from __future__ import annotations

import cmath
import math

from scipy.special import sici  # type: ignore[import-untyped]  # scipy ships no types

EULER = 0.5772156649015329
ETA = 376.730313668


def resistance_ohm(length_wavelengths: float) -> float:
    """Return the radiation resistance with respect to the current maximum."""
    kl = 2 * math.pi * length_wavelengths
    si, ci = sici(kl)
    si2, ci2 = sici(2 * kl)
    return float(
        ETA
        / (2 * math.pi)
        * (
            EULER
            + math.log(kl)
            - ci
            + 0.5 * math.sin(kl) * (si2 - 2 * si)
            + 0.5 * math.cos(kl) * (EULER + math.log(kl / 2) + ci2 - 2 * ci)
        )
    )


def mutual_ohm(spacing_wavelengths: float) -> float:
    """Return the mutual resistance of two half-wave dipoles side by side."""
    kd, kl = 2 * math.pi * spacing_wavelengths, math.pi
    root = math.hypot(kd, kl)
    return float(30 * (2 * sici(kd)[1] - sici(root + kl)[1] - sici(root - kl)[1]))


def directivity(length_wavelengths: float) -> float:
    """Return the greatest directivity, by the pattern in the equatorial plane or off it."""
    half = math.pi * length_wavelengths
    best = max(
        abs((math.cos(half * math.cos(t)) - math.cos(half)) / math.sin(t))
        for t in (math.pi * i / 4000 for i in range(1, 4000))
    )
    return ETA / math.pi * best**2 / resistance_ohm(length_wavelengths)


def fields(
    amperes: float, length_m: float, k: float, rho: float, z: float
) -> tuple[complex, complex, complex]:
    """Return E along rho, E along z and H around, for the rms current maximum `amperes`."""
    h = length_m / 2
    r1, r2, r = math.hypot(rho, z - h), math.hypot(rho, z + h), math.hypot(rho, z)
    e1, e2, e0 = (cmath.exp(-1j * k * d) for d in (r1, r2, r))
    c = 2 * math.cos(k * h)
    front = 1j * ETA * amperes / (4 * math.pi)
    ez = -front * (e1 / r1 + e2 / r2 - c * e0 / r)
    erho = front / rho * ((z - h) * e1 / r1 + (z + h) * e2 / r2 - z * c * e0 / r)
    h_phi = 1j * amperes / (4 * math.pi * rho) * (e1 + e2 - c * e0)
    return erho, ez, h_phi

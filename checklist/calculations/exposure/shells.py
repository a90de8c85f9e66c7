"""The worst exposure at each distance around wires, for zones and for curves over distance."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from functools import lru_cache
from itertools import product

import numpy as np

from checklist.calculations.exposure.comparison import outside_comparison, stands_on_ground
from checklist.calculations.exposure.constants import SPEED_OF_LIGHT
from checklist.calculations.exposure.far import density_w_m2
from checklist.calculations.exposure.figures import Figures
from checklist.calculations.exposure.limits import Tier
from checklist.calculations.exposure.model import Ground, Point, Wires
from checklist.calculations.exposure.moments import Real
from checklist.calculations.exposure.near import (
    MESHES,
    beyond_comparison,
    densities,
    greatest_gain,
)
from checklist.calculations.exposure.ownframe import own_frame
from checklist.calculations.exposure.strength import Refused, Sort, Strength
from checklist.calculations.exposure.wires import GeometryRefused, refuse_bad_geometry

_STEPS = 24
_SHARES = (0.0, 0.25, 0.5, 0.75, 1.0)
_MOST_STATIONS = 80
_STILL_NEAREST = 0.97


def reaches(
    antenna: Wires,
    frequency_hz: float,
    steps: Sequence[tuple[Tier, float]],
    ground: Ground,
    figures: Figures,
    fraction: Callable[[Strength, Tier], float],
) -> list[float] | Refused:
    """Return for each tier and multiple of its limit the distance beyond which it is kept.

    From the nearest wire in any direction above the ground. Nearer than the method was
    compared nothing is shown, so that no distance is shorter than that.
    """
    refused = _unfit(antenna, frequency_hz, ground, figures)
    if refused:
        return refused
    wavelength = SPEED_OF_LIGHT / frequency_hz
    gain = greatest_gain(antenna, frequency_hz, over_ground=stands_on_ground(antenna))
    factor = 1.0 if ground is Ground.NONE else figures["full_reflection"]
    curve = worst_by_distance(antenna, frequency_hz, ground, figures)
    found = []
    for tier, multiple in steps:
        density = density_w_m2(1.0, max(gain, figures["dipole_gain"]), 1.0, factor)
        plain = Strength(Sort.PLANE_WAVE, density, density, 1.0, "far field", "")
        beyond = math.sqrt(fraction(plain, tier) / multiple)
        if beyond > figures["farthest_wavelengths"] * wavelength:
            found.append(beyond)
            continue
        distances = [d for d, _ in curve]
        over = [i for i, (_, s) in enumerate(curve) if fraction(s, tier) > multiple]
        last = min(over[-1] + 1, len(curve) - 1) if over else 0
        found.append(distances[last])
    return found


def worst_by_distance(
    antenna: Wires, frequency_hz: float, ground: Ground, figures: Figures
) -> list[tuple[float, Strength]]:
    """Return distances from the nearest wire with the worst strength there, for one watt."""
    margin_db = figures["envelope_margin_db"] if ground is Ground.REAL else 0.0
    span = (figures["nearest_wavelengths"], figures["farthest_wavelengths"])
    own = own_frame(antenna, ground is not Ground.NONE).antenna
    return list(_curve(own, frequency_hz, ground, margin_db, span))


@lru_cache(maxsize=64)
def _curve(
    antenna: Wires,
    frequency_hz: float,
    ground: Ground,
    margin_db: float,
    span: tuple[float, float],
) -> tuple[tuple[float, Strength], ...]:
    """Return the same in the antenna's own frame: it is the same curve for every heading."""
    wavelength = SPEED_OF_LIGHT / frequency_hz
    margin = 10 ** (margin_db / 10)
    sort = Sort.ENVELOPE if ground is Ground.REAL else Sort.FIELDS
    distances = np.geomspace(span[0] * wavelength, span[1] * wavelength, _STEPS)
    shells = [_shell(antenna, float(d), ground) for d in distances]
    found = densities(antenna, frequency_hz, np.concatenate(shells), ground, MESHES[1])
    edges = np.cumsum([0, *(len(s) for s in shells)])
    curve = []
    for d, first, after in zip(distances, edges, edges[1:], strict=False):
        if after > first:
            se = float(found.se_w_m2[first:after].max()) * margin
            sh = float(found.sh_w_m2[first:after].max()) * margin
            curve.append((float(d), Strength(sort, se, sh, float(d), "near field", "")))
    return tuple(curve)


def strengths(
    antenna: Wires,
    frequency_hz: float,
    points: Sequence[Point],
    ground: Ground,
    figures: Figures,
) -> list[Strength | Refused]:
    """Return the strength for one watt at each point, all found in one pass, for looking."""
    refused = _unfit(antenna, frequency_hz, ground, figures)
    if refused:
        return [refused] * len(points)
    wavelength = SPEED_OF_LIGHT / frequency_hz
    array = np.asarray(points, dtype=float)
    distances = _nearest(antenna, array)
    found = densities(antenna, frequency_hz, array, ground, MESHES[1])
    real = ground is Ground.REAL
    margin = 10 ** (figures["envelope_margin_db"] / 10) if real else 1.0
    sort = Sort.ENVELOPE if real else Sort.FIELDS
    beyond = figures["farthest_wavelengths"] * wavelength if real else math.inf
    close = Refused("nearer than anything was compared", "Keep people farther away.")
    result: list[Strength | Refused] = []
    for d, se, sh in zip(distances, found.se_w_m2 * margin, found.sh_w_m2 * margin, strict=True):
        if d < figures["nearest_wavelengths"] * wavelength:
            result.append(close)
        elif d > beyond:
            result.append(beyond_comparison(antenna, frequency_hz, float(d), figures))
        else:
            result.append(Strength(sort, float(se), float(sh), float(d), "near field", ""))
    return result


def _unfit(antenna: Wires, frequency_hz: float, ground: Ground, figures: Figures) -> Refused | None:
    try:
        refuse_bad_geometry(antenna, frequency_hz, ground)
    except GeometryRefused as refused:
        return Refused(refused.what, refused.right)
    return outside_comparison(antenna, frequency_hz, figures) if ground is Ground.REAL else None


def _shell(antenna: Wires, distance: float, ground: Ground) -> Real:
    """Return points about `distance` from the nearest wire, on all sides, above the ground."""
    shares = _SHARES if len(antenna.wires) * len(_SHARES) <= _MOST_STATIONS else (0.0, 0.5)
    stations = np.array(
        [
            [s + share * (e - s) for s, e in zip(wire.start, wire.end, strict=True)]
            for wire in antenna.wires
            for share in shares
        ]
    )
    around = np.array([d for d in product((-1, 0, 1), repeat=3) if any(d)], dtype=float)
    around /= np.linalg.norm(around, axis=1)[:, None]
    points = (stations[:, None, :] + distance * around).reshape(-1, 3)
    if ground is not Ground.NONE:
        points = points[points[:, 2] >= 0]
    return np.asarray(points[_nearest(antenna, points) >= _STILL_NEAREST * distance])


def _nearest(antenna: Wires, points: Real) -> Real:
    nearest = np.full(len(points), np.inf)
    for wire in antenna.wires:
        start, end = np.array(wire.start), np.array(wire.end)
        along = end - start
        share = np.clip((points - start) @ along / (along @ along), 0, 1)
        nearest = np.minimum(
            nearest, np.linalg.norm(points - start - share[:, None] * along, axis=1)
        )
    return nearest

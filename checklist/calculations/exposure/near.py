"""Near-field exposure from the currents on the wires, and the bounds within which it holds.

In free space and over perfect ground the fields are exact for the model, each against its own
limit. Over real ground the larger power density of free space and perfect ground counts, each
with its own currents at the same accepted power, plus a margin: an empirical bound, used only
where it was compared with full-wave solutions, otherwise *not shown*.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from checklist.calculations.exposure.comparison import outside_comparison, stands_on_ground
from checklist.calculations.exposure.constants import IMPEDANCE, SPEED_OF_LIGHT
from checklist.calculations.exposure.far import density_w_m2
from checklist.calculations.exposure.fields import magnitudes
from checklist.calculations.exposure.figures import Figures
from checklist.calculations.exposure.geometry import parts_of, to_body
from checklist.calculations.exposure.model import Ground, Place, Wires
from checklist.calculations.exposure.moments import Real, currents
from checklist.calculations.exposure.ownframe import own_frame
from checklist.calculations.exposure.strength import Refused, Sort, Strength
from checklist.calculations.exposure.wires import (
    GeometryRefused,
    refuse_bad_geometry,
)

MESHES = (40, 80, 160)
"""Segments for each wavelength, each twice as fine; the first pair that agrees is used."""

_BODY_STEP_M = 0.15
_MOST_BODY_POINTS = 60
_SPHERE = 48


@dataclass(frozen=True, slots=True)
class _Bounds:
    """The figures that decide at a place."""

    mesh_change_db: float
    envelope_margin_db: float
    dipole_gain: float
    partial_reflection: float


@dataclass(frozen=True, slots=True, eq=False)
class Densities:
    """E^2 / eta and H^2 x eta in W/m2 at points, for one watt accepted."""

    se_w_m2: Real
    sh_w_m2: Real


def densities(
    antenna: Wires, frequency_hz: float, points: Real, ground: Ground, per_wavelength: int
) -> Densities:
    """Return the densities at points in metres (shape (n, 3)); over real ground the envelope.

    The envelope's margin is not in it; the same number then stands for both fields.
    """
    if ground is not Ground.REAL:
        return _solved(antenna, frequency_hz, points, ground is Ground.PERFECT, per_wavelength)
    over = _solved(antenna, frequency_hz, points, True, per_wavelength)
    worst = np.maximum(over.se_w_m2, over.sh_w_m2)
    if not stands_on_ground(antenna):
        free = _solved(antenna, frequency_hz, points, False, per_wavelength)
        worst = np.maximum(worst, np.maximum(free.se_w_m2, free.sh_w_m2))
    return Densities(worst, worst)


def by_wires(
    antenna: Wires, frequency_hz: float, place: Place, ground: Ground, figures: Figures
) -> Strength | Refused:
    """Return the strength at the worst point of a body for one watt, or why it is not shown."""
    try:
        refuse_bad_geometry(antenna, frequency_hz, ground)
    except GeometryRefused as refused:
        return Refused(refused.what, refused.right)
    wavelength = SPEED_OF_LIGHT / frequency_hz
    distance = to_body(parts_of(antenna), place)
    if distance < figures["nearest_wavelengths"] * wavelength:
        return Refused(
            f"{distance:.2f} m from a wire is nearer than "
            f"{figures['nearest_wavelengths'] * wavelength:.2f} m, where nothing was compared",
            "Keep people farther away, or raise the wire.",
        )
    if ground is Ground.REAL:
        outside = outside_comparison(antenna, frequency_hz, figures)
        if outside:
            return outside
        if distance > figures["farthest_wavelengths"] * wavelength:
            return beyond_comparison(antenna, frequency_hz, distance, figures)
    bounds = _Bounds(
        figures["mesh_change_db"],
        figures["envelope_margin_db"],
        figures["dipole_gain"],
        figures["partial_reflection"],
    )
    where = (place.x_m, place.y_m, place.low_m, place.high_m)
    return _converged(replace(antenna, name=""), frequency_hz, where, ground, bounds)


def greatest_gain(antenna: Wires, frequency_hz: float, *, over_ground: bool = False) -> float:
    """Return the greatest directivity over isotropic, a ratio; lossless, by the far fields."""
    return _greatest(own_frame(antenna, over_ground).antenna, frequency_hz, over_ground)


@lru_cache(maxsize=128)
def _greatest(antenna: Wires, frequency_hz: float, over_ground: bool) -> float:
    found = currents(antenna, frequency_hz, over_ground, MESHES[0])
    radius = 1e4 * SPEED_OF_LIGHT / frequency_hz
    electric, _ = magnitudes(found, radius * directions(_SPHERE))
    return float((electric**2).max() / IMPEDANCE * 4 * math.pi * radius**2)


def directions(count: int) -> Real:
    """Return unit vectors over the upper half sphere and its mirror, `count` each way."""
    polar = np.linspace(0, math.pi, count)
    around = np.linspace(0, 2 * math.pi, 2 * count, endpoint=False)
    p, a = (grid.ravel() for grid in np.meshgrid(polar, around))
    return np.column_stack([np.sin(p) * np.cos(a), np.sin(p) * np.sin(a), np.cos(p)])


def body_points(place: Place) -> Real:
    """Return points up the body, near enough that the worst is not missed between them."""
    tall = place.high_m - place.low_m
    count = min(_MOST_BODY_POINTS, max(1, math.ceil(tall / _BODY_STEP_M)) + 1)
    z = np.linspace(place.low_m, place.high_m, count if tall > 0 else 1)
    return np.column_stack([np.full_like(z, place.x_m), np.full_like(z, place.y_m), z])


def _solved(
    antenna: Wires, frequency_hz: float, points: Real, over_ground: bool, per_wavelength: int
) -> Densities:
    frame = own_frame(antenna, over_ground)
    found = currents(frame.antenna, frequency_hz, over_ground, per_wavelength)
    electric, magnetic = magnitudes(found, frame.seen(points))
    return Densities(electric**2 / IMPEDANCE, magnetic**2 * IMPEDANCE)


@lru_cache(maxsize=8192)
def _converged(
    antenna: Wires,
    frequency_hz: float,
    where: tuple[float, float, float, float],
    ground: Ground,
    bounds: _Bounds,
) -> Strength | Refused:
    """Return the strength on the first mesh that agrees with one twice as fine.

    `where` is x, y, soles and head of the body. Kept in memory: a search for remedies asks
    for the same antenna at the same place over and over.
    """
    place = Place("", *where, controlled=False)
    points = body_points(place)
    distance = to_body(parts_of(antenna), place)
    allowed = bounds.mesh_change_db
    before = _worst(densities(antenna, frequency_hz, points, ground, MESHES[0]))
    change = math.inf
    for mesh in MESHES[1:]:
        after = _worst(densities(antenna, frequency_hz, points, ground, mesh))
        change = max(
            abs(10 * math.log10(b / a))
            for a, b in zip(before, after, strict=True)
            if a > 0 and b > 0
        )
        if change <= allowed:
            return _strength(antenna, after, distance, ground, change, bounds)
        before = after
    return Refused(
        f"halving the segments still moves the power density by {change:.2f} dB",
        "Check the geometry for wires that are thick or close to each other.",
    )


def _worst(found: Densities) -> tuple[float, float]:
    return float(found.se_w_m2.max()), float(found.sh_w_m2.max())


def _strength(
    antenna: Wires,
    worst: tuple[float, float],
    distance: float,
    ground: Ground,
    change: float,
    bounds: _Bounds,
) -> Strength:
    said = (
        "Lossless wire; the power is the one that the antenna accepts.",
        f"Halving the segments moves the power density by {change:.2f} dB.",
    )
    if ground is not Ground.REAL:
        why = f"Fields of the currents on the wires, {ground}."
        return Strength(Sort.FIELDS, *worst, distance, "near field", why, said)
    margin = bounds.envelope_margin_db
    raised = max(worst) * 10 ** (margin / 10)
    if stands_on_ground(antenna):
        beside = density_w_m2(1.0, bounds.dipole_gain, distance, bounds.partial_reflection)
        why = (
            "A wire stands on real ground: the larger of the field over perfect ground, with "
            f"{margin:g} dB, and the far-field formula beside a vertical."
        )
        raised = max(raised, beside)
    else:
        why = (
            f"Over real ground: the larger of free space and perfect ground, with {margin:g} dB; "
            "an empirical bound, one power density for both fields."
        )
    return Strength(Sort.ENVELOPE, raised, raised, distance, "near field, two grounds", why, said)


def beyond_comparison(
    antenna: Wires, frequency_hz: float, distance: float, figures: Figures
) -> Strength:
    """Return the far-field strength beyond the distance up to which the envelope was compared."""
    grounded = stands_on_ground(antenna)
    gain = max(figures["dipole_gain"], greatest_gain(antenna, frequency_hz, over_ground=grounded))
    factor = figures["full_reflection"]
    density = density_w_m2(1.0, gain, distance, factor)
    return Strength(
        Sort.PLANE_WAVE,
        density,
        density,
        distance,
        "far field with the gain of the wires",
        f"Farther than {figures['farthest_wavelengths']:g} wavelengths: factor {factor:g}, "
        f"greatest gain {10 * math.log10(gain):.1f} dBi in every direction.",
    )

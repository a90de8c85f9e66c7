"""The currents on thin wires, by a method of moments of our own.

Piecewise-sinusoidal currents, Galerkin's weighting with the same functions, and the reduced
kernel with R^2 = |r - r'|^2 + a^2 on the wire's axis; perfect ground by images. Lossless.
Method: R. F. Harrington, Field Computation by Moment Methods, 1968; J. H. Richmond, Radiation
and scattering by thin-wire structures, NASA CR-2399, 1974 (both cited from memory; the tests
hold the results against closed forms and against published reference cases).

Effective values (rms) throughout; time goes as exp(+jwt).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from checklist.calculations.exposure.constants import IMPEDANCE, SPEED_OF_LIGHT
from checklist.calculations.exposure.meshing import Mesh, Segment, mesh
from checklist.calculations.exposure.model import Point, Wires
from checklist.stopping import go_on

Real = NDArray[np.float64]
Complex = NDArray[np.complex128]

_HALF_POINTS = 10
_FAR_POINTS = 5
_NEIGHBOUR = 4.0
_AT_ONCE = 200_000
_MOST_KEPT = 300
"""Segments up to which impedances stay in memory, at 64 bytes for each pair."""


@dataclass(frozen=True, slots=True, eq=False)
class Run:
    """A straight run of segments with its currents: what the fields are computed from."""

    start: Real
    along: Real
    """Unit vector."""

    stations_m: Real
    """Distances of the nodes from `start`."""

    amperes: Complex
    """At the nodes, in the direction of `along`, rms."""


@dataclass(frozen=True, slots=True, eq=False)
class Currents:
    """All currents of an antenna that accepts one watt."""

    wavenumber: float
    """Radians per metre."""

    runs: tuple[Run, ...]
    """Images in the ground included, with their currents."""

    impedances: tuple[complex, ...]
    """Ohm at each feed, in the order of the feeds."""

    segments: int


@lru_cache(maxsize=512)
def currents(
    antenna: Wires, frequency_hz: float, over_ground: bool, per_wavelength: int
) -> Currents:
    """Return the currents for one watt accepted, in free space or over perfect ground.

    `per_wavelength` is the fineness of the mesh. The geometry must have passed
    `wires.refuse_bad_geometry`. Kept in memory for each geometry, frequency and mesh.
    """
    meshed = mesh(antenna, SPEED_OF_LIGHT / frequency_hz, over_ground, per_wavelength)
    k = 2 * math.pi * frequency_hz / SPEED_OF_LIGHT
    halves = _half_impedances(antenna, meshed, per_wavelength, k, over_ground)
    weights = meshed.weights
    impedance = weights.T @ halves @ weights
    volts = sum(
        feed.volts * weights[column] for feed, column in zip(antenna.feeds, meshed.fed, strict=True)
    )
    go_on()
    flowing = np.linalg.solve(impedance, np.asarray(volts, dtype=np.complex128))
    ends: Complex = np.asarray(weights @ flowing, dtype=np.complex128)
    at_feeds = [complex(ends[column]) for column in meshed.fed]
    volts_amperes = zip(antenna.feeds, at_feeds, strict=True)
    watts = sum((feed.volts * amps.conjugate()).real for feed, amps in volts_amperes)
    return Currents(
        wavenumber=k,
        runs=_runs(meshed, ends / math.sqrt(watts), over_ground),
        impedances=tuple(f.volts / a for f, a in zip(antenna.feeds, at_feeds, strict=True)),
        segments=len(meshed.segments),
    )


def _half_impedances(antenna: Wires, meshed: Mesh, per: int, k: float, image: bool) -> Complex:
    """Return the impedances between all half functions, each peaking at one end of a segment.

    `per` is the fineness of the mesh. What the wires do to each other directly is the same at
    every height and is kept; only what their image does is found anew.
    """
    if len(meshed.segments) > _MOST_KEPT:
        direct = _between_all(meshed.segments, k, mirrored=False)
    else:
        direct = _direct(_lowered(antenna), 2 * math.pi / k, per)
    return direct + _between_all(meshed.segments, k, mirrored=True) if image else direct


@lru_cache(maxsize=24)
def _direct(antenna: Wires, wavelength_m: float, per_wavelength: int) -> Complex:
    segments = mesh(antenna, wavelength_m, False, per_wavelength).segments
    return _between_all(segments, 2 * math.pi / wavelength_m, mirrored=False)


def _lowered(antenna: Wires) -> Wires:
    """Return the antenna with the start of its first wire at no height, for one look-up."""
    low = antenna.wires[0].start[2]

    def down(p: Point) -> Point:
        return (p[0], p[1], round(p[2] - low, 9) + 0.0)

    wires = tuple(replace(w, start=down(w.start), end=down(w.end)) for w in antenna.wires)
    return replace(antenna, name="", wires=wires)


def _between_all(segments: tuple[Segment, ...], k: float, *, mirrored: bool) -> Complex:
    """Return the impedances between all halves, or between them and the halves of the image.

    Neighbours are weighted at many points that crowd towards the nodes; pairs farther apart
    at a few, as their field is smooth.
    """
    table = _Table.of(segments, k)
    count = len(segments)
    result = np.zeros((count, 2, count, 2), dtype=np.complex128)
    sign = 1.0 if mirrored else -1.0
    near = table.neighbours(mirrored=mirrored)
    for pairs, points in ((np.argwhere(~near), _FAR_POINTS), (np.argwhere(near), _HALF_POINTS)):
        step = max(1, _AT_ONCE // (2 * points))
        for first in range(0, len(pairs), step):
            go_on()
            m, n = pairs[first : first + step].T
            crowded = points == _HALF_POINTS
            found = table.between(m, n, k, crowded=crowded, mirrored=mirrored)
            result[m, :, n, :] = sign * found
    return np.asarray(result.reshape(2 * count, 2 * count))


@dataclass(frozen=True, slots=True, eq=False)
class _Table:
    """All segments as arrays, with the points and weights of the weighting integral."""

    start: Real
    along: Real
    length: Real
    radius: Real
    crowded: tuple[Real, Real]
    """Distances of the points from the start, and weights of both halves, (2, segments, n)."""

    smooth: tuple[Real, Real]

    @classmethod
    def of(cls, segments: tuple[Segment, ...], k: float) -> _Table:
        length = np.array([s.length_m for s in segments])
        radius = np.array([s.radius_m for s in segments])
        nodes, gauss = np.polynomial.legendre.leggauss(_HALF_POINTS)
        # s = a sinh(t): near a node the field changes over lengths of the radius.
        top = np.arcsinh(length / 2 / radius)[:, None]
        t = top * (nodes + 1) / 2
        s = radius[:, None] * np.sinh(t)
        ds = radius[:, None] * np.cosh(t) * top * gauss / 2
        offsets = np.concatenate([s, length[:, None] - s], axis=1)
        crowded = _weighted(offsets, np.concatenate([ds, ds], axis=1), length, k)
        nodes, gauss = np.polynomial.legendre.leggauss(_FAR_POINTS)
        steps = length[:, None] * gauss / 2
        smooth = _weighted(length[:, None] * (nodes + 1) / 2, steps, length, k)
        start = np.array([s.start for s in segments])
        along = np.array([s.along for s in segments])
        return cls(start, along, length, radius, crowded, smooth)

    def neighbours(self, *, mirrored: bool) -> NDArray[np.bool_]:
        """Return which pairs are nearer than a few of their own lengths."""
        middle = self.start + self.along * self.length[:, None] / 2
        image = middle * _flip(mirrored=mirrored)
        gap = np.linalg.norm(middle[:, None, :] - image[None, :, :], axis=2)
        return np.asarray(gap < _NEIGHBOUR * (self.length[:, None] + self.length[None, :]) / 2)

    def between(
        self,
        m: NDArray[np.intp],
        n: NDArray[np.intp],
        k: float,
        *,
        crowded: bool,
        mirrored: bool,
    ) -> Complex:
        """Return the weighted field on segments m of both halves of segments n, (pairs, 2, 2)."""
        offsets, values = self.crowded if crowded else self.smooth
        flip = _flip(mirrored=mirrored)
        points = self.start[m][:, None, :] + offsets[m][:, :, None] * self.along[m][:, None, :]
        t, length = self.along[n] * flip, self.length[n][:, None]
        # One radius for both ways round keeps the matrix symmetric where radii differ.
        radius = np.sqrt((self.radius[m] ** 2 + self.radius[n] ** 2) / 2)
        offset = points - (self.start[n] * flip)[:, None, :]
        field_a, field_b = _tangential(offset, self.along[m], radius, t, length, k)
        weights = values[:, m, :]
        found = [[(w * f).sum(axis=1) for f in (field_a, field_b)] for w in weights]
        return np.asarray(np.array(found).transpose(2, 0, 1))


def _flip(*, mirrored: bool) -> Real:
    return np.array([1.0, 1.0, -1.0 if mirrored else 1.0])


def _weighted(offsets: Real, steps: Real, length: Real, k: float) -> tuple[Real, Real]:
    sine = np.sin(k * length)[:, None]
    from_start = np.sin(k * (length[:, None] - offsets)) / sine * steps
    return offsets, np.array([from_start, np.sin(k * offsets) / sine * steps])


def _tangential(
    offset: Real, along: Real, radius: Real, t: Real, length: Real, k: float
) -> tuple[Complex, Complex]:
    """Return the field along `along` of both half functions, at points from the source's start.

    The terms that cancel where currents are continuous are left out: they never take part
    in a pair of halves.
    """
    z = np.einsum("pqi,pi->pq", offset, t)
    across = offset - z[:, :, None] * t[:, None, :]
    rho2 = np.einsum("pqi,pqi->pq", across, across) + (radius**2)[:, None]
    u_a, u_b = -z, length - z
    r_a, r_b = np.sqrt(rho2 + u_a**2), np.sqrt(rho2 + u_b**2)
    e_a, e_b = np.exp(-1j * k * r_a), np.exp(-1j * k * r_b)
    g_a, g_b = e_a / r_a, e_b / r_b
    sine, tangent = np.sin(k * length), np.tan(k * length)
    lengthwise = np.einsum("pi,pi->p", along, t)[:, None]
    sidewise = np.einsum("pqi,pi->pq", across, along) / rho2
    # From a half that is 1 at A: slopes -k/tan at A and -k/sin at B; at B: k/sin and k/tan.
    at_a = lengthwise * k * (g_a / tangent - g_b / sine) + sidewise * (
        k * (u_a * g_a / tangent - u_b * g_b / sine) - 1j * k * e_a
    )
    at_b = lengthwise * k * (g_b / tangent - g_a / sine) + sidewise * (
        k * (u_b * g_b / tangent - u_a * g_a / sine) + 1j * k * e_b
    )
    factor = 1j * IMPEDANCE / (4 * math.pi * k)
    return factor * at_a, factor * at_b


def _runs(meshed: Mesh, ends: Complex, over_ground: bool) -> tuple[Run, ...]:
    runs = []
    for first, after in meshed.runs:
        segments = meshed.segments[first:after]
        stations = np.concatenate([[0.0], np.cumsum([s.length_m for s in segments])])
        amperes = np.append(ends[2 * first : 2 * after : 2], ends[2 * after - 1])
        start, along = np.array(segments[0].start), np.array(segments[0].along)
        runs.append(Run(start, along, stations, amperes))
        if over_ground:
            flip = np.array([1.0, 1.0, -1.0])
            runs.append(Run(start * flip, along * flip, stations, -amperes))
    return tuple(runs)

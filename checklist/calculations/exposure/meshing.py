"""Wires cut into segments, and how currents pass from one to the next at the joints."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from checklist.calculations.exposure.model import Point, Wire, Wires
from checklist.calculations.exposure.wires import along, joint

_SEGMENT_RADII = 2.0
_MOST_SEGMENTS = 900


@dataclass(frozen=True, slots=True)
class Segment:
    """A straight piece on which the current is one pair of sine halves."""

    start: Point
    along: Point
    """Unit vector."""

    length_m: float
    radius_m: float


@dataclass(frozen=True, slots=True, eq=False)
class Mesh:
    """Segments, and the pairs of half functions that keep the current continuous."""

    segments: tuple[Segment, ...]
    runs: tuple[tuple[int, int], ...]
    """First segment and the one after the last, of each straight run."""

    weights: NDArray[np.float64]
    """Half functions (2 for each segment: peak at start, at end) by unknown currents."""

    fed: tuple[int, ...]
    """For each feed the half function through which its current flows."""


def mesh(antenna: Wires, wavelength_m: float, over_ground: bool, per_wavelength: int) -> Mesh:
    """Return the mesh with about `per_wavelength` segments for each wavelength of wire.

    A feed is always at a node; no segment is shorter than twice its radius, so that a thick
    wire stays coarser than asked for.
    """
    near = joint(antenna.wires)
    pieces = [
        (number, piece)
        for number, wire in enumerate(antenna.wires)
        for piece in _cut_at_feeds(antenna, number, wire, near)
    ]
    segments: list[Segment] = []
    runs = []
    for _, piece in pieces:
        first = len(segments)
        segments.extend(_segments(piece, wavelength_m, per_wavelength))
        runs.append((first, len(segments)))
    fed_halves = _fed_halves(antenna, pieces, runs, near)
    weights = _weights(tuple(segments), set(fed_halves), near, over_ground)
    return Mesh(tuple(segments), tuple(runs), weights, tuple(fed_halves))


def _cut_at_feeds(antenna: Wires, number: int, wire: Wire, near: float) -> list[Wire]:
    """Return the wire in pieces that end at its feeds, a feed within a joint's width included."""
    length = math.dist(wire.start, wire.end)
    cuts = sorted(
        f.at for f in antenna.feeds if f.wire == number and near < f.at * length < length - near
    )
    marks = [wire.start, *(along(wire, at) for at in cuts), wire.end]
    return [Wire(p, q, wire.radius_m) for p, q in pairwise(marks)]


def _segments(piece: Wire, wavelength_m: float, per_wavelength: int) -> list[Segment]:
    length = math.dist(piece.start, piece.end)
    wanted = max(2, math.ceil(length / wavelength_m * per_wavelength))
    count = max(1, min(wanted, int(length / (_SEGMENT_RADII * piece.radius_m)), _MOST_SEGMENTS))
    direction = tuple((q - p) / length for p, q in zip(piece.start, piece.end, strict=True))
    unit = (direction[0], direction[1], direction[2])
    return [
        Segment(along(piece, i / count), unit, length / count, piece.radius_m) for i in range(count)
    ]


def _fed_halves(
    antenna: Wires,
    pieces: list[tuple[int, Wire]],
    runs: list[tuple[int, int]],
    near: float,
) -> list[int]:
    """Return for each feed the half function that peaks at it, on the fed wire itself."""
    found = []
    for feed in antenna.feeds:
        point = along(antenna.wires[feed.wire], feed.at)
        mine = [
            (piece, run) for (n, piece), run in zip(pieces, runs, strict=True) if n == feed.wire
        ]
        starts = [2 * run[0] for piece, run in mine if math.dist(piece.start, point) <= near]
        ends = [2 * run[1] - 1 for piece, run in mine if math.dist(piece.end, point) <= near]
        found.append((starts or ends)[0])
    return found


def _weights(
    segments: tuple[Segment, ...], fed: set[int], near: float, over_ground: bool
) -> NDArray[np.float64]:
    columns: list[dict[int, float]] = []
    for halves, point in _joints(segments, near):
        # The fed half stands in every pair of its joint, so that the feed drives all of them.
        ordered = sorted(halves, key=lambda half: half not in fed)
        grounded = over_ground and abs(point[2]) <= near
        first = ordered[0]
        if grounded:
            columns.extend({half: _outward(half)} for half in ordered)
        else:
            columns.extend(
                {first: -_outward(first), other: _outward(other)} for other in ordered[1:]
            )
    weights = np.zeros((2 * len(segments), len(columns)))
    for number, column in enumerate(columns):
        for half, sign in column.items():
            weights[half, number] = sign
    return weights


def _outward(half: int) -> float:
    """Return the sign of a half's current that leaves its node: its own at a start."""
    return 1.0 if half % 2 == 0 else -1.0


def _joints(
    segments: tuple[Segment, ...], near: float
) -> list[tuple[list[int], tuple[float, float, float]]]:
    """Return the nodes with the half functions that peak there; free ends have one."""
    cells: dict[tuple[int, int, int], int] = {}
    joints: list[tuple[list[int], tuple[float, float, float]]] = []
    for half in range(2 * len(segments)):
        segment = segments[half // 2]
        share = 0.0 if half % 2 == 0 else segment.length_m
        x, y, z = (p + share * t for p, t in zip(segment.start, segment.along, strict=True))
        point = (x, y, z)
        at = _found(cells, joints, point, near)
        if at is None:
            cells[_cell(point, near)] = len(joints)
            joints.append(([half], point))
        else:
            joints[at][0].append(half)
    return joints


def _cell(point: tuple[float, float, float], near: float) -> tuple[int, int, int]:
    x, y, z = (math.floor(p / near) for p in point)
    return (x, y, z)


def _found(
    cells: dict[tuple[int, int, int], int],
    joints: list[tuple[list[int], tuple[float, float, float]]],
    point: tuple[float, float, float],
    near: float,
) -> int | None:
    x, y, z = _cell(point, near)
    for i in (x - 1, x, x + 1):
        for j in (y - 1, y, y + 1):
            for k in (z - 1, z, z + 1):
                at = cells.get((i, j, k))
                if at is not None and math.dist(joints[at][1], point) <= near:
                    return at
    return None

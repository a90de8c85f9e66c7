"""Whether wires can be what was meant: one sentence for each fault of the geometry.

What passes here is what the near-field method was made for: thin straight wires that meet
only at their ends, above the ground, driven where a current can flow.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import combinations

from checklist.calculations.exposure.constants import SPEED_OF_LIGHT
from checklist.calculations.exposure.model import Feed, Ground, Point, Wire, Wires
from checklist.errors import StandclearError

# Bounds of the thin-wire method itself (common practice, no source): ends that meet within a
# thousandth of a wire; at most a hundredth of a wavelength thick; four radii long or above ground.
_JOINT = 1e-3
_THICKEST = 0.01
_SLIMMEST = 4.0
_LEAST_ANGLE = math.radians(3)
_GROUND_RADII = 4.0
_LONGEST = 12.0
_MOST = 200


class GeometryRefused(StandclearError):
    """Wires cannot be as they are given; the sentence says which, and what would be right."""


def refuse_bad_geometry(antenna: Wires, frequency_hz: float, ground: Ground) -> None:
    """Raise GeometryRefused for the first fault that `problems` finds."""
    for what, right in problems(antenna, frequency_hz, ground):
        raise GeometryRefused(what, where=antenna.name, right=right)


def problems(antenna: Wires, frequency_hz: float, ground: Ground) -> Iterator[tuple[str, str]]:
    """Yield each fault as what is wrong and what would be right; wires count from 1."""
    wavelength_m = SPEED_OF_LIGHT / frequency_hz
    if not antenna.wires:
        yield "it has no wires", "Give at least one wire."
        return
    if len(antenna.wires) > _MOST:
        yield f"it has {len(antenna.wires)} wires", f"At most {_MOST} can be computed here."
        return
    single = [p for i, w in enumerate(antenna.wires, 1) for p in _of_one(i, w, wavelength_m)]
    yield from single
    if single:
        return
    yield from _length(antenna.wires, wavelength_m)
    if ground is not Ground.NONE:
        for number, wire in enumerate(antenna.wires, 1):
            yield from _over_ground(number, wire, joint(antenna.wires))
    yield from _touching(antenna.wires)
    yield from _feeds(antenna, ground)


def joint(wires: Sequence[Wire]) -> float:
    """Return how near two ends must be, in metres, to be one joint: a thousandth of a wire."""
    return _JOINT * min(1.0, *(math.dist(w.start, w.end) for w in wires))


def distance_between(first: tuple[Point, Point], second: tuple[Point, Point]) -> float:
    """Return the least distance in metres between two straight pieces, points included."""
    (p, q), (r, s) = first, second
    d, e, w = _minus(q, p), _minus(s, r), _minus(p, r)
    a, b, c = _dot(d, d), _dot(d, e), _dot(e, e)
    f, g = _dot(d, w), _dot(e, w)
    span = a * c - b * b
    at = _clip((b * g - c * f) / span) if span > 1e-12 * a * c else 0.0
    if c > 0:
        along = (b * at + g) / c
        if not 0 <= along <= 1:
            along = _clip(along)
            at = _clip((b * along - f) / a) if a > 0 else 0.0
    else:
        along, at = 0.0, _clip(-f / a) if a > 0 else 0.0
    gap = tuple(w[i] + at * d[i] - along * e[i] for i in range(3))
    return math.hypot(*gap)


def _of_one(number: int, wire: Wire, wavelength_m: float) -> Iterator[tuple[str, str]]:
    if not all(map(math.isfinite, (*wire.start, *wire.end, wire.radius_m))):
        yield f"wire {number} has a number that is not finite", "Give lengths as metres or feet."
        return
    length = math.dist(wire.start, wire.end)
    if wire.radius_m <= 0:
        yield f"wire {number} has no thickness", "Give the radius of the conductor, above zero."
    if length < 1e-5 * wavelength_m:
        yield f"wire {number} has no length", "Its two ends must be different points."
    elif length < _SLIMMEST * wire.radius_m:
        yield (
            f"wire {number} is {length:.4g} m long with a radius of {wire.radius_m:.3g} m",
            f"A wire must be at least {_SLIMMEST:g} times as long as its radius.",
        )
    if wire.radius_m > _THICKEST * wavelength_m:
        yield (
            f"wire {number} has a radius of {wire.radius_m:.3g} m, thick for a wavelength of "
            f"{wavelength_m:.3g} m",
            f"The method holds up to {_THICKEST * wavelength_m:.2g} m here.",
        )


def _length(wires: Sequence[Wire], wavelength_m: float) -> Iterator[tuple[str, str]]:
    total = sum(math.dist(w.start, w.end) for w in wires) / wavelength_m
    if total > _LONGEST:
        yield (
            f"its wires are {total:.1f} wavelengths long in all",
            f"At most {_LONGEST:g} wavelengths can be computed here.",
        )


def _over_ground(number: int, wire: Wire, near: float) -> Iterator[tuple[str, str]]:
    low, high = sorted((wire.start[2], wire.end[2]))
    if low < -near:
        yield f"wire {number} goes {-low:.3g} m below the ground", "Heights count from the ground."
    elif high <= near:
        yield f"wire {number} lies on the ground", "Give its height; buried wires are not modelled."
    elif near < low < _GROUND_RADII * wire.radius_m:
        yield (
            f"wire {number} is only {low:.3g} m above the ground",
            f"It must end on the ground or be {_GROUND_RADII * wire.radius_m:.2g} m above it.",
        )


def _touching(wires: Sequence[Wire]) -> Iterator[tuple[str, str]]:
    near = joint(wires)
    for (i, first), (j, second) in combinations(enumerate(wires, 1), 2):
        shared = [
            (p, q)
            for p in (first.start, first.end)
            for q in (second.start, second.end)
            if math.dist(p, q) <= near
        ]
        if len(shared) == 2:
            yield f"wires {i} and {j} lie on each other", "Take one of them away."
        elif shared:
            yield from _folded(i, first, j, second, near)
        elif distance_between((first.start, first.end), (second.start, second.end)) < 2 * max(
            first.radius_m, second.radius_m
        ):
            yield (
                f"wires {i} and {j} touch or cross where neither ends on an end of the other",
                "Split them there, or keep them two radii apart.",
            )


def _folded(i: int, first: Wire, j: int, second: Wire, near: float) -> Iterator[tuple[str, str]]:
    if math.dist(first.start, second.start) <= near:
        ends = first.end, first.start, second.end
    elif math.dist(first.start, second.end) <= near:
        ends = first.end, first.start, second.start
    elif math.dist(first.end, second.start) <= near:
        ends = first.start, first.end, second.end
    else:
        ends = first.start, first.end, second.start
    one, other = _minus(ends[0], ends[1]), _minus(ends[2], ends[1])
    cosine = _dot(one, other) / math.sqrt(_dot(one, one) * _dot(other, other))
    if cosine > math.cos(_LEAST_ANGLE):
        yield f"wires {i} and {j} fold back on each other", "Open the angle to 3 degrees or more."


def _feeds(antenna: Wires, ground: Ground) -> Iterator[tuple[str, str]]:
    if not antenna.feeds:
        yield "it has no feed", "Say on which wire the feed line is connected, and where."
    near = joint(antenna.wires)
    seen: list[Point] = []
    for feed in antenna.feeds:
        if not 0 <= feed.wire < len(antenna.wires):
            yield (
                f"the feed is on wire {feed.wire + 1}, which there is not",
                f"There are wires 1 to {len(antenna.wires)}.",
            )
            continue
        if not 0 <= feed.at <= 1:
            yield (
                f"the feed is at {feed.at:g} of wire {feed.wire + 1}",
                "Give 0 for its start, 1 for its end, or between.",
            )
            continue
        if not (math.isfinite(abs(feed.volts)) and abs(feed.volts) > 0):
            yield "the feed has no voltage", "Give its relative voltage, 1 where there is one feed."
        yield from _end_feed(antenna, feed, ground, near)
        point = along(antenna.wires[feed.wire], feed.at)
        if any(math.dist(point, other) <= near for other in seen):
            yield "two feeds are at one point", "Give one feed there."
        seen.append(point)


def _end_feed(antenna: Wires, feed: Feed, ground: Ground, near: float) -> Iterator[tuple[str, str]]:
    wire = antenna.wires[feed.wire]
    point = along(wire, feed.at)
    ends = (p for i, w in enumerate(antenna.wires) if i != feed.wire for p in (w.start, w.end))
    at_end = min(math.dist(point, wire.start), math.dist(point, wire.end)) <= near
    grounded = ground is not Ground.NONE and abs(point[2]) <= near
    if at_end and not grounded and all(math.dist(point, p) > near for p in ends):
        yield (
            f"the feed is at a free end of wire {feed.wire + 1}, where no current can flow",
            "Feed it between its ends, at a joint, or at the ground.",
        )


def along(wire: Wire, share: float) -> Point:
    """Return the point at `share` of the wire's length, exactly an end at 0 and at 1."""
    if share in (0, 1):
        return wire.end if share else wire.start
    (x, y, z), (u, v, w) = wire.start, wire.end
    return (x + share * (u - x), y + share * (v - y), z + share * (w - z))


def _minus(p: Point, q: Point) -> Point:
    return (p[0] - q[0], p[1] - q[1], p[2] - q[2])


def _dot(p: Point, q: Point) -> float:
    return p[0] * q[0] + p[1] * q[1] + p[2] * q[2]


def _clip(share: float) -> float:
    return min(1.0, max(0.0, share))

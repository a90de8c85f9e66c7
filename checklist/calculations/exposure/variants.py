"""The same station with one thing changed: what each remedy is tried with."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

from checklist.calculations.exposure.model import (
    Antenna,
    ByGain,
    Dish,
    Emission,
    Place,
    Point,
    Scene,
    Timing,
    Wires,
)


def moved(place: Place, away_from: Point, metres: float) -> Place:
    """Return the place moved level, straight away from a point (along +x if it is above it)."""
    dx, dy = place.x_m - away_from[0], place.y_m - away_from[1]
    length = math.hypot(dx, dy)
    x, y = (dx / length, dy / length) if length > 1e-6 else (1.0, 0.0)
    return replace(place, x_m=place.x_m + metres * x, y_m=place.y_m + metres * y)


def raised(antenna: Antenna, metres: float) -> Antenna:
    """Return the antenna with all its parts `metres` higher."""
    return _mapped(antenna, lambda p: (p[0], p[1], p[2] + metres))


def turned(antenna: Antenna, degrees: float) -> Antenna:
    """Return the antenna turned about an upright axis through its middle, to the left."""
    x, y, _ = middle(antenna)
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))

    def turn(p: Point) -> Point:
        return (x + c * (p[0] - x) - s * (p[1] - y), y + s * (p[0] - x) + c * (p[1] - y), p[2])

    if isinstance(antenna, Wires):
        return _mapped(antenna, turn)
    azimuth = None if antenna.azimuth_deg is None else (antenna.azimuth_deg + degrees) % 360
    return replace(antenna, azimuth_deg=azimuth)


def middle(antenna: Antenna) -> Point:
    """Return the middle of the ends of all parts."""
    if isinstance(antenna, Dish):
        return antenna.centre
    parts = (
        antenna.parts if isinstance(antenna, ByGain) else [(w.start, w.end) for w in antenna.wires]
    )
    ends = [p for part in parts for p in part] or [(0.0, 0.0, 0.0)]
    x, y, z = (sum(p[i] for p in ends) / len(ends) for i in range(3))
    return (x, y, z)


def with_antenna(scene: Scene, name: str, change: Callable[[Antenna], Antenna]) -> Scene:
    """Return the scene with every emission on the antenna of that name changed alike."""
    return replace(
        scene,
        emissions=tuple(
            replace(e, antenna=change(e.antenna)) if e.antenna.name == name else e
            for e in scene.emissions
        ),
    )


def with_emission(scene: Scene, name: str, change: Callable[[Emission], Emission]) -> Scene:
    """Return the scene with one emission changed, at all its headings where it has several."""
    written = next((e.written_name for e in scene.emissions if e.name == name), name)
    changed = tuple(change(e) if e.written_name == written else e for e in scene.emissions)
    return replace(scene, emissions=changed)


def with_power(emission: Emission, factor: float) -> Emission:
    """Return the emission with its power multiplied."""
    return replace(
        emission, power_w=None if emission.power_w is None else emission.power_w * factor
    )


def with_timing(emission: Emission, timing: Timing) -> Emission:
    """Return the emission with other overs."""
    return replace(emission, timing=timing)


def _mapped(antenna: Antenna, change: Callable[[Point], Point]) -> Antenna:
    if isinstance(antenna, Dish):
        return replace(antenna, centre=change(antenna.centre))
    if isinstance(antenna, ByGain):
        parts = tuple((change(p), change(q)) for p, q in antenna.parts)
        return replace(antenna, parts=parts)
    wires = tuple(replace(w, start=change(w.start), end=change(w.end)) for w in antenna.wires)
    return replace(antenna, wires=wires)

"""Distances and directions between antennas and the bodies of people."""

from __future__ import annotations

import math
from collections.abc import Sequence

from checklist.calculations.exposure.model import Antenna, ByGain, Dish, Place, Point
from checklist.calculations.exposure.wires import distance_between

Piece = tuple[Point, Point]


def body(place: Place) -> Piece:
    """Return the upright line from the soles to the top of the head."""
    return (place.x_m, place.y_m, place.low_m), (place.x_m, place.y_m, place.high_m)


def to_body(parts: Sequence[Piece], place: Place) -> float:
    """Return the least distance in metres from any of the parts to the body."""
    line = body(place)
    return min(distance_between(part, line) for part in parts)


def parts_of(antenna: Antenna) -> tuple[Piece, ...]:
    """Return the straight pieces that an antenna is made of; of a dish its centre."""
    if isinstance(antenna, Dish):
        return ((antenna.centre, antenna.centre),)
    if isinstance(antenna, ByGain):
        return antenna.parts
    return tuple((w.start, w.end) for w in antenna.wires)


def antenna_distance_m(antenna: Antenna, place: Place) -> float | None:
    """Return the least distance from radiator to body; None where its size is unknown."""
    parts = parts_of(antenna)
    reach = 0.0
    if isinstance(antenna, ByGain):
        if antenna.reach_m is None:
            return None
        reach = antenna.reach_m
    if isinstance(antenna, Dish):
        reach = antenna.diameter_m / 2
    return max(0.0, to_body(parts, place) - reach) if parts else None


def heights(parts: Sequence[Piece]) -> list[float]:
    """Return the heights of all ends."""
    return [p[2] for part in parts for p in part]


def span(parts: Sequence[Piece]) -> float:
    """Return the largest distance between any two ends, in metres."""
    ends = [p for part in parts for p in part]
    return max(math.dist(p, q) for p in ends for q in ends)


def angles_deg(
    origin: Point,
    azimuth_deg: float,
    elevation_deg: float,
    sector_deg: tuple[float, float] | None,
    place: Place,
) -> tuple[float, float]:
    """Return the least and the greatest angle between the main direction and the body.

    Taken over the body and its image in the ground, where the reflected wave goes, and over
    all azimuths of a sector.
    """
    x, y = place.x_m - origin[0], place.y_m - origin[1]
    tall = place.high_m - place.low_m
    heights_m = [place.low_m + share * tall for share in (0.0, 0.25, 0.5, 0.75, 1.0)]
    drops = [sign * z - origin[2] for z in heights_m for sign in (1, -1)]
    elevation = math.radians(elevation_deg)
    level, up = math.cos(elevation), math.sin(elevation)
    found = []
    for azimuth in _azimuths(azimuth_deg, sector_deg):
        ahead = level * (math.cos(math.radians(azimuth)) * x + math.sin(math.radians(azimuth)) * y)
        found += [(ahead + up * z) / (math.sqrt(x * x + y * y + z * z) or 1.0) for z in drops]
    least, most = (
        math.degrees(math.acos(max(-1.0, min(1.0, c)))) for c in (max(found), min(found))
    )
    # Between the points looked at, an angle can be smaller by half a step of the sector.
    slack = 1.0 if sector_deg else 0.0
    return max(0.0, least - slack), min(180.0, most + slack)


def _azimuths(azimuth_deg: float, sector_deg: tuple[float, float] | None) -> list[float]:
    if sector_deg is None:
        return [azimuth_deg]
    first, last = sector_deg
    width = (last - first) % 360 or 360.0
    steps = max(1, math.ceil(width / 2))
    return [first + width * i / steps for i in range(steps + 1)]

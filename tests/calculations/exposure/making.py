"""Invented stations for the tests of exposure; no real place, call sign or maker."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

from checklist.calculations.exposure.model import (
    Antenna,
    ByGain,
    Emission,
    Feed,
    Kind,
    Place,
    Point,
    PowerKind,
    Wire,
    Wires,
)

LAWN = Place("lawn", 3.0, 4.0, 0.0, 1.8, controlled=False, conductors_in_reach=False)
SHACK = replace(LAWN, name="shack", controlled=True, training="Wren Holloway, told and trained")


def yagi(height_m: float = 15.0, gain_dbi: float | None = 8.0, **more: Any) -> ByGain:
    """Return a Yagi by gain, its elements and boom within 3 m of the mast."""
    parts = (((0.0, 0.0, height_m), (0.0, 0.0, height_m)),)
    return ByGain("beam", Kind.YAGI, gain_dbi, parts, 3.0, **more)


def dipole(
    name: str, centre: Point, length_m: float, radius_m: float, azimuth_deg: float = 0.0
) -> Wires:
    """Return a level wire along `azimuth_deg`, fed in the middle."""
    half, turn = length_m / 2, math.radians(azimuth_deg)
    (x, y, z), (dx, dy) = centre, (half * math.cos(turn), half * math.sin(turn))
    wire = Wire((x - dx, y - dy, z), (x + dx, y + dy, z), radius_m)
    return Wires(name, (wire,), (Feed(0, 0.5),))


def emission(antenna: Antenna | None = None, **more: Any) -> Emission:
    """Return a carrier of 100 W on 28.4 MHz into an antenna, changed by `more`."""
    plain = Emission(
        "ten metres",
        "rig",
        28.4e6,
        100.0,
        PowerKind.PEAK_ENVELOPE,
        "carrier",
        antenna or yagi(),
    )
    return replace(plain, **more)


def wires(case: dict[str, Any]) -> Wires:
    """Return the antenna of a reference case, its feeds at the middle of their segments.

    A feed at the first segment of a wire stands for one at that wire's end.
    """
    from checklist.calculations.exposure.model import Feed

    straight = tuple(
        Wire(_point(w["p1"]), _point(w["p2"]), float(w["radius_m"])) for w in case["wires"]
    )
    feeds = []
    for feed in case["feed"]:
        count, segment = case["wires"][feed["wire"]]["segments"], feed["segment_1based"]
        at = 0.0 if segment == 1 and count > 1 else (segment - 0.5) / count
        feeds.append(Feed(feed["wire"], at, complex(feed["voltage"])))
    return Wires(str(case["antenna"]), straight, tuple(feeds))


def _point(numbers: list[float]) -> tuple[float, float, float]:
    x, y, z = numbers
    return (x, y, z)

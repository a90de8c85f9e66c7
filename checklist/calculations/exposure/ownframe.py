"""An antenna in a frame of its own, so that all its headings and places share its currents.

Level shifts and turns about an upright axis change no current, also over ground; without ground
height changes none either. So currents are found once for the antenna as it lies in its own
frame, and the points are taken there.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from checklist.calculations.exposure.model import Point, Wires
from checklist.calculations.exposure.moments import Real

_LEVEL_M = 1e-3
"""Ends nearer than this, seen from above, give no direction."""

_DIGITS = 9
"""Decimals of a metre that are kept: a turn there and back is off by less than a nanometre."""


@dataclass(frozen=True, slots=True)
class OwnFrame:
    """The antenna in its own frame, and the way there."""

    antenna: Wires
    """Nameless, the first wire's start above the origin, a level direction along x."""

    origin: Point
    cosine: float
    sine: float

    def seen(self, points: Real) -> Real:
        """Return points in metres, shape (n, 3), as they lie in the frame."""
        x, y, z = (points - np.array(self.origin)).T
        return np.column_stack(
            [self.cosine * x + self.sine * y, self.cosine * y - self.sine * x, z]
        )


@lru_cache(maxsize=1024)
def own_frame(antenna: Wires, over_ground: bool) -> OwnFrame:
    """Return the frame of an antenna; over ground heights stay as they are."""
    x, y, z = antenna.wires[0].start
    origin = (x, y, 0.0 if over_ground else z)
    ends = [p for w in antenna.wires for p in (w.start, w.end)]
    away = next((p for p in ends if math.dist(p[:2], (x, y)) > _LEVEL_M), None)
    angle = math.atan2(away[1] - y, away[0] - x) if away else 0.0
    cosine, sine = math.cos(angle), math.sin(angle)

    def there(p: Point) -> Point:
        dx, dy = p[0] - origin[0], p[1] - origin[1]
        return (
            round(cosine * dx + sine * dy, _DIGITS) + 0.0,
            round(cosine * dy - sine * dx, _DIGITS) + 0.0,
            round(p[2] - origin[2], _DIGITS) + 0.0,
        )

    wires = tuple(replace(w, start=there(w.start), end=there(w.end)) for w in antenna.wires)
    return OwnFrame(replace(antenna, name="", wires=wires), origin, cosine, sine)

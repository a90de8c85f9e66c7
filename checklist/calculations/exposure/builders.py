"""Wires of the common antennas from the few numbers that people know.

Lengths are those of the wires as built. The feed is at the usual point.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from checklist.calculations.exposure.constants import SPEED_OF_LIGHT
from checklist.calculations.exposure.figures import Figures
from checklist.calculations.exposure.model import Feed, Point, Wire, Wires
from checklist.calculations.exposure.wires import GeometryRefused

_LOOP_SIDES = 16


@dataclass(frozen=True, slots=True)
class Element:
    """One element of a Yagi: how long it is and where it sits on the boom."""

    length_m: float
    along_boom_m: float
    radius_m: float
    is_driven: bool = False


def half_wave_m(frequency_hz: float, figures: Figures) -> float:
    """Return the length of a half-wave wire by the rule of thumb, where nobody measured it."""
    return figures["half_wave_share"] * SPEED_OF_LIGHT / frequency_hz / 2


def inverted_v(
    name: str,
    apex: Point,
    leg_m: float,
    below_level_deg: float,
    radius_m: float,
    azimuth_deg: float = 0.0,
) -> Wires:
    """Return two legs that slope down from the apex by `below_level_deg`, fed at the apex."""
    _above_zero(name, leg=leg_m, radius=radius_m)
    if not 0 <= below_level_deg <= 80:
        raise GeometryRefused(
            f"the legs slope by {below_level_deg:g} degrees", where=name, right="Give 0 to 80."
        )
    slope = math.radians(below_level_deg)
    x, y = _level(azimuth_deg, leg_m * math.cos(slope))
    drop = -leg_m * math.sin(slope)
    legs = (
        Wire(apex, _moved(apex, (x, y, drop)), radius_m),
        Wire(apex, _moved(apex, (-x, -y, drop)), radius_m),
    )
    return Wires(name, legs, (Feed(0, 0.0),))


def vertical(
    name: str,
    base: Point,
    height_m: float,
    radius_m: float,
    radials: int = 0,
    radial_m: float = 0.0,
    droop_deg: float = 0.0,
) -> Wires:
    """Return an upright wire fed at its base, with radials, or standing on the ground at z = 0."""
    _above_zero(name, height=height_m, radius=radius_m)
    wires = [Wire(base, _moved(base, (0, 0, height_m)), radius_m)]
    if not radials and base[2] != 0:
        raise GeometryRefused(
            "a vertical above the ground has no radials", where=name, right="Give two or more."
        )
    if radials:
        _above_zero(name, radial=radial_m)
        if not 2 <= radials <= 60:
            raise GeometryRefused(f"it has {radials} radials", where=name, right="Give 2 to 60.")
    down = math.radians(droop_deg)
    for i in range(radials):
        x, y = _level(360 * i / radials, radial_m * math.cos(down))
        end = _moved(base, (x, y, -radial_m * math.sin(down)))
        wires.append(Wire(base, end, radius_m))
    return Wires(name, tuple(wires), (Feed(0, 0.0),))


def yagi(name: str, boom_start: Point, elements: Sequence[Element], azimuth_deg: float) -> Wires:
    """Return a level Yagi that fires along `azimuth_deg`; positions count from `boom_start`."""
    driven = [i for i, e in enumerate(elements) if e.is_driven]
    if len(driven) != 1 or len(elements) < 2:
        raise GeometryRefused(
            f"the element table has {len(elements)} elements, {len(driven)} of them driven",
            where=name,
            right="Give two or more, exactly one of them driven.",
        )
    wires = []
    for element in elements:
        _above_zero(name, length=element.length_m, radius=element.radius_m)
        along = _level(azimuth_deg, element.along_boom_m)
        x, y = _level(azimuth_deg + 90, element.length_m / 2)
        centre = _moved(boom_start, (along[0], along[1], 0))
        start, end = _moved(centre, (-x, -y, 0)), _moved(centre, (x, y, 0))
        wires.append(Wire(start, end, element.radius_m))
    return Wires(name, tuple(wires), (Feed(driven[0], 0.5),))


def small_loop(
    name: str, centre: Point, diameter_m: float, radius_m: float, azimuth_deg: float = 0.0
) -> Wires:
    """Return an upright loop of 16 straight sides in the plane of `azimuth_deg`, fed at its foot.

    The tuning capacitor is not modelled: it changes no current of a loop much shorter than
    a wavelength, whose power is the one accepted.
    """
    _above_zero(name, diameter=diameter_m, radius=radius_m)
    corners = []
    for i in range(_LOOP_SIDES):
        turn = 2 * math.pi * (i - 0.5) / _LOOP_SIDES - math.pi / 2
        x, y = _level(azimuth_deg, diameter_m / 2 * math.cos(turn))
        corners.append(_moved(centre, (x, y, diameter_m / 2 * math.sin(turn))))
    wires = tuple(
        Wire(corners[i], corners[(i + 1) % _LOOP_SIDES], radius_m) for i in range(_LOOP_SIDES)
    )
    return Wires(name, wires, (Feed(0, 0.5),))


def _above_zero(name: str, **numbers: float) -> None:
    for what, number in numbers.items():
        if not (math.isfinite(number) and number > 0):
            raise GeometryRefused(
                f"its {what} is {number:g} m", where=name, right="Give a length above zero."
            )


def _level(azimuth_deg: float, distance_m: float) -> tuple[float, float]:
    angle = math.radians(azimuth_deg)
    return distance_m * math.cos(angle), distance_m * math.sin(angle)


def _moved(point: Point, by: tuple[float, float, float]) -> Point:
    return (point[0] + by[0], point[1] + by[1], point[2] + by[2])

"""The antennas of a station as the exposure engine takes them.

Bearings of the station file count from north over east; the engine's azimuths count from
east over north, so that one is 90 degrees less the other.
"""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

from checklist.calculations.exposure import model
from checklist.calculations.exposure.builders import (
    Element,
    half_wave_m,
    inverted_v,
    small_loop,
    vertical,
    yagi,
)
from checklist.calculations.exposure.constants import SPEED_OF_LIGHT
from checklist.calculations.exposure.figures import Figures
from checklist.calculations.exposure.variants import turned
from checklist.quantities import Quantity
from checklist.station.antennas import (
    Antenna,
    ByGain,
    Dish,
    HalfWaveDipole,
    InvertedV,
    RandomWire,
    SmallLoop,
    Vertical,
    Wires,
    Yagi,
)
from checklist.station.geometry import Position

_HEADING_STEP_DEG = 15
"""Headings of an antenna that turns; a beam of wires is never so narrow that one is missed."""

_KINDS = {
    "dipole": model.Kind.DIPOLE,
    "inverted V": model.Kind.INVERTED_V,
    "vertical": model.Kind.VERTICAL,
    "yagi": model.Kind.YAGI,
    "collinear": model.Kind.COLLINEAR,
    "shortened": model.Kind.SHORTENED,
    "small loop": model.Kind.SMALL_LOOP,
    "other": model.Kind.OTHER,
}


def radiators(
    antenna: Antenna, frequency_hz: float, figures: Figures
) -> tuple[tuple[model.Antenna, ...], tuple[str, ...]]:
    """Return the antenna, once for each heading that it can take, and what was assumed.

    One heading where it is fixed, or where the engine itself lets it turn. Raises
    GeometryRefused for wires that cannot be. `frequency_hz` is that of the emission.
    """
    match antenna:
        case ByGain():
            return (_by_gain(antenna),), ()
        case Dish():
            return _dish(antenna, frequency_hz)
        case Yagi():
            return _headings(antenna, _yagi(antenna))
        case Wires() | RandomWire() | SmallLoop():
            return (_drawn(antenna),), ()
        case _:
            return _cut(antenna, figures)


def azimuth_deg(bearing: Quantity) -> float:
    """Return the engine's azimuth of a bearing, in degrees from 0 to 360."""
    return (90.0 - bearing.number("deg")) % 360.0


def _cut(
    antenna: HalfWaveDipole | InvertedV | Vertical, figures: Figures
) -> tuple[tuple[model.Antenna, ...], tuple[str, ...]]:
    """Return an antenna that was cut for a frequency, by its lengths or by the rule of thumb."""
    half_m = half_wave_m(antenna.frequency.number("Hz"), figures)
    radius_m = antenna.diameter.number("m") / 2
    match antenna:
        case HalfWaveDipole():
            length_m = _metres(antenna.length, half_m)
            return (_dipole(antenna, length_m, radius_m),), _by_thumb(antenna.name, antenna.length)
        case InvertedV():
            leg_m = _metres(antenna.leg, half_m / 2)
            below_deg = 90 - antenna.angle.number("deg") / 2
            apex, azimuth = antenna.apex.metres(), azimuth_deg(antenna.bearing)
            made = inverted_v(antenna.name, apex, leg_m, below_deg, radius_m, azimuth)
            return (made,), _by_thumb(antenna.name, antenna.leg)
        case Vertical():
            made = vertical(
                antenna.name,
                antenna.base.metres(),
                _metres(antenna.height, half_m / 2),
                radius_m,
                antenna.radials,
                _metres(antenna.radial_length, half_m / 2),
                antenna.droop.number("deg") if antenna.droop else 0.0,
            )
            lengths = (antenna.height, antenna.radial_length if antenna.radials else antenna.base.z)
            return (made,), _by_thumb(antenna.name, *lengths)


def _dipole(antenna: HalfWaveDipole, length_m: float, radius_m: float) -> model.Wires:
    slope = math.radians(antenna.slope.number("deg")) if antenna.slope else 0.0
    azimuth = math.radians(azimuth_deg(antenna.bearing))
    level = length_m / 2 * math.cos(slope)
    half = (level * math.cos(azimuth), level * math.sin(azimuth), length_m / 2 * math.sin(slope))
    middle = antenna.centre.metres()
    wire = model.Wire(_moved(middle, half, -1), _moved(middle, half, 1), radius_m)
    return model.Wires(antenna.name, (wire,), (model.Feed(0, 0.5),))


def _drawn(antenna: Wires | RandomWire | SmallLoop) -> model.Wires:
    match antenna:
        case Wires():
            wires = tuple(
                model.Wire(w.from_.metres(), w.to.metres(), w.diameter.number("m") / 2)
                for w in antenna.wires
            )
            fed = [w.name for w in antenna.wires].index(antenna.feed.wire)
            feed = model.Feed(fed, antenna.feed.at.number("1"))
            return model.Wires(antenna.name, wires, (feed,))
        case RandomWire():
            radius_m = antenna.diameter.number("m") / 2
            chains = (antenna.points, (antenna.points[0], *antenna.counterpoise))
            pairs = [pair for chain in chains for pair in pairwise(chain)]
            wires = tuple(model.Wire(a.metres(), b.metres(), radius_m) for a, b in pairs)
            return model.Wires(antenna.name, wires, (model.Feed(0, 0.0),))
        case SmallLoop():
            return _loop(antenna)


def _loop(antenna: SmallLoop) -> model.Wires:
    middle, across_m = antenna.centre.metres(), antenna.across.number("m")
    radius_m = antenna.diameter.number("m") / 2
    azimuth = azimuth_deg(antenna.bearing) if antenna.bearing is not None else 0.0
    upright = small_loop(antenna.name, middle, across_m, radius_m, azimuth)
    if antenna.plane == "vertical":
        return upright
    # Laid down about the level axis through its middle: what was up is then to the north.
    _, y0, z0 = middle

    def laid(p: model.Point) -> model.Point:
        return (p[0], y0 + (p[2] - z0), z0 + (p[1] - y0))

    laid_down = tuple(model.Wire(laid(w.start), laid(w.end), w.radius_m) for w in upright.wires)
    return replace(upright, wires=laid_down)


def _yagi(antenna: Yagi) -> model.Wires:
    elements = [
        Element(
            one.length.number("m"),
            one.position.number("m"),
            one.diameter.number("m") / 2,
            one.driven,
        )
        for one in antenna.elements
    ]
    level = yagi(antenna.name, antenna.rear.metres(), elements, azimuth_deg(antenna.bearing))
    if antenna.elements_are == "horizontal":
        return level
    return replace(level, wires=tuple(map(_stood_up, level.wires)))


def _stood_up(wire: model.Wire) -> model.Wire:
    x, y, z = ((a + b) / 2 for a, b in zip(wire.start, wire.end, strict=True))
    half = math.dist(wire.start, wire.end) / 2
    return model.Wire((x, y, z - half), (x, y, z + half), wire.radius_m)


def _headings(
    antenna: Yagi, made: model.Wires
) -> tuple[tuple[model.Antenna, ...], tuple[str, ...]]:
    offsets = _offsets(antenna)
    if not offsets:
        return (made,), ()
    note = (
        f"{antenna.name} turns about the middle of its parts: it counts at {len(offsets)} headings,"
        f" {_HEADING_STEP_DEG} degrees apart at most, each in its turn."
    )
    return tuple(turned(made, -offset) for offset in offsets), (note,)


def bearings_deg(antenna: Antenna) -> tuple[float, ...]:
    """Return the bearing of each heading at which an antenna counts; empty where it has one."""
    if not isinstance(antenna, Yagi):
        return ()
    bearing = antenna.bearing.number("deg")
    return tuple(round((bearing + offset) % 360, 6) for offset in _offsets(antenna))


def _offsets(antenna: Yagi) -> list[float]:
    """Return how far each heading lies clockwise of the bearing; empty where it does not turn."""
    if not antenna.turns:
        return []
    if antenna.sector is None:
        return [float(turn) for turn in range(0, 360, _HEADING_STEP_DEG)]
    first, last = (one.number("deg") for one in antenna.sector)
    width = (last - first) % 360 or 360.0
    steps = math.ceil(width / _HEADING_STEP_DEG)
    bearing = antenna.bearing.number("deg")
    return [first - bearing + width * i / steps for i in range(steps + 1)]


def _by_gain(antenna: ByGain) -> model.ByGain:
    middle = antenna.at.metres()
    aimed = antenna.bearing is not None and (not antenna.turns or antenna.sector is not None)
    return model.ByGain(
        name=antenna.name,
        kind=_KINDS[antenna.like],
        gain_dbi=antenna.gain.number("dBi") if antenna.gain is not None else None,
        parts=((middle, middle),),
        reach_m=antenna.extent.number("m") / 2,
        gain_includes_ground=antenna.ground_in_gain,
        pattern=_pattern(antenna),
        azimuth_deg=azimuth_deg(antenna.bearing) if antenna.bearing and aimed else None,
        elevation_deg=antenna.elevation.number("deg") if antenna.elevation else 0.0,
        sector_deg=_sector(antenna.sector),
    )


def _pattern(antenna: ByGain) -> model.Pattern | None:
    if antenna.pattern is None:
        return None
    points = tuple((a.number("deg"), loss.number("dB")) for a, loss in antenna.pattern)
    return model.Pattern(points if points[0][0] == 0 else ((0.0, 0.0), *points))


def _sector(sector: tuple[Quantity, ...] | None) -> tuple[float, float] | None:
    """Return a sector given clockwise by bearings in the engine's order, the other way round."""
    return None if sector is None else (azimuth_deg(sector[1]), azimuth_deg(sector[0]))


def _dish(antenna: Dish, frequency_hz: float) -> tuple[tuple[model.Antenna, ...], tuple[str, ...]]:
    """Return the dish; without a gain it is that of its aperture, OET 65 equation 14."""
    across_m = antenna.across.number("m")
    notes: tuple[str, ...] = ()
    if antenna.gain is not None:
        gain_dbi = antenna.gain.number("dBi")
    else:
        share = antenna.efficiency.number("1") if antenna.efficiency is not None else 1.0
        ratio = share * (math.pi * across_m * frequency_hz / SPEED_OF_LIGHT) ** 2
        gain_dbi = 10 * math.log10(ratio)
        said = "its efficiency" if antenna.efficiency is not None else "an efficiency of 100 %"
        notes = (f"{antenna.name} has the gain of its aperture with {said}.",)
    made = model.Dish(
        name=antenna.name,
        centre=antenna.at.metres(),
        diameter_m=across_m,
        gain_dbi=gain_dbi,
        azimuth_deg=None if antenna.turns else azimuth_deg(antenna.bearing),
        elevation_deg=antenna.elevation.number("deg"),
    )
    return (made,), notes


def _by_thumb(name: str, *lengths: Quantity | Position | None) -> tuple[str, ...]:
    if all(length is not None for length in lengths):
        return ()
    return (f"{name}: a length that is not given is that of the rule of thumb for its frequency.",)


def _metres(quantity: Quantity | None, otherwise: float) -> float:
    return otherwise if quantity is None else quantity.number("m")


def _moved(point: model.Point, by: model.Point, sign: int) -> model.Point:
    x, y, z = (a + sign * b for a, b in zip(point, by, strict=True))
    return (x, y, z)

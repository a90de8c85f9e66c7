"""Positions in a station file moved: written in the unit they had, to a thousandth of it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from checklist.quantities import Quantity, parse_quantity
from checklist.quantities.quantity import plain
from checklist.sessions.variants.variant import Change
from checklist.strictyaml import Path

REFERENCES = {
    "half-wave-dipole": ("centre", "its middle"),
    "inverted-v": ("apex", "its top"),
    "vertical": ("base", "its foot"),
    "yagi": ("rear", "its boom"),
    "small-loop": ("centre", "its middle"),
    "by-gain": ("at", "its middle"),
    "dish": ("at", "its middle"),
}
"""Which key of an antenna says where it is, and what is there; the others are drawn by points."""

HIGHEST = "its highest point"
_FINEST = Decimal("0.001")
_Flat = tuple[float, float]


def metres_of(position: Any) -> tuple[float, float, float]:
    """Return the three coordinates of a position that has been loaded, in metres."""
    x, y, z = (parse_quantity(text, "length").number("m") for text in position)
    return x, y, z


def points_of(antenna: Any, name: str) -> Iterator[tuple[Path, Any]]:
    """Yield each position in the data of an antenna, with the way to it."""
    here: Path = ("antennas", name)
    kind = antenna["kind"]
    if kind in REFERENCES:
        key = REFERENCES[kind][0]
        yield (*here, key), antenna[key]
    elif kind == "random-wire":
        for key in ("points", "counterpoise"):
            for i, point in enumerate(antenna.get(key, ())):
                yield (*here, key, i), point
    else:
        for wire, ends in antenna["wires"].items():
            for key in ("from", "to"):
                yield (*here, "wires", wire, key), ends[key]


def height_m(antenna: Any, name: str) -> float:
    """Return the height by which an antenna is meant, in metres: of its reference or its top."""
    return max(metres_of(point)[2] for _, point in points_of(antenna, name))


def height_of(antenna: Any) -> str:
    """Return what of the antenna that height is of."""
    return REFERENCES[antenna["kind"]][1] if antenna["kind"] in REFERENCES else HIGHEST


def raised_by(antenna: Any, name: str, metres: float) -> tuple[Change, ...]:
    """Return the changes that put every point of the antenna `metres` higher."""
    return tuple(
        Change((*path, 2), coordinate(point[2], metres_of(point)[2] + metres))
        for path, point in points_of(antenna, name)
    )


def turned_by(antenna: Any, name: str, left_deg: float, about: _Flat) -> tuple[Change, ...]:
    """Return the changes that turn the antenna to the left about an upright axis.

    Its bearing, and the sector of its rotator, turn with it.
    """
    here: Path = ("antennas", name)
    found = [
        change
        for path, point in points_of(antenna, name)
        for change in _put(path, point, _around(metres_of(point), left_deg, about))
    ]
    if "bearing" in antenna:
        found.append(Change((*here, "bearing"), bearing(antenna["bearing"], left_deg)))
    for i, end in enumerate(antenna.get("sector", ())):
        found.append(Change((*here, "sector", i), bearing(end, left_deg)))
    return tuple(found)


def moved_to(path: Path, position: Any, x_m: float, y_m: float) -> tuple[Change, ...]:
    """Return the changes that move a position level to another place."""
    return _put(path, position, (x_m, y_m))


def bearing(before: str, left_deg: float) -> str:
    """Return a bearing turned to the left, from 0 deg to below 360 deg."""
    degrees = (parse_quantity(before, "angle").number("deg") - left_deg) % 360
    return f"{plain(Decimal(f'{degrees:.3f}'))} deg"


def coordinate(before: str, metres: float) -> str:
    """Return a length in the unit that stood there before; feet and inches become feet."""
    unit = parse_quantity(before, "length").unit.symbol
    unit = "ft" if unit == "in" else unit
    value = Decimal(str(Quantity.of(metres, "m").number(unit))).quantize(_FINEST)
    return f"{plain(value + 0)} {unit}"


def _put(path: Path, position: Any, flat: _Flat) -> tuple[Change, ...]:
    now = metres_of(position)
    return tuple(
        Change((*path, i), coordinate(position[i], flat[i]))
        for i in (0, 1)
        if not math.isclose(now[i], flat[i], abs_tol=5e-4)
    )


def _around(point: tuple[float, float, float], left_deg: float, about: _Flat) -> _Flat:
    c, s = math.cos(math.radians(left_deg)), math.sin(math.radians(left_deg))
    x, y = point[0] - about[0], point[1] - about[1]
    return about[0] + c * x - s * y, about[1] + s * x + c * y

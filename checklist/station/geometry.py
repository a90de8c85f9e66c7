"""Positions in the station's own axes, and wires between them.

Axes: x to the east, y to the north, z up from the ground at the origin; the file says with
`location: origin` where the origin is. Bearings count from north over east.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from checklist.quantities import Quantity
from checklist.station.reading import Pass, Unusable
from checklist.station.records import needed
from checklist.station.shapes import Leaf, Measure, Shape, Steps
from checklist.strictyaml import Path

_FAR = "100 km"
_AXES = ("x", "y", "z")
COORDINATE = Measure("length", least=f"-{_FAR}", most=_FAR)
HEIGHT = Measure("length", least="0 m", most="1 km")
LENGTH = Measure("length", most="10 km")
THICKNESS = Measure("length", most="2 m")
BEARING = Measure("angle", least="0 deg", most="360 deg")
ELEVATION = Measure("angle", least="-90 deg", most="90 deg")
BEAMWIDTH = Measure("angle", most="360 deg")
FREQUENCY = Measure("frequency", least="1 kHz", most="300 GHz")


@dataclass(frozen=True, slots=True)
class Position:
    """A point: x east, y north, z above the ground at the origin."""

    x: Quantity
    y: Quantity
    z: Quantity

    def metres(self) -> tuple[float, float, float]:
        """Return the three coordinates in metres."""
        return self.x.number("m"), self.y.number("m"), self.z.number("m")

    def apart(self, other: Position) -> Fraction:
        """Return the square of the distance to another point, in square metres, exact."""
        mine, theirs = (self.x, self.y, self.z), (other.x, other.y, other.z)
        return sum(((a.si - b.si) ** 2 for a, b in zip(mine, theirs, strict=True)), Fraction(0))


@dataclass(frozen=True, slots=True)
class At(Shape):
    """A position, written [x, y, z]; below ground it is refused unless `buried`."""

    buried: bool = False

    def read(self, data: Any, path: Path, reading: Pass) -> Position:
        """Return the position."""
        if not isinstance(data, list) or len(data) != 3:
            raise reading.unusable(
                path, "a position is needed here: [x east, y north, z up], as [3 m, 10 m, 35 ft]"
            )
        read: list[Quantity] = []
        for i, text in enumerate(data):
            shape = HEIGHT if i == 2 and not self.buried else COORDINATE
            try:
                read.append(shape.read(text, (*path, i), reading))
            except Unusable:
                continue
        if len(read) < 3:
            raise Unusable
        return Position(*read)

    def write(self, value: Position) -> list[str]:
        """Return the three coordinates as texts."""
        return [COORDINATE.write(one) for one in (value.x, value.y, value.z)]

    def leaves(self, value: Position) -> Iterator[Leaf]:
        """Yield each coordinate."""
        for axis, one in zip(_AXES, (value.x, value.y, value.z), strict=True):
            for _, compared, written in COORDINATE.leaves(one):
                steps: Steps = (axis,)
                yield steps, compared, written


@dataclass(frozen=True, slots=True, kw_only=True)
class Wire:
    """A straight wire between two points."""

    name: str
    from_: Position = needed(At(), "where the wire begins: [x, y, z]")
    to: Position = needed(At(), "where the wire ends: [x, y, z]")
    diameter: Quantity = needed(THICKNESS, "the diameter of the conductor, as 2 mm")

    def problems(self) -> Iterator[tuple[str, str]]:
        """Yield what cannot be: a wire without length, or thicker than long."""
        if self.from_.apart(self.to) == 0:
            yield "to", "the wire ends where it begins; give another point"
        elif self.from_.apart(self.to) < self.diameter.si**2:
            yield "diameter", "the wire is thicker than long; give the diameter, as 2 mm"

"""Antennas: as wires, from builders for the common kinds, by gain, or as a dish."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from checklist.quantities import Quantity
from checklist.station.geometry import (
    BEAMWIDTH,
    BEARING,
    ELEVATION,
    FREQUENCY,
    LENGTH,
    THICKNESS,
    At,
    Position,
    Wire,
)
from checklist.station.lists import Many, Pairs
from checklist.station.records import ByName, Entry, Kinds, maybe, needed
from checklist.station.shapes import Measure, Naming, OneOf, Whole, Words, YesNo

_GAIN = Measure("gain", least="-60 dBi", most="70 dBi")
_SECTOR = Many(BEARING, least=2, most=2)
_SECTOR_MEANS = "the bearings between which its rotator is locked, clockwise, as [0 deg, 90 deg]"
_DIAMETER_MEANS = "the diameter of the conductor, as 2 mm"


@dataclass(frozen=True, slots=True, kw_only=True)
class Feed:
    """Where the power enters a wire."""

    wire: str = needed(Naming(("wires",)), "which wire")
    at: Quantity = needed(
        Measure("ratio", least="0 %", most="100 %"), "where along it, 0 % at its beginning"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Wires:
    """Straight wires that meet only at their ends, fed at one point."""

    name: str
    is_: str | None = maybe(Words(), "what it is")
    wires: tuple[Wire, ...] = needed(
        ByName(Entry(Wire), "wires"), "the wires by name, each {from:, to:, diameter:}"
    )
    feed: Feed = needed(Entry(Feed), "where it is fed: {wire: NAME, at: 50 %}")

    def problems(self) -> Iterator[tuple[str, str]]:
        """Yield what cannot be: a feed on a wire of another antenna, one wire drawn twice."""
        if self.feed.wire not in {wire.name for wire in self.wires}:
            yield "feed", f"the wire “{self.feed.wire}” is not a wire of this antenna"
        drawn: dict[frozenset[Position], str] = {}
        for wire in self.wires:
            ends = frozenset((wire.from_, wire.to))
            if ends in drawn:
                yield "wires", f"the wire {wire.name} lies on the wire {drawn[ends]}; keep one"
            drawn[ends] = wire.name


@dataclass(frozen=True, slots=True, kw_only=True)
class HalfWaveDipole:
    """A straight dipole fed in the middle."""

    name: str
    is_: str | None = maybe(Words(), "what it is")
    frequency: Quantity = needed(FREQUENCY, "the frequency for which it was cut")
    length: Quantity | None = maybe(LENGTH, "its whole length; otherwise half a wavelength")
    centre: Position = needed(At(), "its middle: [x, y, z]")
    bearing: Quantity = needed(BEARING, "the bearing of its wire, north 0 deg, east 90 deg")
    slope: Quantity | None = maybe(ELEVATION, "how far its wire rises along that bearing")
    diameter: Quantity = needed(THICKNESS, _DIAMETER_MEANS)


@dataclass(frozen=True, slots=True, kw_only=True)
class InvertedV:
    """A dipole fed at its top, with both ends lower."""

    name: str
    is_: str | None = maybe(Words(), "what it is")
    frequency: Quantity = needed(FREQUENCY, "the frequency for which it was cut")
    leg: Quantity | None = maybe(LENGTH, "the length of one leg; otherwise a quarter wavelength")
    apex: Position = needed(At(), "its top: [x, y, z]")
    bearing: Quantity = needed(BEARING, "the bearing of its legs on the ground")
    angle: Quantity = needed(
        Measure("angle", least="30 deg", most="180 deg"), "the angle between the legs at the top"
    )
    diameter: Quantity = needed(THICKNESS, _DIAMETER_MEANS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Vertical:
    """A monopole over ground, or with raised radials as a ground plane."""

    name: str
    is_: str | None = maybe(Words(), "what it is")
    frequency: Quantity = needed(FREQUENCY, "the frequency for which it was cut")
    height: Quantity | None = maybe(LENGTH, "its length; otherwise a quarter wavelength")
    base: Position = needed(At(), "its foot, where it is fed: [x, y, z]")
    diameter: Quantity = needed(THICKNESS, _DIAMETER_MEANS)
    radials: int = needed(Whole(0, 120), "how many radials; 0 for a monopole on the ground")
    radial_length: Quantity | None = maybe(LENGTH, "their length; otherwise a quarter wavelength")
    droop: Quantity | None = maybe(
        Measure("angle", least="0 deg", most="80 deg"), "how far the radials slope down"
    )

    def problems(self) -> Iterator[tuple[str, str]]:
        """Yield what cannot be: a raised foot with nothing to work against."""
        if self.radials == 0 and self.base.z.si > 0:
            yield "radials", "a raised foot needs radials; give their number, or z 0 m"


@dataclass(frozen=True, slots=True, kw_only=True)
class Element:
    """One row of a Yagi's element table."""

    position: Quantity = needed(
        Measure("length", least="0 m", most="100 m"), "its distance from the rear of the boom"
    )
    length: Quantity = needed(LENGTH, "its whole length from tip to tip")
    diameter: Quantity = needed(THICKNESS, "its diameter")
    driven: bool = maybe(YesNo(), "whether it is the fed one", default=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Yagi:
    """Parallel elements on a boom, one of them fed."""

    name: str
    is_: str | None = maybe(Words(), "what it is")
    rear: Position = needed(At(), "the rear end of the boom: [x, y, z]")
    bearing: Quantity = needed(BEARING, "where the front points")
    turns: bool = needed(YesNo(), "whether a rotator can turn it")
    sector: tuple[Quantity, ...] | None = maybe(_SECTOR, _SECTOR_MEANS)
    elements_are: str = needed(OneOf(("horizontal", "vertical")), "how the elements lie")
    elements: tuple[Element, ...] = needed(
        Many(Entry(Element), least=2, most=60), "the elements from the rear to the front"
    )

    def problems(self) -> Iterator[tuple[str, str]]:
        """Yield what cannot be: not one fed element, or elements out of their order."""
        fed = sum(element.driven for element in self.elements)
        if fed != 1:
            yield "elements", f"{fed} elements are driven; mark exactly one with driven: yes"
        if self.sector is not None and not self.turns:
            yield "sector", "a sector is where it turns; write turns: yes"
        positions = [element.position for element in self.elements]
        if any(a >= b for a, b in pairwise(positions)):
            yield "elements", "the positions must rise from the rear to the front"


@dataclass(frozen=True, slots=True, kw_only=True)
class SmallLoop:
    """A tuned loop that is small against the wavelength."""

    name: str
    is_: str | None = maybe(Words(), "what it is")
    centre: Position = needed(At(), "its middle: [x, y, z]")
    across: Quantity = needed(LENGTH, "its diameter across")
    diameter: Quantity = needed(THICKNESS, _DIAMETER_MEANS)
    plane: str = needed(OneOf(("vertical", "horizontal")), "how the loop stands or lies")
    bearing: Quantity | None = maybe(BEARING, "the bearing along the plane of a vertical loop")

    def problems(self) -> Iterator[tuple[str, str]]:
        """Yield what cannot be: a vertical loop of no bearing, or one that reaches the ground."""
        if self.plane == "vertical" and self.bearing is None:
            yield "plane", "a vertical loop has a bearing; add bearing:"
        if self.plane == "vertical" and self.centre.z.si < self.across.si / 2:
            yield "centre", "the loop reaches below the ground; raise its middle"


@dataclass(frozen=True, slots=True, kw_only=True)
class RandomWire:
    """A wire of any length through points, fed at its first one."""

    name: str
    is_: str | None = maybe(Words(), "what it is")
    points: tuple[Position, ...] = needed(
        Many(At(), least=2, most=60), "the points of the wire, from the feed on"
    )
    counterpoise: tuple[Position, ...] = maybe(
        Many(At(), most=60), "the further points of a counterpoise, from the feed on", ()
    )
    diameter: Quantity = needed(THICKNESS, _DIAMETER_MEANS)

    def problems(self) -> Iterator[tuple[str, str]]:
        """Yield what cannot be: two points at one place."""
        for key, chain in (
            ("points", self.points),
            ("counterpoise", (self.points[0], *self.counterpoise)),
        ):
            if any(a.apart(b) == 0 for a, b in pairwise(chain)):
                yield key, "two points that follow each other are the same; leave one out"
        if not self.counterpoise and self.points[0].z.si > 0:
            yield "points", "a raised feed works against something; add counterpoise:, or z 0 m"


@dataclass(frozen=True, slots=True, kw_only=True)
class ByGain:
    """An antenna of which the gain is known, and perhaps the pattern."""

    name: str
    is_: str | None = maybe(Words(), "what it is")
    like: str = needed(
        OneOf(
            (
                "dipole",
                "inverted V",
                "vertical",
                "yagi",
                "collinear",
                "shortened",
                "small loop",
                "other",
            )
        ),
        "what kind of antenna it is; the methods differ",
    )
    gain: Quantity | None = maybe(_GAIN, "its gain, as 6 dBd or 8.15 dBi")
    ground_in_gain: bool = needed(YesNo(), "whether that gain already counts reflection at ground")
    at: Position = needed(At(), "its middle: [x, y, z]")
    extent: Quantity = needed(LENGTH, "its largest dimension; any part may be the nearest one")
    bearing: Quantity | None = maybe(BEARING, "where it points")
    elevation: Quantity | None = maybe(ELEVATION, "how far up it points")
    turns: bool = maybe(YesNo(), "whether a rotator can turn it", default=False)
    sector: tuple[Quantity, ...] | None = maybe(_SECTOR, _SECTOR_MEANS)
    beamwidth: Quantity | None = maybe(BEAMWIDTH, "its half-power beamwidth, horizontal")
    beamwidth_up: Quantity | None = maybe(BEAMWIDTH, "its half-power beamwidth, vertical")
    pattern: tuple[tuple[Quantity, Quantity], ...] | None = maybe(
        Pairs(
            Measure("angle", least="0 deg", most="180 deg"),
            Measure("attenuation", least="0 dB", most="100 dB"),
        ),
        "how far below its gain it is, by angle off the beam, as {90 deg: 20 dB}",
    )

    def problems(self) -> Iterator[tuple[str, str]]:
        """Yield what cannot be used: a pattern that points nowhere."""
        directive = [k for k in ("beamwidth", "pattern") if getattr(self, k) is not None]
        if directive and self.bearing is None:
            yield directive[0], f"a {directive[0]} needs a bearing; add bearing:"
        if self.sector is not None and not self.turns:
            yield "sector", "a sector is where it turns; add turns: yes"


@dataclass(frozen=True, slots=True, kw_only=True)
class Dish:
    """A reflector of circular aperture."""

    name: str
    is_: str | None = maybe(Words(), "what it is")
    across: Quantity = needed(LENGTH, "the diameter of the dish")
    at: Position = needed(At(), "the middle of the dish: [x, y, z]")
    bearing: Quantity = needed(BEARING, "where it points")
    elevation: Quantity = needed(ELEVATION, "how far up it points")
    turns: bool = needed(YesNo(), "whether it can be turned anywhere")
    gain: Quantity | None = maybe(_GAIN, "its gain; otherwise from diameter and efficiency")
    efficiency: Quantity | None = maybe(Measure("ratio", most="100 %"), "its aperture efficiency")


Antenna = (
    Wires
    | HalfWaveDipole
    | InvertedV
    | Vertical
    | Yagi
    | SmallLoop
    | RandomWire
    | ByGain
    | Dish
)  # fmt: skip

ANTENNA = Kinds(
    {
        "wires": Wires,
        "half-wave-dipole": HalfWaveDipole,
        "inverted-v": InvertedV,
        "vertical": Vertical,
        "yagi": Yagi,
        "small-loop": SmallLoop,
        "random-wire": RandomWire,
        "by-gain": ByGain,
        "dish": Dish,
    }
)

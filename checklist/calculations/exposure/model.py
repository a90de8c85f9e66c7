"""What the exposure engine takes: emissions, antennas and places as plain numbers in SI units.

The station file is read elsewhere; these are its facts after units and names are settled.
Axes: x and y level, z up, ground at z = 0; azimuth from +x towards +y, in degrees.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

Point = tuple[float, float, float]
"""x, y, z in metres."""


class Carried(StrEnum):
    """How a transmitter is placed; on-air time counts for neighbours of a fixed one only."""

    FIXED = "fixed"
    MOBILE = "mobile"
    HANDHELD = "handheld"


class PowerKind(StrEnum):
    """What the stated transmitter power is."""

    PEAK_ENVELOPE = "peak envelope"
    CARRIER = "carrier"


class Ground(StrEnum):
    """What lies at z = 0."""

    REAL = "real ground"
    PERFECT = "perfect ground"
    NONE = "free space"


class Kind(StrEnum):
    """The class of an antenna that is known by its gain; it decides which formula is fit."""

    DIPOLE = "dipole"
    INVERTED_V = "inverted V"
    VERTICAL = "vertical"
    YAGI = "Yagi"
    COLLINEAR = "collinear"
    SHORTENED = "shortened or loaded"
    SMALL_LOOP = "small loop"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class Continuous:
    """No on-air time is known: the transmitter counts as always on."""


@dataclass(frozen=True, slots=True)
class Periodic:
    """Overs of equal length with pauses of equal length between them."""

    on_s: float
    off_s: float


@dataclass(frozen=True, slots=True)
class OnTime:
    """At most `on_s` on the air in any stretch of `window_s`."""

    on_s: float
    window_s: float


@dataclass(frozen=True, slots=True)
class OnLog:
    """Overs as they were logged: start and end of each, in seconds from any one moment."""

    overs: tuple[tuple[float, float], ...]


Timing = Continuous | Periodic | OnTime | OnLog


@dataclass(frozen=True, slots=True)
class FeedLine:
    """A feed line; whatever is unknown about it gives no credit."""

    kind: str = ""
    """A row of the table of feed lines; empty where own pairs are given or it is unknown."""

    pairs: tuple[tuple[float, float], ...] = ()
    """The maker's attenuation: frequency in Hz, loss in dB per metre."""

    length_m: float | None = None
    swr_at_load: float | None = None
    """Standing-wave ratio at the antenna, not at the transmitter."""


@dataclass(frozen=True, slots=True)
class Wire:
    """A straight round wire; wires join where their ends coincide."""

    start: Point
    end: Point
    radius_m: float


@dataclass(frozen=True, slots=True)
class Feed:
    """Where the antenna is driven: at `at` of the wire's length, 0 its start, 1 its end."""

    wire: int
    at: float = 0.5
    volts: complex = 1 + 0j


@dataclass(frozen=True, slots=True)
class Wires:
    """An antenna given by its wires, for the near-field method."""

    name: str
    wires: tuple[Wire, ...]
    feeds: tuple[Feed, ...]


@dataclass(frozen=True, slots=True)
class Pattern:
    """Gain below the maximum by angle from the direction of the maximum, as the maker prints it."""

    points: tuple[tuple[float, float], ...]
    """Angle in degrees, 0 to 180, rising; attenuation in dB, 0 or more."""


@dataclass(frozen=True, slots=True)
class ByGain:
    """An antenna known by its gain and where its conductors reach."""

    name: str
    kind: Kind
    gain_dbi: float | None
    parts: tuple[tuple[Point, Point], ...]
    """Straight pieces of the radiating structure; a single point is a piece of no length."""

    reach_m: float | None = 0.0
    """How far conductors reach beyond `parts`, turning included; None where unknown."""

    gain_includes_ground: bool = False
    """The figure was stated over ground: the reflection is then counted twice, and said."""

    pattern: Pattern | None = None
    azimuth_deg: float | None = None
    """Where the maximum points; None where it turns freely: the maximum counts everywhere."""

    elevation_deg: float = 0.0
    sector_deg: tuple[float, float] | None = None
    """A lock of the rotator: the azimuths it can take, clockwise limits in rising order."""


@dataclass(frozen=True, slots=True)
class Dish:
    """A reflector with a circular aperture."""

    name: str
    centre: Point
    diameter_m: float
    gain_dbi: float
    pattern: Pattern | None = None
    azimuth_deg: float | None = None
    elevation_deg: float = 0.0


Antenna = ByGain | Wires | Dish


@dataclass(frozen=True, slots=True)
class Emission:
    """One way in which one transmitter radiates."""

    name: str
    transmitter: str
    """Emissions of one transmitter are never on at the same moment."""

    frequency_hz: float
    power_w: float | None
    """At the transmitter; None where unknown."""

    power_kind: PowerKind
    mode: str
    """A row of the table of duty factors; empty where unknown: then every moment is peak."""

    antenna: Antenna
    feed_line: FeedLine | None = None
    timing: Timing = field(default_factory=Continuous)
    carried: Carried = Carried.FIXED
    nearest_body_m: float | None = None
    """For a handheld: what its holder keeps between antenna and body."""

    own_duty: float | None = None
    """The operator's own duty factor with respect to peak envelope power."""

    heading_of: str = ""
    """The emission of which this is one heading, where its beam turns and counts at several.

    A beam has one heading at a time: of these the worst counts, and never their sum.
    """

    bearing_deg: float | None = None
    """Of that heading, clockwise from north."""

    @property
    def written_name(self) -> str:
        """The name that the emission has in the station, whatever the heading."""
        return self.heading_of or self.name


@dataclass(frozen=True, slots=True)
class Place:
    """Where a person can be, from the soles to the top of the head."""

    name: str
    x_m: float
    y_m: float
    low_m: float
    high_m: float
    controlled: bool
    training: str = ""
    """The statement that those who can be here were trained and told; needed for controlled."""

    conductors_in_reach: bool | None = None
    """Whether bare radiating conductors can be touched from here; None where unknown."""

    operator_only: bool = False
    """Whether nobody but the operator can be here."""


@dataclass(frozen=True, slots=True)
class Scene:
    """A station and the people around it, as one evaluation sees it."""

    emissions: tuple[Emission, ...]
    places: tuple[Place, ...]
    ground: Ground = Ground.REAL

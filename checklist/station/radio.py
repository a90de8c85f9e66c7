"""Transmitters, feed lines and emissions: how much power goes where, when, and how long."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from checklist.quantities import Quantity
from checklist.station.geometry import FREQUENCY, LENGTH
from checklist.station.lists import Many, Pairs
from checklist.station.records import Entry, Kinds, maybe, needed
from checklist.station.shapes import Measure, Naming, OneOf, Words, YesNo
from checklist.station.site import Cable, Mode

_POWER = Measure("power", most="10 kW")
_TIME = Measure("time", most="1 d")
_FROM_START = Measure("time", least="0 s", most="1 d")
_LOSS = Measure("attenuation per length", least="0 dB/m", most="100 dB/m")


@dataclass(frozen=True, slots=True, kw_only=True)
class Transmitter:
    """A transmitter or amplifier, and how it is carried."""

    name: str
    is_: str = needed(Words(), "what it is")
    power: Quantity = needed(_POWER, "the most it can give, peak envelope, as 100 W")
    used: str = needed(
        OneOf(("fixed", "mobile", "portable")),
        "fixed; mobile, 20 cm or more from people; portable, nearer to the user",
    )
    nearest_body: Quantity | None = maybe(
        Measure("length", least="0 m", most="10 m"), "how near its antenna comes to the user"
    )
    one_at_a_time: bool = needed(YesNo(), "whether it sends on one frequency at a time")
    isolated_at: tuple[str, ...] = maybe(
        Many(Naming(("isolation-points",))), "the isolation points that make it dead", ()
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class FeedLine:
    """A line from a transmitter to an antenna; loss that is not known is no credit."""

    name: str
    cable: str | None = maybe(Cable(), "its kind, where a table has its attenuation")
    attenuation: tuple[tuple[Quantity, Quantity], ...] | None = maybe(
        Pairs(FREQUENCY, _LOSS), "its own attenuation, as {7 MHz: 0.6 dB/100 ft}"
    )
    length: Quantity | None = maybe(LENGTH, "its length")
    load_swr: Quantity | None = maybe(
        Measure("ratio", least="1", most="100"),
        "the standing wave ratio at the antenna, not at the transmitter",
    )

    def problems(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        if self.cable is not None and self.attenuation is not None:
            yield "attenuation", "both cable and attenuation stand here; keep one"


@dataclass(frozen=True, slots=True, kw_only=True)
class Continuous:
    """On the air without a pause."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """Overs of equal length with equal pauses between them."""

    on: Quantity = needed(_TIME, "how long it sends")
    off: Quantity = needed(_FROM_START, "how long it then pauses")


@dataclass(frozen=True, slots=True, kw_only=True)
class OnTime:
    """The longest time on the air in any window of a length, as counted by the operator."""

    window: Quantity = needed(_TIME, "the length of the window, as 6 min")
    on: Quantity = needed(_FROM_START, "the longest time on the air in any such window")

    def problems(self) -> Iterator[tuple[str, str]]:
        """Yield what cannot be."""
        if self.on > self.window:
            yield "on", f"{self.on} is longer than the window of {self.window}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sent:
    """One over of a log."""

    start: Quantity = needed(_FROM_START, "when it began, from the start of the log")
    lasted: Quantity = needed(_TIME, "how long it lasted")


@dataclass(frozen=True, slots=True, kw_only=True)
class Log:
    """An irregular log of overs."""

    overs: tuple[Sent, ...] = needed(
        Many(Entry(Sent), most=500), "overs, as {start: 0 min, lasted: 2 min}"
    )

    def problems(self) -> Iterator[tuple[str, str]]:
        """Yield what cannot be: an over that begins before the one ahead of it has ended."""
        ended = Fraction(0)
        for number, over in enumerate(self.overs, start=1):
            if over.start.si < ended:
                yield "overs", f"over {number} begins before over {number - 1} has ended"
                return
            ended = over.start.si + over.lasted.si


OnAir = Continuous | Pattern | OnTime | Log
ON_AIR = Kinds({"continuous": Continuous, "pattern": Pattern, "on-time": OnTime, "log": Log})


@dataclass(frozen=True, slots=True, kw_only=True)
class Emission:
    """What is sent: frequency, power, mode, on-time, and the way to the antenna."""

    name: str
    is_: str | None = maybe(Words(), "what it is used for")
    frequency: Quantity = needed(FREQUENCY, "the frequency; of a band, the edge with more exposure")
    power: Quantity | None = maybe(_POWER, "the power at the transmitter, as 100 W")
    power_is: str = needed(OneOf(("peak envelope", "carrier")), "what that power is a measure of")
    mode: str | None = maybe(Mode(), "the mode, as in the table of duty factors")
    duty: Quantity | None = maybe(
        Measure("ratio", most="100 %"), "the station's own duty factor, instead of the table's"
    )
    on_air: OnAir = needed(ON_AIR, "when it is on the air; continuous where nobody can say")
    transmitter: str = needed(Naming(("transmitters",)), "which transmitter")
    feed_line: str | None = maybe(Naming(("feed-lines",)), "which feed line; none is no loss")
    antenna: str = needed(Naming(("antennas",)), "which antenna")


@dataclass(frozen=True, slots=True, kw_only=True)
class NeverTogether:
    """Emissions of which only one can be on at a time, and what sees to that."""

    emissions: tuple[str, ...] = needed(
        Many(Naming(("emissions",)), least=2), "emissions that exclude each other"
    )
    because: str = needed(Words(), "what makes it impossible, as: one antenna switch")

    def problems(self) -> Iterator[tuple[str, str]]:
        """Yield what says nothing: an emission that excludes itself."""
        if len(set(self.emissions)) < len(self.emissions):
            yield "emissions", "an emission stands twice here; name each once"

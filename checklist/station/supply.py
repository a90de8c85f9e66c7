"""What supplies the station in an emergency: generators, loads and cords."""

from __future__ import annotations

from dataclasses import dataclass

from checklist.quantities import Quantity
from checklist.station.geometry import LENGTH, At, Position
from checklist.station.records import maybe, needed
from checklist.station.shapes import Measure, Naming, OneOf, Whole, Words, YesNo

_POWER = Measure("power", most="1000 kW")
_CURRENT = Measure("current", most="1000 A")


@dataclass(frozen=True, slots=True, kw_only=True)
class Generator:
    """A generator, as its plate and manual say."""

    name: str
    is_: str = needed(Words(), "what it is")
    running: Quantity | None = maybe(_POWER, "its running (continuous) rating")
    surge: Quantity | None = maybe(_POWER, "its starting (surge) rating")
    output: str = needed(OneOf(("120", "120/240")), "what it gives out, in volts")
    neutral: str | None = maybe(
        OneOf(("bonded", "floating")), "whether its neutral is bonded to its frame"
    )
    main_breaker: Quantity | None = maybe(_CURRENT, "its main breaker, for each leg")
    ground_fault: bool | None = maybe(
        YesNo(), "whether its receptacles have ground-fault protection"
    )
    consumption: Quantity | None = maybe(
        Measure("volume flow", most="100 gal/h"), "what it burns at its usual load"
    )
    tank: Quantity | None = maybe(Measure("volume", most="1000 gal"), "what its tank holds")
    at: Position | None = maybe(At(), "where it stands when it runs: [x, y, z]")


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """Something that a generator supplies."""

    name: str
    is_: str | None = maybe(Words(), "what it is")
    running: Quantity | None = maybe(_POWER, "its running power")
    starting: Quantity | None = maybe(_POWER, "its power at the start; as running without motor")
    voltage: Quantity = needed(Measure("voltage", most="1000 V"), "its voltage, as 120 V")
    generator: str | None = maybe(Naming(("generators",)), "which generator supplies it")
    leg: str | None = maybe(OneOf(("1", "2", "both")), "the leg it hangs on; both for 240 V")
    receptacle: str | None = maybe(Words(40), "the receptacle it hangs on")
    breaker: Quantity | None = maybe(_CURRENT, "the breaker of that receptacle")
    cord: str | None = maybe(Naming(("cords",)), "the cord that feeds it")
    continuous: bool | None = maybe(YesNo(), "whether it runs for three hours or more")


@dataclass(frozen=True, slots=True, kw_only=True)
class Cord:
    """A flexible cord."""

    name: str
    is_: str | None = maybe(Words(), "what it is")
    gauge: str | None = maybe(
        OneOf(("18 AWG", "16 AWG", "14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG")),
        "the gauge printed on its jacket, as 12 AWG",
    )
    length: Quantity | None = maybe(LENGTH, "its length")
    current_carrying: int | None = maybe(
        Whole(2, 3), "how many of its conductors carry current: 2, or 3 with 120/240 V"
    )
    plug: Quantity | None = maybe(
        _CURRENT, "the smallest rating of its plug, receptacle and breaker"
    )
    outdoor: bool | None = maybe(YesNo(), "whether its jacket says that it is for outdoors")
    ground_fault: bool | None = maybe(YesNo(), "whether it has ground-fault protection of its own")

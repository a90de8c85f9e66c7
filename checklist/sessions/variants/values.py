"""The values of a station that can be tried at another number: by name, word, and as they stand."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

from checklist.calculations.exposure.model import Antenna
from checklist.calculations.exposure.variants import middle
from checklist.quantities import parse_quantity
from checklist.sessions.variants.positions import (
    coordinate,
    height_m,
    height_of,
    metres_of,
    moved_to,
)
from checklist.sessions.variants.steps import (
    BARRIER,
    DIMENSIONS,
    NOT_GIVEN,
    REACH,
    Value,
    decibels,
    heading,
    height,
    lengths,
    levels,
    measured,
    metres_in,
    moved,
    onward,
    overs,
    overs_now,
    said,
    said_of,
    sector,
)
from checklist.sessions.variants.variant import Change, Step, Variant
from checklist.strictyaml import Path


def values_of(variant: Variant, deciding: Mapping[str, str] | None = None) -> tuple[Value, ...]:
    """Return everything in the variant that can be tried at another value.

    `deciding` names by place the antenna of the emission that decides there: the distance of
    a place is counted from it, otherwise from the antenna that is nearest.
    """
    data = variant.data
    found: list[Value] = []
    for name, emission in data.get("emissions", {}).items():
        found += _of_emission(name, emission)
    radiators = {e.antenna.name: e.antenna for e in variant.described.scene.emissions}
    for name, antenna in data.get("antennas", {}).items():
        if name in radiators:
            found += _of_antenna(name, antenna, radiators[name])
    for name, place in data.get("places", {}).items():
        found += _of_place(name, place, radiators, (deciding or {}).get(name, ""))
    for name, line in data.get("feed-lines", {}).items():
        found += _of_line(name, line)
    return tuple(found)


def understood(value: Value, text: str) -> str:
    """Return how a typed text is read, a length in feet and metres; empty where it has no unit."""
    dimension = DIMENSIONS.get(value.word)
    return said_of(parse_quantity(text, dimension, where=value.where)) if dimension else ""


def _of_emission(name: str, emission: Any) -> Iterator[Value]:
    here: Path = ("emissions", name)
    power, duty, mode = (emission.get(key) for key in ("power", "duty", "mode"))
    yield measured(
        here, "power", "power", "power at the transmitter", power, "50 W",
        lambda before, now: levels(before, now, "power", "W"),
    )  # fmt: skip
    yield measured(
        here, "duty", "duty", "duty factor of the station's own", duty, "20 %",
        lambda before, now: "the station must then keep to it",
    )  # fmt: skip

    def other_mode(text: str) -> Step:
        changes = [Change((*here, "mode"), text.strip())]
        if duty is not None:
            changes.append(Change((*here, "duty"), None))
        return Step(said(name, "mode", text.strip(), mode), "another mode", tuple(changes))

    yield Value(name, "mode", "mode", mode or NOT_GIVEN, "SSB", other_mode)
    yield Value(
        name, "overs", "longest time on the air in any stretch of time",
        overs_now(emission["on-air"]), "2 min in 6 min", lambda text: overs(here, emission, text),
    )  # fmt: skip


def _of_antenna(name: str, antenna: Any, radiator: Antenna) -> Iterator[Value]:
    yield Value(
        name, "height", f"height of {height_of(antenna)} above the ground",
        lengths(height_m(antenna, name)), "12 m",
        lambda text: height(name, antenna, text),
    )  # fmt: skip
    turns = antenna.get("turns") == "yes"
    if "bearing" in antenna and not turns:
        yield Value(
            name, "heading", "bearing, north 0 deg, east 90 deg", antenna["bearing"], "90 deg",
            lambda text: heading(name, antenna, radiator, text),
        )  # fmt: skip
    if turns and antenna["kind"] != "dish" and "bearing" in antenna:
        yield Value(
            name, "sector", "bearings between which its rotator is locked, clockwise",
            " to ".join(antenna["sector"]) if "sector" in antenna else "none, it turns freely",
            "0 deg to 90 deg", lambda text: sector(name, antenna, text),
        )  # fmt: skip
    if antenna["kind"] in {"by-gain", "dish"}:
        yield measured(
            ("antennas", name), "gain", "gain", "gain", antenna.get("gain"), "3 dBi",
            lambda before, now: decibels(now.number("dBi") - before.number("dBi"), "gain"),
        )  # fmt: skip


def _of_place(
    name: str, place: Any, radiators: Mapping[str, Antenna], deciding: str
) -> Iterator[Value]:
    here: Path = ("places", name, "at")
    x, y, floor_m = metres_of(place["at"])
    middles = {antenna: middle(radiator) for antenna, radiator in radiators.items()}
    if middles:
        by_name = {a: math.hypot(x - m[0], y - m[1]) for a, m in middles.items()}
        near = deciding if deciding in by_name else min(by_name, key=lambda a: by_name[a])

        def farther(text: str) -> Step:
            metres = metres_in(text, f"{name}, distance")
            ox, oy, _ = middles[near]
            east, north = onward(x - ox, y - oy, metres)
            said = f"{name}: {lengths(metres)} from {near} instead of {lengths(by_name[near])}"
            by = metres - by_name[near]
            return Step(
                said,
                f"{moved(by, 'farther away', 'nearer')}{BARRIER if by > 0 else REACH}",
                moved_to(here, place["at"], ox + east, oy + north),
            )

        yield Value(
            name, "distance", f"level distance from the middle of {near}",
            lengths(by_name[near]), "20 m", farther,
        )  # fmt: skip

    def raised(text: str) -> Step:
        metres = metres_in(text, f"{name}, floor")
        return Step(
            said(name, "floor at", lengths(metres), lengths(floor_m)),
            f"{moved(metres - floor_m, 'higher', 'lower')}{REACH}",
            (Change((*here, 2), coordinate(text, metres)),),
        )

    yield Value(name, "floor", "height of the floor there", lengths(floor_m), "0 m", raised)


def _of_line(name: str, line: Any) -> Iterator[Value]:
    here: Path = ("feed-lines", name)
    yield measured(
        here, "length", "length", "length of the feed line", line.get("length"), "30 m",
        lambda before, now: moved(now.number("m") - before.number("m"), "longer", "shorter"),
    )  # fmt: skip
    yield measured(
        here, "swr", "load-swr", "standing wave ratio at the antenna", line.get("load-swr"), "1.5",
        lambda before, now: "it must be measured at the antenna",
    )  # fmt: skip

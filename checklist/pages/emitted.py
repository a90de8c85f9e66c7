"""What a station sends and from which antennas, as rows of a table."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from checklist.calculations.exposure.model import (
    Antenna,
    ByGain,
    Continuous,
    Dish,
    Emission,
    FeedLine,
    OnLog,
    OnTime,
    Periodic,
    Timing,
    Wires,
)
from checklist.calculations.exposure.variants import middle
from checklist.quantities.display import power


def emission_rows(emissions: Sequence[Emission]) -> Iterator[tuple[str, ...]]:
    """Yield name, frequency, power, mode and time on the air, feed line and antenna of each."""
    for one in emissions:
        sent = (
            "not known" if one.power_w is None else f"{power(one.power_w)} {one.power_kind.value}"
        )
        duty = f", own duty {one.own_duty:g}" if one.own_duty is not None else ""
        mode = f"{one.mode or 'mode not known'}{duty}; {_timing(one.timing)}"
        yield (
            one.name,
            f"{one.frequency_hz / 1e6:.6g} MHz",
            sent,
            mode,
            _feed_line(one.feed_line),
            one.antenna.name,
        )


def antenna_rows(emissions: Sequence[Emission]) -> Iterator[tuple[str, ...]]:
    """Yield name, kind and place of each antenna, once."""
    for name, antenna in {e.antenna.name: e.antenna for e in emissions}.items():
        x, y, z = middle(antenna)
        yield name, _kind(antenna), f"middle {x:.4g} m east, {y:.4g} m north, {z:.4g} m up"


def _kind(antenna: Antenna) -> str:
    match antenna:
        case Wires():
            count = len(antenna.wires)
            return f"{count} {'wire' if count == 1 else 'wires'}, near-field method"
        case Dish():
            return f"reflector {antenna.diameter_m:g} m, {antenna.gain_dbi:g} dBi"
        case ByGain():
            gain = "not known" if antenna.gain_dbi is None else f"{antenna.gain_dbi:g} dBi"
            reach = "not known" if antenna.reach_m is None else f"{antenna.reach_m:g} m"
            return f"{antenna.kind.value}, gain {gain}, reach beyond its parts {reach}"


def _timing(timing: Timing) -> str:
    match timing:
        case Continuous():
            return "on without a pause"
        case Periodic():
            return f"{timing.on_s:g} s on, {timing.off_s:g} s off"
        case OnTime():
            return f"at most {timing.on_s:g} s in any {timing.window_s:g} s"
        case OnLog():
            return f"as logged, {len(timing.overs)} overs"


def _feed_line(line: FeedLine | None) -> str:
    if line is None:
        return "none: no loss counted"
    kind = line.kind or ("own attenuation" if line.pairs else "not known: no loss counted")
    length = "length not known" if line.length_m is None else f"{line.length_m:.4g} m"
    swr = "" if line.swr_at_load is None else f", SWR {line.swr_at_load:g} at the antenna"
    return f"{kind}, {length}{swr}"

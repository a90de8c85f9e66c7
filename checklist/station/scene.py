"""A station as one evaluation of exposure sees it: emissions and places in the engine's numbers."""

from __future__ import annotations

from dataclasses import dataclass, replace

from checklist.calculations.exposure import model
from checklist.calculations.exposure.figures import Figures
from checklist.station.people import Place
from checklist.station.radiators import bearings_deg, radiators
from checklist.station.radio import Emission, FeedLine, Log, OnAir, OnTime, Pattern
from checklist.station.station import Station

_CARRIED = {
    "fixed": model.Carried.FIXED,
    "mobile": model.Carried.MOBILE,
    "portable": model.Carried.HANDHELD,
}


@dataclass(frozen=True, slots=True)
class StationScene:
    """The scene, and what was assumed to make it."""

    scene: model.Scene
    assumptions: tuple[str, ...]
    parts: tuple[str, ...]
    """The parts of the station that it was made from, by which it becomes stale."""


def scene_of(station: Station, figures: Figures, places: tuple[Place, ...] = ()) -> StationScene:
    """Return the scene of all emissions at the given places, or at all places of the station.

    What is unknown stays unknown for the engine to judge. Raises GeometryRefused for an antenna
    whose wires cannot be.
    """
    antennas = {one.name: one for one in station.antennas}
    exclusive = _exclusive(station)
    emissions: list[model.Emission] = []
    notes: dict[str, None] = {}
    for emission in station.emissions:
        frequency_hz = emission.frequency.number("Hz")
        made, said = radiators(antennas[emission.antenna], frequency_hz, figures)
        notes |= dict.fromkeys(said)
        bearings = bearings_deg(antennas[emission.antenna])
        for number, antenna in enumerate(made, start=1):
            found = _emission(station, emission, exclusive[emission.name], antenna)
            emissions.append(_at_heading(found, number, bearings) if len(made) > 1 else found)
    looked_at = places or station.places
    scene = model.Scene(tuple(emissions), tuple(map(_place, looked_at)))
    return StationScene(scene, tuple(notes), parts_used(station, looked_at))


def _exclusive(station: Station) -> dict[str, str]:
    """Return for each emission a label that it shares only with what is never on with it.

    The engine counts one of each label at a time. Each joins the first group all of whose
    members it excludes, so that no two that can be on together ever share a label.
    """
    groups: list[list[str]] = []
    for emission in station.emissions:
        fitting = (
            group
            for group in groups
            if not any(station.may_be_on_together(emission.name, other) for other in group)
        )
        found = next(fitting, None)
        if found is None:
            groups.append([emission.name])
        else:
            found.append(emission.name)
    return {name: " or ".join(group) for group in groups for name in group}


def _emission(
    station: Station, written: Emission, label: str, antenna: model.Antenna
) -> model.Emission:
    sender = next(one for one in station.transmitters if one.name == written.transmitter)
    line = next((one for one in station.feed_lines if one.name == written.feed_line), None)
    return model.Emission(
        name=written.name,
        transmitter=label,
        frequency_hz=written.frequency.number("Hz"),
        power_w=written.power.number("W") if written.power is not None else None,
        power_kind=model.PowerKind(written.power_is),
        mode=written.mode or "",
        antenna=antenna,
        feed_line=_feed_line(line) if line is not None else None,
        timing=_timing(written.on_air),
        carried=_CARRIED[sender.used],
        nearest_body_m=sender.nearest_body.number("m") if sender.nearest_body else None,
        own_duty=written.duty.number("1") if written.duty is not None else None,
    )


def _at_heading(
    emission: model.Emission, number: int, bearings: tuple[float, ...]
) -> model.Emission:
    return replace(
        emission,
        name=f"{emission.name}, heading {number}",
        heading_of=emission.name,
        bearing_deg=bearings[number - 1] if bearings else None,
    )


def _feed_line(line: FeedLine) -> model.FeedLine:
    return model.FeedLine(
        kind=line.cable or "",
        pairs=tuple((f.number("Hz"), loss.number("dB/m")) for f, loss in line.attenuation or ()),
        length_m=line.length.number("m") if line.length is not None else None,
        swr_at_load=line.load_swr.number("1") if line.load_swr is not None else None,
    )


def _timing(on_air: OnAir) -> model.Timing:
    match on_air:
        case Pattern():
            return model.Periodic(on_air.on.number("s"), on_air.off.number("s"))
        case OnTime():
            return model.OnTime(on_air.on.number("s"), on_air.window.number("s"))
        case Log():
            starts = [(over.start.number("s"), over.lasted.number("s")) for over in on_air.overs]
            return model.OnLog(tuple((start, start + lasted) for start, lasted in starts))
        case _:
            return model.Continuous()


def _place(place: Place) -> model.Place:
    x, y, floor = place.at.metres()
    reach = place.within_reach
    return model.Place(
        name=place.name,
        x_m=x,
        y_m=y,
        low_m=floor,
        high_m=floor + place.tall.number("m"),
        controlled=place.is_controlled,
        training=place.training.statement if place.training is not None else "",
        conductors_in_reach=None if reach is None else any(one.bare for one in reach),
        operator_only=set(place.who) == {"operator"},
    )


def parts_used(station: Station, places: tuple[Place, ...]) -> tuple[str, ...]:
    """Return the parts that the scene was made from, as `fingerprint` names them."""
    sections = {
        "transmitters": {one.transmitter for one in station.emissions},
        "feed-lines": {one.feed_line for one in station.emissions if one.feed_line},
        "antennas": {one.antenna for one in station.emissions},
        "emissions": {one.name for one in station.emissions},
        "places": {one.name for one in places},
    }
    named = [f"{section}/{name}" for section, held in sections.items() for name in sorted(held)]
    return ("law", "never-together", *named)

"""What can be said of an entry at once, before anything is evaluated.

Only what needs no fields: wires that cannot be, loss and power that are not known, and what
nothing uses. It is no evaluation, and silence here says nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TypeVar

from checklist.calculations.exposure import model
from checklist.calculations.exposure.figures import Figures
from checklist.calculations.exposure.wires import problems
from checklist.errors import StandclearError
from checklist.station.antennas import Antenna, HalfWaveDipole, InvertedV, Vertical
from checklist.station.people import Place
from checklist.station.radiators import radiators
from checklist.station.radio import Emission, FeedLine, Transmitter
from checklist.station.station import Station

_Entry = TypeVar("_Entry", bound=Antenna | FeedLine | Emission | Place)


def remarks(station: Station, section: str, name: str, figures: Figures) -> tuple[str, ...]:
    """Return a sentence for each thing that can be said of an entry; empty for most sections."""
    match section:
        case "antennas":
            return tuple(_of_antenna(station, _named(station.antennas, name), figures))
        case "feed-lines":
            return tuple(_of_line(station, _named(station.feed_lines, name)))
        case "emissions":
            return tuple(_of_emission(station, _named(station.emissions, name)))
        case "places":
            return tuple(_of_place(_named(station.places, name)))
        case "transmitters":
            used = any(one.transmitter == name for one in station.emissions)
            return () if used else ("No emission comes from it yet.",)
        case _:
            return ()


def all_remarks(station: Station, figures: Figures) -> tuple[tuple[str, str, str], ...]:
    """Return (section, name, sentence) for everything that can be said at once."""
    held: dict[str, tuple[Antenna | FeedLine | Emission | Place | Transmitter, ...]] = {
        "antennas": station.antennas,
        "feed-lines": station.feed_lines,
        "emissions": station.emissions,
        "places": station.places,
        "transmitters": station.transmitters,
    }
    return tuple(
        (section, one.name, said)
        for section, entries in held.items()
        for one in entries
        for said in remarks(station, section, one.name, figures)
    )


def _of_antenna(station: Station, antenna: Antenna | None, figures: Figures) -> Iterator[str]:
    if antenna is None:
        return
    sent = {e.frequency.number("Hz"): e for e in station.emissions if e.antenna == antenna.name}
    if not sent:
        yield "No emission uses it yet: it counts nowhere."
    own = antenna.frequency if isinstance(antenna, HalfWaveDipole | InvertedV | Vertical) else None
    frequencies = dict.fromkeys(sent)
    if not sent and own is not None:
        frequencies[own.number("Hz")] = None
    for hertz in frequencies:
        with_it = f" with {sent[hertz].name}" if hertz in sent else ""
        for said in _geometry(antenna, hertz, figures):
            yield f"Not shown{with_it}: {said}"
            break


def _geometry(antenna: Antenna, frequency_hz: float, figures: Figures) -> Iterator[str]:
    try:
        made, _ = radiators(antenna, frequency_hz, figures)
    except StandclearError as error:
        yield error.sentence()
        return
    for one in made[:1]:
        if isinstance(one, model.Wires):
            for what, right in problems(one, frequency_hz, model.Ground.REAL):
                yield f"{what}. {right}"


def _of_line(station: Station, line: FeedLine | None) -> Iterator[str]:
    if line is None:
        return
    if (line.cable is None and line.attenuation is None) or line.length is None:
        yield "Its loss is not known (kind or length missing): no loss is credited."
    if not any(one.feed_line == line.name for one in station.emissions):
        yield "No emission goes through it yet."


def _of_emission(station: Station, emission: Emission | None) -> Iterator[str]:
    if emission is None:
        return
    if emission.power is None:
        yield "Its power is not known: no place can be shown to be within the limits."
    if emission.mode is None and emission.duty is None:
        yield "Its mode is not known: every moment counts as peak."
    if emission.feed_line is None:
        yield "No feed line: no loss is credited."
    if not station.places:
        yield "There are no places yet at which it could be evaluated."


def _of_place(place: Place | None) -> Iterator[str]:
    if place is None:
        return
    if place.within_reach is None:
        yield "Conductors within reach are not known: not shown. Write none where there are none."
    elif any(one.bare for one in place.within_reach) and set(place.who) != {"operator"}:
        yield "A bare conductor is within reach of others than the operator: RF burn, a stop."


def _named(entries: tuple[_Entry, ...], name: str) -> _Entry | None:
    return next((one for one in entries if one.name == name), None)

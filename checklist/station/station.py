"""A whole station, and what must agree across its parts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from checklist.station.antennas import ANTENNA, Antenna
from checklist.station.bonding import Bonding, misplaced
from checklist.station.lists import Many
from checklist.station.people import Place
from checklist.station.radio import Emission, FeedLine, NeverTogether, Transmitter
from checklist.station.records import ByName, Entry, maybe, needed
from checklist.station.shapes import OneOf, Words
from checklist.station.site import Instrument, IsolationPoint, Kit, Law, Location, Person
from checklist.station.supply import Cord, Generator, Load
from checklist.strictyaml import Path

FORMAT = "1"


def _named(kind: type[Any], section: str, means: str) -> Any:
    return maybe(ByName(Entry(kind), section), means, ())


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """What is there: everything that calculations and walks take from the station file."""

    format: str = needed(OneOf((FORMAT,)), "the number of this format: 1")
    name: str = needed(Words(120), "what the station is called")
    location: Location = needed(Entry(Location), "where help must come to")
    law: Law = needed(Entry(Law), "jurisdiction and limits in force")
    people: tuple[Person, ...] = _named(Person, "people", "who works here")
    instruments: tuple[Instrument, ...] = _named(Instrument, "instruments", "what measures")
    kit: tuple[Kit, ...] = _named(Kit, "kit", "climbing and lifting kit")
    isolation_points: tuple[IsolationPoint, ...] = _named(
        IsolationPoint, "isolation-points", "where sources of energy are cut off"
    )
    places: tuple[Place, ...] = _named(Place, "places", "where people can be")
    transmitters: tuple[Transmitter, ...] = _named(Transmitter, "transmitters", "what sends")
    feed_lines: tuple[FeedLine, ...] = _named(FeedLine, "feed-lines", "lines to antennas")
    antennas: tuple[Antenna, ...] = maybe(ByName(ANTENNA, "antennas"), "what radiates", ())
    emissions: tuple[Emission, ...] = _named(Emission, "emissions", "what is sent")
    never_together: tuple[NeverTogether, ...] = maybe(
        Many(Entry(NeverTogether)), "emissions that cannot be on at one time", ()
    )
    bonding: Bonding | None = maybe(Entry(Bonding), "the bonding network")
    generators: tuple[Generator, ...] = _named(Generator, "generators", "generators")
    loads: tuple[Load, ...] = _named(Load, "loads", "what a generator supplies")
    cords: tuple[Cord, ...] = _named(Cord, "cords", "flexible cords")

    def may_be_on_together(self, first: str, second: str) -> bool:
        """Whether two emissions can be on at one time; yes unless the file says what forbids it."""
        if first == second:
            return True
        by = {emission.name: emission for emission in self.emissions}
        if by[first].transmitter == by[second].transmitter:
            one = next(t for t in self.transmitters if t.name == by[first].transmitter)
            if one.one_at_a_time:
                return False
        return not any({first, second} <= set(group.emissions) for group in self.never_together)


Entries = Mapping[str, Mapping[str, Any]]
"""Entries by section and name, as far as they could be read."""


def disagreements(entries: Entries) -> Iterator[tuple[Path, str]]:
    """Yield where two parts of a station contradict each other, and what would be right."""
    transmitters: Mapping[str, Transmitter] = entries.get("transmitters", {})
    emissions: Mapping[str, Emission] = entries.get("emissions", {})
    for emission in emissions.values():
        sender = transmitters.get(emission.transmitter)
        if sender and emission.power is not None and emission.power > sender.power:
            yield (
                ("emissions", emission.name, "power"),
                f"{emission.power} is more than the {sender.power} that {sender.name} gives;"
                " correct one of them",
            )
    generators: Mapping[str, Generator] = entries.get("generators", {})
    loads: Mapping[str, Load] = entries.get("loads", {})
    for load in loads.values():
        set_ = generators.get(load.generator or "")
        if set_ and set_.output == "120" and load.leg in ("2", "both"):
            yield (
                ("loads", load.name, "leg"),
                f"{set_.name} gives 120 V and has leg 1 alone; correct one of them",
            )
    for bond, key, what in misplaced(entries.get("nodes", {}), entries.get("bonds", {})):
        yield ("bonding", "bonds", bond, key), what

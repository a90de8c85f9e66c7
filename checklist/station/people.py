"""The places where people can be, and what they were told."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from checklist.quantities import Quantity
from checklist.station.geometry import LENGTH, At, Position
from checklist.station.lists import Many, NoneOr
from checklist.station.records import Entry, maybe, needed
from checklist.station.shapes import Day, Measure, Naming, OneOf, Words, YesNo


@dataclass(frozen=True, slots=True, kw_only=True)
class Training:
    """What was told to those who may be at a controlled place."""

    statement: str = needed(
        Words(1000, lines=True), "what they were told, and how the time there is controlled"
    )
    given: date = needed(Day(), "the day on which it was told")
    by: str = needed(Words(80), "who told it")
    to: tuple[str, ...] = maybe(
        Many(Naming(("people",))), "who was told, by their names in the register", ()
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Reachable:
    """A conductor that someone at the place can touch."""

    antenna: str = needed(Naming(("antennas", "feed-lines")), "which antenna or feed line")
    what: str = needed(Words(), "which part of it")
    bare: bool = needed(YesNo(), "whether it is bare metal, or insulated only for weather")
    distance: Quantity | None = maybe(LENGTH, "how far it is from where people are")


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A place where people can be."""

    name: str
    is_: str = needed(Words(), "what place it is")
    at: Position = needed(
        At(), "the nearest point where someone can stand: [x, y, z], z the height of the floor"
    )
    tall: Quantity = needed(
        Measure("length", most="5 m"), "how far above that floor a head or hand can be, as 2 m"
    )
    environment: str = needed(
        OneOf(("controlled", "uncontrolled")), "controlled only where all are trained and aware"
    )
    who: tuple[str, ...] = needed(
        Many(OneOf(("operator", "household", "neighbours", "visitors", "public", "workers"))),
        "who can be there",
    )
    training: Training | None = maybe(Entry(Training), "the training, where it is controlled")
    within_reach: tuple[Reachable, ...] | None = maybe(
        NoneOr(Many(Entry(Reachable))), "conductors within reach, or none"
    )

    @property
    def is_controlled(self) -> bool:
        """Whether the limits for the controlled environment are claimed."""
        return self.environment == "controlled"

    def problems(self) -> Iterator[tuple[str, str]]:
        """Yield what cannot be claimed."""
        if self.is_controlled and self.training is None:
            yield (
                "environment",
                "controlled is claimed without training; add training: or change it",
            )
        untold = sorted({"neighbours", "public"} & set(self.who))
        if self.is_controlled and untold:
            yield "who", f"{untold[0]} cannot be where only trained people are; use uncontrolled"
        if not self.is_controlled and self.training is not None:
            yield "training", "training changes nothing at an uncontrolled place; leave it out"

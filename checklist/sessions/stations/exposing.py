"""A station's exposure looked at: read, evaluated, remedies sought, drawn."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from checklist.calculations.exposure import (
    Evaluation,
    Figures,
    LimitSet,
    Remedies,
    evaluate,
    figures,
    load_limits,
)
from checklist.calculations.exposure.held import Contribution, totals
from checklist.calculations.exposure.limits import Tier
from checklist.calculations.exposure.look import at_point
from checklist.calculations.exposure.model import Point, Scene
from checklist.calculations.exposure.needing import needed_remedies
from checklist.calculations.exposure.onfile import OnFile
from checklist.calculations.kinds import Outcome
from checklist.rulebook import Book
from checklist.sessions.desk import Desk
from checklist.sessions.stations.stationfile import read_station_file
from checklist.station import Station
from checklist.station.scene import StationScene, scene_of
from checklist.stopping import Stop

Progress = Callable[[str, int, int], None]
"""Hears what is being worked on, how much of it is done, and of how much."""


@dataclass(frozen=True, slots=True)
class Described:
    """A station with everything that its exposure is found from."""

    station: Station
    scene_made: StationScene
    limits: LimitSet
    figures: Figures
    book: Book

    @property
    def scene(self) -> Scene:
        """The station as the engine sees it."""
        return self.scene_made.scene

    @property
    def margin(self) -> float:
        """The share of the limit above which a place is near it; remedies aim at that."""
        return self.figures["near_the_limit"]


@dataclass(frozen=True, slots=True)
class Exposed:
    """A station with its evaluation."""

    described: Described
    evaluation: Evaluation

    @property
    def assumptions(self) -> tuple[str, ...]:
        """What the evaluation assumed, and what was assumed to make its scene."""
        return (*self.described.scene_made.assumptions, *self.evaluation.assumptions)


@dataclass(frozen=True, slots=True)
class AtPoint:
    """What every emission does at one point, and their sum by tier."""

    point: Point
    found: tuple[Contribution, ...]
    shares: dict[Tier, float | None]
    """The sum of the fractions of the limit; None where something is not shown."""

    @property
    def outcome(self) -> Outcome:
        """Against the uncontrolled limit, the stricter one: over beats not shown."""
        share = self.shares[Tier.UNCONTROLLED]
        if share is not None and share > 1:
            return Outcome.OVER
        open_ones = share is None or any(c.refused for c in self.found)
        return Outcome.NOT_SHOWN if open_ones else Outcome.WITHIN


def describe(desk: Desk, path: Path) -> Described:
    """Return the station in the file with the limits it names and the values in use.

    Raises StandclearError for a file, a set of limits or a geometry that cannot be used.
    """
    library = desk.library
    book = library.book()
    sets = load_limits(library.limit_texts()[0], book.sources, library.limit_texts()[1])
    station = read_station_file(desk, path, book, sets)
    numbers = figures(book)
    return Described(station, scene_of(station, numbers), sets[station.law.limits], numbers, book)


def expose(described: Described, progress: Progress, stop: Stop | None = None) -> Exposed:
    """Return the evaluation of the station; raises Stopped soon after `stop` returns true."""

    def tell(done: int, of: int) -> None:
        progress("places", done, of)

    found = evaluate(described.scene, described.limits, described.book, tell, stop)
    return Exposed(described, found)


def remedies_for(
    exposed: Exposed, share: float | None, progress: Progress, stop: Stop | None = None
) -> tuple[Remedies, ...]:
    """Return what would bring each place that is over, near or not shown to `share` of the limit.

    Without a share: to where a place is no longer called near the limit. Raises Stopped soon
    after `stop` returns true.
    """
    described = exposed.described
    wanted = described.margin if share is None else share

    def tell(done: int, of: int) -> None:
        progress("remedies", done, of)

    return needed_remedies(exposed.evaluation, described.book, wanted, tell, stop)


def on_file(exposed: Exposed, found: tuple[Remedies, ...]) -> OnFile:
    """Return an evaluation with its remedies as a page takes it."""
    described = exposed.described
    assumptions = described.scene_made.assumptions
    return OnFile(described.station.name, exposed.evaluation, assumptions, found)


def look_at_point(described: Described, point: Point) -> AtPoint:
    """Return E, H and S of each emission at one point, in metres, and the shares of both tiers."""
    by_tier = {
        tier: at_point(described.scene, point, tier, described.limits, described.figures)
        for tier in Tier
    }
    shares = {tier: _sum(found) for tier, found in by_tier.items()}
    return AtPoint(point, by_tier[Tier.UNCONTROLLED], shares)


def _sum(found: tuple[Contribution, ...]) -> float | None:
    most = max(totals(found).values(), default=None)
    is_open = any(c.refused for c in found)
    return None if is_open and (most is None or most <= 1) else most

"""The evaluation of a whole station: each place, each zone, exemption, burns, and the whole."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from checklist.calculations.exposure.burns import burns, touchable_by_others
from checklist.calculations.exposure.categories import CATEGORIES, SIGN_CONTENT, Category
from checklist.calculations.exposure.exempt import Exemption
from checklist.calculations.exposure.exempting import exemption
from checklist.calculations.exposure.figures import Figures, figures
from checklist.calculations.exposure.limits import LimitSet, Tier
from checklist.calculations.exposure.model import Place, Scene
from checklist.calculations.exposure.places import SAR, Total, held_to_body, judge, tier_of
from checklist.calculations.exposure.saying import (
    clubs_own,
    not_shown,
    percent,
    place_says,
    unverified,
)
from checklist.calculations.exposure.search import first_height_m, first_step_m
from checklist.calculations.exposure.zones import Zone, zones
from checklist.calculations.kinds import Outcome
from checklist.errors import StandclearError
from checklist.rulebook import Book, Cited, Standing
from checklist.stopping import Stop, stoppable

VERSION = 2
"""Raised whenever the same scene could give another result."""

TOLERANCE_DB = 0.01
"""How far a rerun of the same version may differ: another machine's linear algebra."""

NOT_MODELLED = (
    "The body itself, which changes the field it stands in.",
    "Radiation from the feed line and from current on its shield.",
    "Loss in the conductors of an antenna given by its wires: all power counts as radiated.",
    "Buildings, fences, gutters, vehicles and other metal nearby, which can raise the field.",
    "Averaging over the body: the worst point of it counts.",
    "Contact currents, and implanted devices: their maker or a doctor knows.",
)


class SceneRefused(StandclearError):
    """A station, an emission or a place cannot be meant as it was given."""


@dataclass(frozen=True, slots=True)
class PlaceResult:
    """What was found at one place."""

    place: Place
    tier: Tier
    outcome: Outcome
    """Of the fields and of what can be touched, together."""

    total: Total
    says: str
    """One sentence: fraction, deciding emission, quantity beside limit, method."""

    stops: tuple[str, ...]
    cautions: tuple[str, ...]
    farther_m: float | None
    """How much farther away the limit would be met; 0 where it is; None where not shown."""

    higher_m: float | None
    """How much higher the deciding antenna would meet it; 0 where it does; None: not shown."""


@dataclass(frozen=True, slots=True)
class Evaluation:
    """The answer for a station under one set of limits."""

    version: int
    """Of the engine that made it."""

    scene: Scene
    """What was evaluated."""

    limits: LimitSet
    outcome: Outcome
    says: str
    places: tuple[PlaceResult, ...]
    zones: tuple[Zone, ...]
    categories: tuple[Category, ...]
    """What the zones' categories ask for: sign and control, in rising order."""

    sign_content: str
    """What every sign shows."""

    exemption: Exemption | None
    """None under limits that are not those of 47 CFR."""

    stops: tuple[str, ...]
    cautions: tuple[str, ...]
    assumptions: tuple[str, ...]
    not_modelled: tuple[str, ...]
    used: tuple[Cited, ...]


def evaluate(
    scene: Scene,
    limits: LimitSet,
    book: Book,
    progress: Callable[[int, int], None] | None = None,
    stop: Stop | None = None,
) -> Evaluation:
    """Return the evaluation of a scene; pure, apart from telling `progress` how far it is.

    Raises SceneRefused or PowerRefused where a number cannot be meant, and Stopped soon after
    `stop` returns true. Unknown power, gain or geometry outside what a method covers is *not
    shown*, never within.
    """
    with stoppable(stop):
        return _evaluated(scene, limits, book, progress)


def _evaluated(
    scene: Scene,
    limits: LimitSet,
    book: Book,
    progress: Callable[[int, int], None] | None,
) -> Evaluation:
    _refuse_impossible(scene)
    numbers = figures(book)
    results = []
    for done, place in enumerate(scene.places, 1):
        results.append(at_place(scene, place, limits, numbers))
        if progress:
            progress(done, len(scene.places))
    handheld = tuple(
        f"{e.name}: not shown, {SAR}." for e in scene.emissions if held_to_body(e, numbers)
    )
    outcome = _whole([r.outcome for r in results], bool(handheld))
    return Evaluation(
        version=VERSION,
        scene=scene,
        limits=limits,
        outcome=outcome,
        says=_says(results, outcome, handheld),
        places=tuple(results),
        zones=zones(scene.emissions, scene.ground, limits, numbers),
        categories=CATEGORIES,
        sign_content=SIGN_CONTENT,
        exemption=exemption(scene, limits, numbers, book),
        stops=(*(s for r in results for s in r.stops), *handheld),
        cautions=(
            *clubs_own(limits),
            *dict.fromkeys(c for r in results for c in r.cautions),
        ),
        assumptions=_assumptions(scene, results),
        not_modelled=NOT_MODELLED,
        used=_used(results, numbers),
    )


def at_place(scene: Scene, place: Place, limits: LimitSet, numbers: Figures) -> PlaceResult:
    """Return what is found at one place, with how far it or the antenna would have to move."""
    tier, claimed = tier_of(place)
    total = judge(scene.emissions, place, scene.ground, limits, numbers)
    burning, burn_cautions = burns(scene, place, numbers)
    stops = [*burning, *(not_shown(place, c) for c in total.contributions if c.refused)]
    if total.outcome is Outcome.OVER:
        stops.append(f"{place.name}: {percent(total.fraction or 0)} of the limit, at most 100 %.")
    if not total.contributions:
        stops.append(f"{place.name}: not shown, there is no emission to evaluate.")
    cautions = [*burn_cautions, claimed] if claimed else [*burn_cautions]
    met = total.outcome is Outcome.WITHIN
    if met and (total.fraction or 0) > numbers["near_the_limit"]:
        cautions.append(f"{place.name}: {percent(total.fraction or 0)} of the limit is near it.")
    if met:
        cautions.extend(unverified(total, limits))
    return PlaceResult(
        place,
        tier,
        _outcome(place, total, bool(burning)),
        total,
        place_says(place, total, limits),
        tuple(stops),
        tuple(cautions),
        0.0 if met else first_step_m(scene, place, total, limits, numbers, 1.0),
        0.0 if met else first_height_m(scene, place, total, limits, numbers, 1.0),
    )


def _outcome(place: Place, total: Total, burning: bool) -> Outcome:
    if touchable_by_others(place):
        return Outcome.OVER
    return Outcome.NOT_SHOWN if burning and total.outcome is Outcome.WITHIN else total.outcome


def _whole(outcomes: list[Outcome], handheld: bool) -> Outcome:
    if Outcome.OVER in outcomes:
        return Outcome.OVER
    if not outcomes or Outcome.NOT_SHOWN in outcomes or handheld:
        return Outcome.NOT_SHOWN
    return Outcome.WITHIN


def _says(results: list[PlaceResult], outcome: Outcome, handheld: tuple[str, ...]) -> str:
    """Return the outcome with the place that decides it, or with the handheld that does."""
    if not results:
        return "Not shown: no place where people can be was given."
    alike = [r for r in results if r.outcome is outcome]
    if not alike:
        return f"The whole station: {outcome}. {handheld[0]}"
    worst = max(alike, key=lambda r: r.total.fraction or 0.0)
    if worst.outcome is not worst.total.outcome:  # what can be touched decides, not the fields
        return f"The whole station: {outcome}. {worst.stops[0]}"
    highest = "Highest at " if outcome is Outcome.WITHIN else ""
    return f"The whole station: {outcome}. {highest}{worst.says}"


def _assumptions(scene: Scene, results: list[PlaceResult]) -> tuple[str, ...]:
    said: dict[str, None] = {}
    for result in results:
        for contribution in result.total.contributions:
            strength, power = contribution.strength, contribution.power
            texts = (strength.why, *strength.assumptions) if strength else ()
            for text in (*texts, *(power.assumptions if power else ())):
                said.setdefault(f"{contribution.emission}: {text}")
    return (
        "All transmitters are taken to be on together; one transmitter has one emission at a time.",
        f"What lies below: {scene.ground}.",
        *said,
    )


def _used(results: list[PlaceResult], numbers: Figures) -> tuple[Cited, ...]:
    # What is from memory counts only where it took part: named elsewhere, it would warn of nothing.
    known = (c for c in numbers.cited.values() if c.standing is not Standing.MEMORY)
    used = {c.address: c for c in known}
    for result in results:
        for contribution in result.total.contributions:
            used |= {c.address: c for c in contribution.used}
    return tuple(used.values())


def _refuse_impossible(scene: Scene) -> None:
    for emission in scene.emissions:
        if not (math.isfinite(emission.frequency_hz) and emission.frequency_hz > 0):
            raise SceneRefused(
                f"a frequency of {emission.frequency_hz:g} Hz cannot be meant",
                where=emission.name,
                right="Give the frequency, as 14.2 MHz.",
            )
    for place in scene.places:
        numbers = (place.x_m, place.y_m, place.low_m, place.high_m)
        if not all(map(math.isfinite, numbers)) or place.high_m < place.low_m:
            raise SceneRefused(
                f"a body from {place.low_m:g} m to {place.high_m:g} m cannot be meant",
                where=place.name,
                right="Give the height of the floor, then of the top of the head.",
            )
    names = [e.name for e in scene.emissions]
    twice = next((n for n in names if names.count(n) > 1), None)
    if twice:
        raise SceneRefused(f"two emissions are called “{twice}”", right="Give each its own name.")

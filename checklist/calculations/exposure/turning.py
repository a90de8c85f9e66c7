"""Which directions of an antenna keep a place at a share of the limit."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import takewhile

from checklist.calculations.exposure.figures import Figures
from checklist.calculations.exposure.held import Contribution
from checklist.calculations.exposure.limits import LimitSet
from checklist.calculations.exposure.model import Emission, Place, Scene, Wires
from checklist.calculations.exposure.places import (
    Total,
    contribution,
    judge,
    summed,
    tier_of,
)
from checklist.calculations.exposure.search import is_met
from checklist.calculations.exposure.variants import middle, turned, with_antenna

_STEP_DEG = 15

Arc = tuple[float, float, Scene]
"""First and last turn in degrees to the left, and the scene turned by their middle."""


def good_arcs(
    scene: Scene,
    place: Place,
    emission: Emission,
    limits: LimitSet,
    figures: Figures,
    share: float,
) -> list[Arc]:
    """Return the arcs of turns, in steps of 15 degrees, that all keep the share.

    Empty where the direction is unknown or free, no pattern is known, or nothing is gained.
    """
    antenna = emission.antenna
    if not isinstance(antenna, Wires) and (antenna.azimuth_deg is None or not antenna.pattern):
        return []
    base = judge(scene.emissions, place, scene.ground, limits, figures).contributions
    turns = range(0, 360, _STEP_DEG)
    good = [
        is_met(summed(_turned(base, scene, place, emission, limits, figures, t)), share)
        for t in turns
    ]
    if all(good) or not any(good):
        return []
    return [
        (first, last, _scene_turned(scene, antenna.name, (first + last) / 2))
        for first, last in _arcs(good)
    ]


def good_sectors(scene: Scene, emission: Emission, total: Total, share: float) -> list[Arc]:
    """Return the sectors of bearings, clockwise, in which a beam that turns keeps the share.

    Of the headings that the beam counts at; `total` is what they all do at the place. First and
    last bearing in degrees, and the scene with these headings alone.
    """
    name = emission.antenna.name
    bearings = [
        e.bearing_deg
        for e in scene.emissions
        if e.heading_of == emission.heading_of and e.bearing_deg is not None
    ]

    def kept(chosen: set[float]) -> list[bool]:
        return [e.antenna.name != name or e.bearing_deg in chosen for e in scene.emissions]

    def met(bearing: float) -> bool:
        stays = zip(total.contributions, kept({bearing}), strict=True)
        return is_met(summed(tuple(c for c, stay in stays if stay)), share)

    good = [met(bearing) for bearing in bearings]
    if all(good) or not any(good):
        return []
    step = bearings[1] - bearings[0]
    is_circle = abs(len(bearings) * step - 360) < step / 2
    sectors = []
    for run in _runs(good, is_circle=is_circle):
        chosen = {bearings[i] for i in run}
        stays = zip(scene.emissions, kept(chosen), strict=True)
        left = replace(scene, emissions=tuple(e for e, stay in stays if stay))
        sectors.append((bearings[run[0]], bearings[run[-1]], left))
    return sectors


def _runs(good: list[bool], *, is_circle: bool) -> list[list[int]]:
    """Return the runs of good ones by their places in the list, over its end on a circle."""
    count = len(good)
    begins = [i for i in range(count) if good[i] and not (good[i - 1] and (i or is_circle))]
    runs = []
    for begin in begins:
        after = (begin + n for n in range(count) if is_circle or begin + n < count)
        runs.append([i % count for i in takewhile(lambda i: good[i % count], after)])
    return runs


def _scene_turned(scene: Scene, name: str, degrees: float) -> Scene:
    return with_antenna(scene, name, lambda antenna: turned(antenna, degrees))


def _turned(
    base: tuple[Contribution, ...],
    scene: Scene,
    place: Place,
    emission: Emission,
    limits: LimitSet,
    figures: Figures,
    degrees: float,
) -> tuple[Contribution, ...]:
    """Return the contributions with one antenna turned; the others stand as they are.

    Wires are not turned: the place goes round them the other way, so that their currents
    are found once.
    """
    tier, _ = tier_of(place)
    name = emission.antenna.name
    result = []
    for one, before in zip(scene.emissions, base, strict=True):
        if one.antenna.name != name:
            result.append(before)
        elif isinstance(one.antenna, Wires):
            there = _around(place, middle(one.antenna), -degrees)
            result.append(contribution(one, there, tier, scene.ground, limits, figures))
        else:
            other = replace(one, antenna=turned(one.antenna, degrees))
            result.append(contribution(other, place, tier, scene.ground, limits, figures))
    return tuple(result)


def _around(place: Place, centre: tuple[float, float, float], degrees: float) -> Place:
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    dx, dy = place.x_m - centre[0], place.y_m - centre[1]
    return replace(place, x_m=centre[0] + c * dx - s * dy, y_m=centre[1] + s * dx + c * dy)


def _arcs(good: list[bool]) -> list[tuple[float, float]]:
    """Return runs of good steps around the circle, as first and last turn; last may pass 360."""
    count = len(good)
    starts = [i for i in range(count) if good[i] and not good[i - 1]]
    arcs = []
    for start in starts:
        length = next(n for n in range(1, count + 1) if not good[(start + n) % count])
        arcs.append((float(start * _STEP_DEG), float((start + length - 1) * _STEP_DEG)))
    return arcs

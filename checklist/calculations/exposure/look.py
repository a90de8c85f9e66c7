"""The same numbers over many points: maps, sections, and curves over distance.

For looking, not for judging: the mesh is not checked at each point, and a point has no body.
A place is judged by `evaluate`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from checklist.calculations.exposure.figures import Figures
from checklist.calculations.exposure.held import Contribution, Held, hold
from checklist.calculations.exposure.limits import LimitSet, NotCovered, Tier
from checklist.calculations.exposure.model import Emission, Place, Point, Scene, Wires
from checklist.calculations.exposure.places import contribution, summed
from checklist.calculations.exposure.power import power_at_antenna
from checklist.calculations.exposure.strength import Refused, Strength


def fractions(
    scene: Scene, points: Sequence[Point], tier: Tier, limits: LimitSet, figures: Figures
) -> list[float | None]:
    """Return the fraction of the limit at each point, or None where it is not shown.

    All that can be on together is summed; points in metres.
    """
    columns = [_along(e, scene, points, tier, limits, figures) for e in scene.emissions]
    result: list[float | None] = []
    for i in range(len(points)):
        total = summed(tuple(column[i] for column in columns))
        shown = total.fraction is not None and not any(c.refused for c in total.contributions)
        over = total.fraction is not None and total.fraction > 1
        result.append(total.fraction if shown or over else None)
    return result


def over_distance(
    scene: Scene,
    place: Place,
    origin: Point,
    distances_m: Sequence[float],
    limits: LimitSet,
    figures: Figures,
) -> dict[Tier, list[float | None]]:
    """Return for both tiers the fraction at level distances from `origin` toward a place.

    At each distance the worst of the heights of the place's body, soles, middle and head.
    """
    dx, dy = place.x_m - origin[0], place.y_m - origin[1]
    length = math.hypot(dx, dy)
    x, y = (dx / length, dy / length) if length > 1e-6 else (1.0, 0.0)
    tall = (place.low_m, (place.low_m + place.high_m) / 2, place.high_m)
    points = [(origin[0] + d * x, origin[1] + d * y, z) for d in distances_m for z in tall]
    curves: dict[Tier, list[float | None]] = {}
    for tier in Tier:
        found = fractions(scene, points, tier, limits, figures)
        groups = [found[i : i + len(tall)] for i in range(0, len(found), len(tall))]
        curves[tier] = [None if None in g else max(f for f in g if f is not None) for g in groups]
    return curves


def at_point(
    scene: Scene, point: Point, tier: Tier, limits: LimitSet, figures: Figures
) -> tuple[Contribution, ...]:
    """Return what each emission does at one point: E, H and S by `Contribution.fields`."""
    place = _spot(point)
    return tuple(
        contribution(e, place, tier, scene.ground, limits, figures) for e in scene.emissions
    )


def _along(
    emission: Emission,
    scene: Scene,
    points: Sequence[Point],
    tier: Tier,
    limits: LimitSet,
    figures: Figures,
) -> list[Contribution]:
    if not isinstance(emission.antenna, Wires):
        return [
            contribution(emission, _spot(p), tier, scene.ground, limits, figures) for p in points
        ]
    # numpy costs more to import than a station without wires takes to evaluate.
    from checklist.calculations.exposure import shells

    strengths = shells.strengths(
        emission.antenna, emission.frequency_hz, points, scene.ground, figures
    )
    return [_held(emission, s, tier, limits, figures) for s in strengths]


def _held(
    emission: Emission,
    found: Strength | Refused,
    tier: Tier,
    limits: LimitSet,
    figures: Figures,
) -> Contribution:
    power = power_at_antenna(emission, figures)
    refused = found if isinstance(found, Refused) else None
    strength = None if isinstance(found, Refused) else found
    if power is None:
        refused = refused or Refused("its power is unknown", "Give the power at the transmitter.")
    held: tuple[Held, ...] = ()
    if strength and power:
        try:
            rows = limits.at(emission.frequency_hz, tier)
            held = tuple(hold(strength, power, emission, tier, row, figures) for row in rows)
        except NotCovered as error:
            refused = Refused(error.what, error.right)
    return Contribution(
        emission.name,
        emission.transmitter,
        emission.antenna.name,
        strength.distance_m if strength else None,
        power,
        strength,
        held,
        refused,
        heading_of=emission.heading_of,
    )


def _spot(point: Point) -> Place:
    return Place("", point[0], point[1], point[2], point[2], controlled=False)

"""What the plots of an exposure evaluation show: share over distance, limits over frequency."""

from __future__ import annotations

import math
from collections.abc import Sequence

from checklist.calculations.exposure.evaluate import Evaluation, PlaceResult
from checklist.calculations.exposure.figures import Figures
from checklist.calculations.exposure.held import DENSITY, Contribution, Held
from checklist.calculations.exposure.limits import Limit, LimitSet, NotCovered, Tier
from checklist.calculations.exposure.look import over_distance
from checklist.calculations.exposure.model import Emission, Scene
from checklist.calculations.exposure.saying import percent
from checklist.calculations.exposure.variants import middle
from checklist.pictures.axes import Axis
from checklist.pictures.plots import Curve, Level, Plot, Spot, letter

MARKS = {Tier.CONTROLLED: "c", Tier.UNCONTROLLED: "u"}
NEAREST_M, FARTHEST_M = 0.5, 60.0
"""Over which distances the share is drawn at least, in metres."""

LOWEST_HZ, HIGHEST_HZ = 1e5, 1e11
"""Over which frequencies limits are drawn, wider where an emission lies outside."""

_LEAST_SHARE = 1e-4


def share_over_distance(
    scene: Scene, result: PlaceResult, limits: LimitSet, figures: Figures, points: int = 140
) -> Plot | None:
    """Return the share of the limit against level distance from the antenna toward a place.

    The antenna is that of the deciding emission, else of the first; None without emissions.
    Everything that can be on together is counted, each tier by what it allows to average.
    """
    emission = _emission(scene, result)
    if emission is None:
        return None
    origin = middle(emission.antenna)
    place = result.place
    here = math.hypot(place.x_m - origin[0], place.y_m - origin[1])
    far = max(FARTHEST_M, 2 * here)
    distances = _spread(NEAREST_M, far, points)
    found = over_distance(scene, place, origin, distances, limits, figures)
    curves = tuple(
        Curve(f"{tier} limit", MARKS[tier], tuple(zip(distances, found[tier], strict=True)))
        for tier in Tier
    )
    shares = [y for curve in curves for _, y in curve.points if y is not None and y > 0]
    spots = _here(result, here) if result.total.fraction is not None else ()
    shares += [spot.y for spot in spots if spot.y > 0]
    return Plot(
        f"Share of the limit from {emission.antenna.name} toward {place.name}",
        Axis("level distance from the middle of the antenna, m", NEAREST_M, far, is_log=True),
        Axis("share of the limit (1 is the limit)", *_decades([*shares, 1.0]), is_log=True),
        curves,
        (Level(1.0, "the limit"),),
        spots,
        (
            "From soles to head the worst counts; all that can be on together is summed.",
            f"Limits: {limits.citation()}.",
        ),
    )


def limits_over_frequency(
    scene: Scene, evaluation: Evaluation, figures: Figures, points: int = 140
) -> Plot:
    """Return both tiers' limits against frequency, with each emission at the place it counts most.

    As power density of a plane wave, the strictest column; an emission stands as far below
    the limit of its place as its share says.
    """
    limits = evaluation.limits
    known = [e.frequency_hz for e in scene.emissions]
    low, high = min([LOWEST_HZ, *known]), max([HIGHEST_HZ, *known])
    frequencies = _spread(low, high, points)
    unit = limits.density_unit
    curves = []
    for tier in Tier:
        along = [_at(limits, f, tier, figures) for f in frequencies]
        shown = tuple((f / 1e6, s * DENSITY[unit]) for f, s in zip(frequencies, along, strict=True)
                      if s is not None)  # fmt: skip
        if shown:
            curves.append(Curve(f"{tier} limit", MARKS[tier], shown))
    spots, notes = _emissions(scene, evaluation, figures)
    values = [y for c in curves for _, y in c.points if y] + [s.y for s in spots if s.y > 0]
    return Plot(
        f"Limits of {limits.citation()}",
        Axis("frequency, MHz", low / 1e6, high / 1e6, is_log=True),
        Axis(f"power density of a plane wave, {unit}", *_decades(values or [1.0]), is_log=True),
        tuple(curves),
        (),
        spots,
        (*notes, "Where no mark stands the set has no row, and nothing is extrapolated."),
    )


def _emission(scene: Scene, result: PlaceResult) -> Emission | None:
    deciding = result.total.deciding
    named = (e for e in scene.emissions if deciding and e.name == deciding.emission)
    return next(named, scene.emissions[0] if scene.emissions else None)


def _here(result: PlaceResult, distance_m: float) -> tuple[Spot, ...]:
    share = result.total.fraction or 0.0
    said = f"{result.place.name}: {percent(share)} of the {result.tier} limit"
    return (Spot(letter(0), distance_m, share, said),)


def _emissions(
    scene: Scene, evaluation: Evaluation, figures: Figures
) -> tuple[tuple[Spot, ...], list[str]]:
    spots, notes = [], []
    for number, emission in enumerate(scene.emissions):
        found = _highest(evaluation, emission.name)
        at = None
        if found:
            at = _at(evaluation.limits, emission.frequency_hz, found[0].tier, figures)
        said = f"{emission.name}, {emission.frequency_hz / 1e6:.6g} MHz"
        if found is None or at is None:
            notes.append(f"{said}: not shown at any place.")
            continue
        result, share = found
        density = share * at * DENSITY[evaluation.limits.density_unit]
        said += f": {percent(share)} of the {result.tier} limit at {result.place.name}"
        spots.append(Spot(letter(number), emission.frequency_hz / 1e6, density, said))
    return tuple(spots), notes


def _highest(evaluation: Evaluation, emission: str) -> tuple[PlaceResult, float] | None:
    """Return the place where an emission takes most of an averaged limit, and that share."""
    shares = [
        (result, held.fraction)
        for result in evaluation.places
        for contribution in result.total.contributions
        if contribution.emission == emission
        for held in _averaged(contribution)
    ]
    return max(shares, key=lambda s: s[1]) if shares else None


def _averaged(contribution: Contribution) -> list[Held]:
    return [held for held in contribution.held if held.averaging_s is not None]


def _at(limits: LimitSet, frequency_hz: float, tier: Tier, figures: Figures) -> float | None:
    try:
        rows = limits.at(frequency_hz, tier)
    except NotCovered:
        return None
    found = [s for row in rows if row.averaging_s for s in _densities(row, figures)]
    return min(found) if found else None


def _densities(row: Limit, figures: Figures) -> list[float]:
    """Return each column as the power density of a plane wave, in W/m2."""
    eta = figures["plane_wave_ohm"]
    found = [row.s_w_m2, row.se_w_m2, row.sh_w_m2]
    found += [row.e_v_m**2 / eta if row.e_v_m else None]
    found += [row.h_a_m**2 * eta if row.h_a_m else None]
    return [value for value in found if value]


def _spread(low: float, high: float, points: int) -> list[float]:
    ratio = high / low
    return [low * ratio ** (i / (points - 1)) for i in range(points)]


def _decades(values: Sequence[float]) -> tuple[float, float]:
    """Return the powers of ten around the values; far below the limit nothing is drawn."""
    low, high = max(min(values), _LEAST_SHARE), max(values)
    first, last = math.floor(math.log10(low)), math.ceil(math.log10(high) + 1e-9)
    return 10.0**first, 10.0 ** max(last, first + 1)

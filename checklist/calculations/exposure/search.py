"""How far a place must move, or an antenna rise, until the limit is met."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from checklist.calculations.exposure.figures import Figures
from checklist.calculations.exposure.limits import LimitSet
from checklist.calculations.exposure.model import Antenna, Place, Scene, Wires
from checklist.calculations.exposure.places import (
    Total,
    contribution,
    judge,
    summed,
    tier_of,
)
from checklist.calculations.exposure.variants import middle, moved, raised, with_antenna
from checklist.calculations.kinds import Outcome

# fmt: off
STEPS_M = (0.25, 0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 6.0, 8.0, 12.0, 16.0, 24.0, 32.0, 48.0, 64.0,
           96.0, 128.0, 192.0)
# fmt: on
HEIGHTS_M = (0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 6.0, 8.0, 12.0, 16.0, 24.0, 32.0)
HEIGHTS_OF_WIRES_M = (1.0, 2.0, 4.0, 8.0, 16.0, 32.0, 64.0)
"""Fewer: over ground the currents are found anew at each height."""

_REFINEMENTS = 4


def is_met(total: Total, share: float) -> bool:
    """Return whether everything is shown and at no more than `share` of the limit."""
    return (
        total.outcome is Outcome.WITHIN and total.fraction is not None and total.fraction <= share
    )


def first_step_m(
    scene: Scene, place: Place, total: Total, limits: LimitSet, figures: Figures, share: float
) -> float | None:
    """Return how many metres farther from the deciding antenna `share` is met and stays met.

    `total` is what was found at the place. None where no step up to 192 m does, or where it is
    not shown.
    """
    antenna = _decisive(scene, total)
    if antenna is None:
        return None
    origin = middle(antenna)

    def good(metres: float) -> bool | None:
        there = moved(place, origin, metres)
        return _state(judge(scene.emissions, there, scene.ground, limits, figures), share)

    return _first(good, STEPS_M, _REFINEMENTS)


def first_height_m(
    scene: Scene, place: Place, total: Total, limits: LimitSet, figures: Figures, share: float
) -> float | None:
    """Return how many metres higher the deciding antenna meets `share`, and stays so above.

    `total` is what was found at the place. None where no step does, where it is not shown, or
    where the antenna stands on the ground and cannot rise.
    """
    antenna = _decisive(scene, total)
    if antenna is None:
        return None
    if isinstance(antenna, Wires) and any(
        abs(p[2]) < 1e-3 for w in antenna.wires for p in (w.start, w.end)
    ):
        return None
    name = antenna.name

    def good(metres: float) -> bool | None:
        higher = with_antenna(scene, name, lambda a: raised(a, metres))
        return _state(again(higher, total, name, place, limits, figures), share)

    return _first(good, HEIGHTS_OF_WIRES_M if isinstance(antenna, Wires) else HEIGHTS_M, 0)


def again(
    changed: Scene, before: Total, antenna: str, place: Place, limits: LimitSet, figures: Figures
) -> Total:
    """Return the total where one antenna was changed; what others do at the place stands."""
    tier, _ = tier_of(place)
    return summed(
        tuple(
            contribution(e, place, tier, changed.ground, limits, figures)
            if e.antenna.name == antenna
            else stood
            for e, stood in zip(changed.emissions, before.contributions, strict=True)
        )
    )


def _state(total: Total, share: float) -> bool | None:
    """Return whether a share is met; None where nothing is over it and not all is shown."""
    if is_met(total, share):
        return True
    is_open = total.outcome is Outcome.NOT_SHOWN and (total.fraction or 0.0) <= share
    return None if is_open else False


def _first(
    good: Callable[[float], bool | None], steps: Sequence[float], refinements: int
) -> float | None:
    """Return the least good step above which none is bad, refined against the one below.

    Steps where nothing is shown (an antenna too high for the comparison) are passed over,
    and never returned.
    """
    found, below = None, 0.0
    for step in reversed(steps):
        state = good(step)
        if state:
            found = step
        elif found is not None or state is False:
            below = step
            break
    if found is None:
        return None
    for _ in range(refinements):
        halfway = (below + found) / 2
        if good(halfway):
            found = halfway
        else:
            below = halfway
    return found


def _decisive(scene: Scene, total: Total) -> Antenna | None:
    if any(c.power is None for c in total.contributions):
        return None  # an unknown power is unknown everywhere: no step would show anything
    refused = [c.emission for c in total.contributions if c.refused]
    deciding = total.deciding
    name = deciding.emission if deciding else (refused[0] if refused else None)
    return next((e.antenna for e in scene.emissions if e.name == name), None)

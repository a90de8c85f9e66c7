"""Radio-frequency burns: bare conductors that people can touch."""

from __future__ import annotations

import math

from checklist.calculations.exposure.figures import Figures
from checklist.calculations.exposure.geometry import antenna_distance_m
from checklist.calculations.exposure.model import Place, Scene


def touchable_by_others(place: Place) -> bool:
    """Return whether somebody other than the operator can touch a bare conductor."""
    return bool(place.conductors_in_reach) and not place.operator_only


def burns(scene: Scene, place: Place, figures: Figures) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return stops and cautions; a burn needs little power, so that power plays no part.

    Common practice, no source; IEEE C95.1 limits contact currents for the same reason.
    """
    where = place.name
    if touchable_by_others(place):
        return (
            f"{where}: bare antenna conductors are within reach of others than the operator, and "
            "burn at any power. Insulate or fence them, or raise them out of reach.",
        ), ()
    if place.conductors_in_reach is None and not place.operator_only:
        return (f"{where}: not shown whether bare antenna conductors are within reach.",), ()
    if place.conductors_in_reach is not False:
        return (), (f"{where}: the operator may touch a live conductor; nobody transmits then.",)
    distances = [antenna_distance_m(e.antenna, place) for e in scene.emissions]
    nearest = min((d for d in distances if d is not None), default=math.inf)
    if nearest >= figures["arm_reach_m"]:
        return (), ()
    return (), (
        f"{where}: conductors are said to be out of reach, yet one is {nearest:.2f} m away; "
        "look again.",
    )

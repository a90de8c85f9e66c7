"""The power density of one antenna over the distance, beside the limit."""

from __future__ import annotations

import math

from checklist.calculations.kinds import Finding, Given
from checklist.pictures.axes import Axis
from checklist.pictures.finished import caption, outputs
from checklist.pictures.plots import Curve, Level, Plot, Spot, letter

_POINTS = 120
_AROUND = 10.0
"""How many times nearer and farther than the place the curve goes at least."""


def density_plot(finding: Finding, given: Given) -> Plot | None:
    """Return the density over distance, not shown nearer than the formula holds; None without one.

    Where the limit is known it is a line across, and the place is a spot on the curve.
    """
    # Loaded late: behind it stands the whole engine of RF exposure.
    from checklist.calculations.exposure.exempt import quasi_static_m

    made = outputs(finding)
    distance, frequency = given.quantity("distance"), given.quantity("frequency")
    if "density" not in made or distance is None or frequency is None:
        return None
    here, least = distance.number("m"), quasi_static_m(frequency.number("Hz"))
    density = made["density"].quantity
    value, unit = float(density.value), density.unit.symbol
    limit = float(density.value) / made["share"].quantity.number("1") if "share" in made else None
    meets = made["meets"].quantity.number("m") if "meets" in made else here
    low, high = min(here, meets, least) / 2, max(here, meets) * _AROUND
    along = [low * (high / low) ** (i / (_POINTS - 1)) for i in range(_POINTS)]
    # The formula falls with the square of the distance, whatever else is in it.
    points = tuple((r, value * (here / r) ** 2 if r >= least else None) for r in along)
    values = [y for _, y in points if y] + [value] + ([limit] if limit else [])
    return Plot(
        "Power density over the distance",
        Axis("distance, m", low, high, is_log=True),
        Axis(f"power density, {unit}", *_decades(min(values), max(values)), is_log=True),
        (Curve("by the formula", "s", points),),
        (Level(limit, "the limit"),) if limit else (),
        (Spot(letter(0), here, value, f"the place, {distance.text()} away"),),
        (
            f"Nearer than {least:.3g} m, a wavelength over 2 pi, the formula is not shown to hold.",
            *caption(finding),
        ),
    )


def _decades(low: float, high: float) -> tuple[float, float]:
    first, last = math.floor(math.log10(low)), math.ceil(math.log10(high) + 1e-9)
    return 10.0**first, 10.0 ** max(last, first + 1)

"""Holds the exposure by one emission against the limits, and adds up what is on together."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from checklist.calculations.exposure.constants import IMPEDANCE
from checklist.calculations.exposure.figures import Figures
from checklist.calculations.exposure.limits import Limit, Tier
from checklist.calculations.exposure.model import Emission
from checklist.calculations.exposure.power import Power, on_fraction, on_time_counts
from checklist.calculations.exposure.strength import Refused, Sort, Strength
from checklist.rulebook import Cited

UNITS = {"E": "V/m", "H": "A/m", "S": "W/m2"}
DENSITY = {"W/m2": 1.0, "mW/cm2": 0.1, "uW/cm2": 100.0}
"""Units of power density in one W/m2, for display."""


@dataclass(frozen=True, slots=True)
class Held:
    """One emission against one table of limits at one place."""

    table: str
    averaging_s: float | None
    """None where the limit holds for every moment; the fraction is then of the field."""

    fraction: float
    """Of the limit, as power density; pauses averaged in where they count."""

    always_on: float
    """The same without any pause."""

    quantity: str
    """`E`, `H` or `S`: which one came nearest to its limit."""

    value: float
    """Averaged, in V/m, A/m or W/m2."""

    limit: float
    power_w: float
    """Averaged, at the antenna."""

    pauses_count: bool


@dataclass(frozen=True, slots=True)
class Contribution:
    """What one emission does at one place, or why that is not shown."""

    emission: str
    transmitter: str
    antenna: str
    distance_m: float | None
    power: Power | None
    strength: Strength | None
    held: tuple[Held, ...] = ()
    refused: Refused | None = None
    used: tuple[Cited, ...] = ()
    heading_of: str = ""
    """The emission of which this is one heading; empty for one that does not turn."""

    @property
    def method(self) -> str:
        """The method used, or `not shown`."""
        return self.strength.method if self.strength else "not shown"

    @property
    def worst(self) -> Held | None:
        """The table in which this emission comes nearest to the limit."""
        return max(self.held, key=lambda h: h.fraction, default=None)

    def fields(self) -> tuple[float, float, float]:
        """Return E in V/m, H in A/m and S in W/m2 while on the air, averaged over the mode."""
        if self.strength is None or self.power is None:
            return (math.nan, math.nan, math.nan)
        watts, eta = self.power.always_on_w, IMPEDANCE
        se, sh = self.strength.se_w_m2 * watts, self.strength.sh_w_m2 * watts
        return math.sqrt(se * eta), math.sqrt(sh / eta), max(se, sh)


def hold(
    strength: Strength,
    power: Power,
    emission: Emission,
    tier: Tier,
    limit: Limit,
    figures: Figures,
) -> Held:
    """Return the exposure by one emission as a fraction of one limit.

    Time-averaged limits get the average power; the ones that hold for every moment the peak.
    """
    quantity, ratio, bound = _nearest(strength, limit, figures)
    if limit.averaging_s is None:
        share, watts = 1.0, power.peak_w
        fraction = always = math.sqrt(ratio * watts)
    else:
        pauses = on_time_counts(emission, tier)
        share = on_fraction(emission.timing, limit.averaging_s) if pauses else 1.0
        watts = power.always_on_w * share
        fraction, always = ratio * watts, ratio * power.always_on_w
    squared = ratio * watts
    value = bound * (squared if quantity == "S" else math.sqrt(squared))
    counts = limit.averaging_s is not None and on_time_counts(emission, tier)
    return Held(
        limit.table, limit.averaging_s, fraction, always, quantity, value, bound, watts, counts
    )


def totals(contributions: Iterable[Contribution]) -> dict[str, float]:
    """Return for each table of limits the sum of the fractions of all that can be on together.

    Emissions of one transmitter are never on at the same moment, yet one averaging time can
    hold them all: their share is the sum of their averages, and at most the largest of them
    without pauses. Of one emission at several headings the worst heading stands for all.
    """
    by_table: dict[str, dict[str, dict[str, list[Held]]]] = {}
    for contribution in contributions:
        emission = contribution.heading_of or contribution.emission
        for held in contribution.held:
            by_transmitter = by_table.setdefault(held.table, {})
            by_emission = by_transmitter.setdefault(contribution.transmitter, {})
            by_emission.setdefault(emission, []).append(held)
    return {
        table: sum(_of_one_transmitter(list(one.values())) for one in transmitters.values())
        for table, transmitters in by_table.items()
    }


def _of_one_transmitter(by_emission: list[list[Held]]) -> float:
    """Return the share of one transmitter, given each of its emissions at every heading."""
    largest = max(h.always_on for headings in by_emission for h in headings)
    if not by_emission[0][0].averaging_s:
        return largest
    # However an emission's time is spread over its headings, it has that time once.
    return min(largest, sum(max(h.fraction for h in headings) for headings in by_emission))


def _nearest(strength: Strength, limit: Limit, figures: Figures) -> tuple[str, float, float]:
    """Return the quantity nearest to its limit, its share for one watt, and the limit itself."""
    se, sh = strength.se_w_m2, strength.sh_w_m2
    eta = IMPEDANCE if strength.sort is Sort.FIELDS else figures["plane_wave_ohm"]
    found = []
    if limit.e_v_m:
        found.append(("E", se * eta / limit.e_v_m**2, limit.e_v_m))
    if limit.h_a_m:
        found.append(("H", sh / eta / limit.h_a_m**2, limit.h_a_m))
    if limit.se_w_m2:
        found.append(("S", se / limit.se_w_m2, limit.se_w_m2))
    if limit.sh_w_m2:
        found.append(("S", sh / limit.sh_w_m2, limit.sh_w_m2))
    # Where both fields were computed and both are limited, the equivalent S says nothing more.
    both = strength.sort is Sort.FIELDS and limit.e_v_m and limit.h_a_m
    if limit.s_w_m2 and not both:
        found.append(("S", max(se, sh) / limit.s_w_m2, limit.s_w_m2))
    return max(found, key=lambda f: f[1])


def _share(held: Held, factor: float) -> float:
    return factor if held.averaging_s else math.sqrt(factor)

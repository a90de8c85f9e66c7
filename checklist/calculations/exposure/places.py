"""What all emissions together do at one place, and whether that is within the limits."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from checklist.calculations.exposure import far
from checklist.calculations.exposure.figures import Figures
from checklist.calculations.exposure.geometry import antenna_distance_m
from checklist.calculations.exposure.held import Contribution, hold, totals
from checklist.calculations.exposure.limits import LimitSet, NotCovered, Tier
from checklist.calculations.exposure.model import (
    ByGain,
    Carried,
    Dish,
    Emission,
    Ground,
    Place,
)
from checklist.calculations.exposure.power import power_at_antenna
from checklist.calculations.exposure.strength import Refused, Strength
from checklist.calculations.kinds import Outcome
from checklist.stopping import go_on

SAR = (
    "within 20 cm of the body of whoever holds it a handheld is a matter of SAR, not of fields, "
    "and no published method shows it here"
)
_SAR_RIGHT = "Keep the antenna 20 cm or more from every body, or do not transmit from it."


@dataclass(frozen=True, slots=True)
class Total:
    """The sum of the fractions at one place, in the table where it is largest."""

    outcome: Outcome
    fraction: float | None
    """Of the limit; None where nothing could be evaluated."""

    table: str
    contributions: tuple[Contribution, ...]

    @property
    def deciding(self) -> Contribution | None:
        """The emission with the largest fraction in the table that decides."""
        shares = [
            (held.fraction, index)
            for index, contribution in enumerate(self.contributions)
            for held in contribution.held
            if held.table == self.table
        ]
        return self.contributions[max(shares)[1]] if shares else None


def tier_of(place: Place) -> tuple[Tier, str]:
    """Return the tier that holds at a place, and a caution where that is not the one claimed."""
    if place.controlled and place.training.strip():
        return Tier.CONTROLLED, ""
    if place.controlled:
        return Tier.UNCONTROLLED, (
            f"{place.name} is claimed as controlled without a training statement: "
            "it is judged as uncontrolled."
        )
    return Tier.UNCONTROLLED, ""


def judge(
    emissions: Sequence[Emission],
    place: Place,
    ground: Ground,
    limits: LimitSet,
    figures: Figures,
) -> Total:
    """Return the sum over all emissions at a place, against the limits of its tier."""
    tier, _ = tier_of(place)
    found = tuple(contribution(e, place, tier, ground, limits, figures) for e in emissions)
    return summed(found)


def summed(contributions: tuple[Contribution, ...]) -> Total:
    """Return the total: over beats not shown, not shown beats within; equal is within."""
    sums = totals(contributions)
    table = max(sums, key=lambda name: sums[name], default="")
    fraction = sums.get(table)
    if fraction is not None and fraction > 1:
        outcome = Outcome.OVER
    elif fraction is None or any(c.refused for c in contributions):
        outcome = Outcome.NOT_SHOWN
    else:
        outcome = Outcome.WITHIN
    return Total(outcome, fraction, table, contributions)


def contribution(
    emission: Emission,
    place: Place,
    tier: Tier,
    ground: Ground,
    limits: LimitSet,
    figures: Figures,
) -> Contribution:
    """Return what one emission does at a place against every table of the tier."""
    go_on()
    antenna = emission.antenna
    distance = antenna_distance_m(antenna, place)
    power = power_at_antenna(emission, figures)
    outcome = _strength(emission, place, distance, ground, figures)
    refused = outcome if isinstance(outcome, Refused) else None
    found = None if isinstance(outcome, Refused) else outcome
    if power is None:
        refused = refused or Refused("its power is unknown", "Give the power at the transmitter.")
    held = []
    if found is not None and power is not None:
        try:
            rows = limits.at(emission.frequency_hz, tier)
            held = [hold(found, power, emission, tier, row, figures) for row in rows]
        except NotCovered as error:
            refused = Refused(error.what, error.right)
    return Contribution(
        emission.name,
        emission.transmitter,
        antenna.name,
        distance,
        power,
        found,
        tuple(held),
        refused,
        power.used if power else (),
        emission.heading_of,
    )


def strength(
    emission: Emission, place: Place, ground: Ground, figures: Figures
) -> Strength | Refused:
    """Return the strength for one watt by the method that is fit for the antenna."""
    if isinstance(emission.antenna, ByGain):
        return far.by_gain(emission.antenna, emission.frequency_hz, place, ground, figures)
    if isinstance(emission.antenna, Dish):
        return far.dish(emission.antenna, emission.frequency_hz, place, ground, figures)
    # numpy costs more to import than a station without wires takes to evaluate.
    from checklist.calculations.exposure import near

    return near.by_wires(emission.antenna, emission.frequency_hz, place, ground, figures)


def _strength(
    emission: Emission,
    place: Place,
    distance: float | None,
    ground: Ground,
    figures: Figures,
) -> Strength | Refused:
    near_body = distance is None or distance < figures["sar_distance_m"]
    if emission.carried is Carried.HANDHELD and near_body:
        return Refused(SAR, _SAR_RIGHT, is_sar=True)
    return strength(emission, place, ground, figures)


def held_to_body(emission: Emission, figures: Figures) -> bool:
    """Return whether a handheld is, or may be, within 20 cm of whoever holds it."""
    if emission.carried is not Carried.HANDHELD:
        return False
    return emission.nearest_body_m is None or emission.nearest_body_m < figures["sar_distance_m"]

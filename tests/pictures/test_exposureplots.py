"""The curves of an exposure evaluation against the rule's own table and the formula."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from checklist.calculations.exposure import Evaluation, Figures, LimitSet, Tier
from checklist.calculations.exposure.model import Scene
from checklist.pictures.exposureplots import limits_over_frequency, share_over_distance
from checklist.pictures.plots import Curve, Plot


def _printed_mw_cm2(tier: str, mhz: float) -> float:
    """Return the power density of 47 CFR 1.1310, table 1; f in MHz."""
    rows = {
        "controlled": [(3, 100), (30, 900 / mhz**2), (300, 1.0), (1500, mhz / 300), (1e5, 5)],
        "uncontrolled": [
            (1.34, 100), (30, 180 / mhz**2), (300, 0.2), (1500, mhz / 1500), (1e5, 1.0),
        ],
    }[tier]  # fmt: skip
    return next(value for most, value in rows if mhz <= most)


def _curve(plot: Plot, name: str) -> Curve:
    return next(curve for curve in plot.curves if curve.name.startswith(name))


@pytest.mark.parametrize("tier", ["controlled", "uncontrolled"])
def test_the_limit_curve_is_that_of_47_cfr_1_1310(
    tier: str, scene: Scene, evaluation: Evaluation, numbers: Figures
) -> None:
    """47 CFR 1.1310, table 1: every point, as printed; columns differ by their rounding, 1 %."""
    points = _curve(limits_over_frequency(scene, evaluation, numbers), tier).points

    assert len(points) > 100
    assert min(x for x, _ in points) >= 0.3
    assert max(x for x, _ in points) <= 1e5 * (1 + 1e-9)
    for mhz, density in points:
        assert density == pytest.approx(_printed_mw_cm2(tier, mhz), rel=0.012)


def test_an_emission_stands_below_its_limit_by_its_share(
    scene: Scene, evaluation: Evaluation, numbers: Figures
) -> None:
    """At 146 MHz the uncontrolled limit is 0.2 mW/cm2 (47 CFR 1.1310, table 1)."""
    plot = limits_over_frequency(scene, evaluation, numbers)
    beacon = next(spot for spot in plot.spots if spot.says.startswith("beacon-test"))
    track = next(r for r in evaluation.places if r.place.name == "track")
    held = next(c for c in track.total.contributions if c.emission == "beacon-test").held[0]

    assert beacon.x == pytest.approx(146)
    assert beacon.y == pytest.approx(0.2 * held.fraction)


def test_an_emission_without_a_row_is_named_and_not_drawn(
    scene: Scene, evaluation: Evaluation, numbers: Figures
) -> None:
    """Above 100 GHz nothing is extrapolated: no spot, and a note."""
    net, beacon = scene.emissions
    far = replace(beacon, name="too-high", frequency_hz=120e9)
    plot = limits_over_frequency(replace(scene, emissions=(net, far)), evaluation, numbers)

    assert [spot.says.split(",")[0] for spot in plot.spots] == ["evening-net"]
    assert "too-high, 120000 MHz: not shown at any place." in plot.notes


def test_the_share_over_distance_follows_oet_65(
    scene: Scene, evaluation: Evaluation, numbers: Figures, fcc: LimitSet
) -> None:
    """S = EIRP / (pi R^2) (OET Bulletin 65, edition 97-01, equation 6), head 2 m up, R from there.

    The other emission never is on with it, and is far below.
    """
    track = next(r for r in evaluation.places if r.place.name == "track")
    plot = share_over_distance(scene, track, fcc, numbers)

    assert plot is not None
    eirp = 25 * 10 ** ((3 + 2.15) / 10)
    for metres, share in _curve(plot, "uncontrolled").points:
        nearest = math.hypot(metres, 14 - 2) - 1.3

        assert share == pytest.approx(eirp / (math.pi * nearest**2) / 2.0, rel=0.02)
    (here,) = plot.spots

    assert here.x == pytest.approx(math.hypot(18, 4))
    assert here.y == track.total.fraction


def test_a_place_below_everything_drawn_stands_at_its_own_value(
    scene: Scene, evaluation: Evaluation, numbers: Figures, fcc: LimitSet
) -> None:
    """Where no curve is shown the axis still reaches down to the place's share."""
    unknown = replace(scene, emissions=tuple(replace(e, power_w=None) for e in scene.emissions))
    plot = share_over_distance(unknown, evaluation.places[1], fcc, numbers)

    assert plot is not None
    assert {y for curve in plot.curves for _, y in curve.points} == {None}
    assert plot.y.low <= plot.spots[0].y <= plot.y.high


def test_both_tiers_are_drawn_and_differ_by_what_the_rule_allows(
    scene: Scene, evaluation: Evaluation, numbers: Figures, fcc: LimitSet
) -> None:
    """At 146 MHz the controlled limit is five times the other (47 CFR 1.1310, table 1)."""
    plot = share_over_distance(scene, evaluation.places[1], fcc, numbers)

    assert plot is not None
    assert {curve.mark for curve in plot.curves} == {"c", "u"}
    pairs = zip(
        _curve(plot, Tier.CONTROLLED.value).points,
        _curve(plot, Tier.UNCONTROLLED.value).points,
        strict=True,
    )
    for (_, controlled), (_, uncontrolled) in pairs:
        assert controlled is not None
        assert uncontrolled == pytest.approx(5 * controlled, rel=0.02)


def test_without_emissions_there_is_nothing_to_draw(
    scene: Scene, evaluation: Evaluation, numbers: Figures, fcc: LimitSet
) -> None:
    """A station that sends nothing has no curve over distance."""
    empty = replace(scene, emissions=())

    assert share_over_distance(empty, evaluation.places[0], fcc, numbers) is None

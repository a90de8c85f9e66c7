"""Whole stations: what is within, over or not shown, and that an unknown is never within."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from checklist.calculations import Outcome
from checklist.calculations.exposure import Figures, LimitSet, Tier, evaluate
from checklist.calculations.exposure.builders import vertical
from checklist.calculations.exposure.evaluate import SceneRefused
from checklist.calculations.exposure.far import density_w_m2
from checklist.calculations.exposure.look import at_point, fractions, over_distance
from checklist.calculations.exposure.model import (
    ByGain,
    Carried,
    Dish,
    Feed,
    Ground,
    Kind,
    OnTime,
    Pattern,
    Point,
    Scene,
    Wire,
    Wires,
)
from checklist.calculations.exposure.places import judge
from checklist.rulebook import Book
from tests.calculations.exposure.making import LAWN, SHACK, dipole, emission, yagi

_GOOD = emission()
_FAR_LAWN = replace(LAWN, x_m=40.0)


def _outcome(scene: Scene, limits: LimitSet, book: Book) -> Outcome:
    return evaluate(scene, limits, book).outcome


def test_a_yagi_by_hand(fcc: LimitSet, numbers: Figures) -> None:
    """OET 65 equation 6 by hand: 100 W, 8 dBi, 4/(4 pi R^2), R = hypot(40, 4, 13.2) - 3 m."""
    distance = (40**2 + 4**2 + 13.2**2) ** 0.5 - 3
    density = density_w_m2(100, 10**0.8, distance, 4)
    total = judge([_GOOD], _FAR_LAWN, Ground.REAL, fcc, numbers)

    assert total.outcome is Outcome.WITHIN
    assert total.fraction == pytest.approx(density / (1800 / 28.4**2), rel=1e-3)


_CORNERS: list[Point] = [(0, 0, 5), (4, 0, 5), (4, 2, 5), (2, -2, 5)]
_CROSSED = Wires("x", tuple(Wire(p, q, 0.001) for p, q in pairwise(_CORNERS)), (Feed(0, 0.5),))
_UNKNOWN: list[tuple[str, dict[str, Any]]] = [
    ("power", {"power_w": None}),
    ("gain", {"antenna": yagi(gain_dbi=None)}),
    ("reach", {"antenna": replace(yagi(), reach_m=None)}),
    ("kind", {"antenna": replace(yagi(), kind=Kind.OTHER)}),
    ("an inverted V by gain", {"antenna": replace(yagi(), kind=Kind.INVERTED_V)}),
    ("a low dipole by gain", {"antenna": replace(yagi(2.0), kind=Kind.DIPOLE)}),
    ("a small loop", {"antenna": replace(yagi(3.0), kind=Kind.SMALL_LOOP), "frequency_hz": 7e6}),
    ("no row of limits", {"frequency_hz": 122.5e9}),
    ("below all rows", {"frequency_hz": 0.1365e6}),
    ("a long low wire", {"antenna": dipole("low", (0, 0, 1.5), 20, 0.001)}),
    ("crossing wires", {"antenna": _CROSSED}),
    ("a dish with too much gain", {"antenna": Dish("dish", (0, 0, 5), 1.0, 40.0)}),
]


@pytest.mark.parametrize("change", [pytest.param(c, id=n) for n, c in _UNKNOWN])
def test_what_is_unknown_or_not_covered_is_not_shown(
    change: dict[str, Any], fcc: LimitSet, book: Book
) -> None:
    """Whatever is missing or outside its method: not shown, with the reason, even at 1 mW."""
    quiet = {"power_w": 0.001} | change
    found = evaluate(Scene((replace(_GOOD, **quiet),), (LAWN,)), fcc, book)

    assert found.outcome is Outcome.NOT_SHOWN
    assert any("not shown" in stop for stop in found.stops)


@settings(max_examples=30, deadline=None)
@given(
    st.floats(0.01, 1500),
    st.floats(1, 3),
    st.floats(-50, 50),
    st.floats(1.9, 440),
)
def test_more_power_never_lowers_a_fraction(
    fcc: LimitSet, numbers: Figures, watts: float, times: float, x: float, mhz: float
) -> None:
    """With all else equal the fraction rises with the power, and over stays over."""
    place = replace(LAWN, x_m=x)
    weak = replace(_GOOD, power_w=watts, frequency_hz=mhz * 1e6)
    less = judge([weak], place, Ground.REAL, fcc, numbers)
    more = judge([replace(weak, power_w=watts * times)], place, Ground.REAL, fcc, numbers)

    assert (less.fraction is None) == (more.fraction is None)
    if less.fraction is not None and more.fraction is not None:
        assert more.fraction >= less.fraction
    assert less.outcome is not Outcome.OVER or more.outcome is Outcome.OVER


@settings(max_examples=20, deadline=None)
@given(st.sampled_from(["power_w", "gain", "reach"]), st.floats(0.001, 1500), st.floats(-60, 60))
def test_an_unknown_never_gives_within(
    fcc: LimitSet, book: Book, what: str, watts: float, x: float
) -> None:
    """Beside an emission that is known and within, one with an unknown is never within."""
    unknown = {
        "power_w": replace(_GOOD, name="second", power_w=None),
        "gain": replace(_GOOD, name="second", power_w=watts, antenna=yagi(gain_dbi=None)),
        "reach": replace(_GOOD, name="second", antenna=replace(yagi(), reach_m=None)),
    }[what]
    scene = Scene((replace(_GOOD, power_w=0.01), unknown), (replace(LAWN, x_m=x),))

    assert _outcome(scene, fcc, book) is not Outcome.WITHIN


def test_two_that_pass_alone_can_fail_together(fcc: LimitSet, numbers: Figures) -> None:
    """Fractions of each one's own limit are summed over transmitters that can be on together."""
    one = replace(_GOOD, power_w=1500.0)
    alone = judge([one], _FAR_LAWN, Ground.REAL, fcc, numbers).fraction
    assert alone is not None
    loud = replace(one, power_w=1500 * 0.6 / alone)
    other = replace(loud, name="second", transmitter="second rig")

    assert judge([loud], _FAR_LAWN, Ground.REAL, fcc, numbers).outcome is Outcome.WITHIN
    both = judge([loud, other], _FAR_LAWN, Ground.REAL, fcc, numbers)
    assert both.outcome is Outcome.OVER
    assert both.fraction == pytest.approx(1.2)


def test_one_transmitter_is_on_once_at_a_time(fcc: LimitSet, numbers: Figures) -> None:
    """The sum of the averages of its emissions counts, at most the stronger without pauses."""
    always = replace(_GOOD, name="second")
    single = judge([_GOOD], LAWN, Ground.REAL, fcc, numbers).fraction
    shared = judge([_GOOD, always], LAWN, Ground.REAL, fcc, numbers).fraction
    brief = [replace(e, timing=OnTime(180, 1800)) for e in (_GOOD, always)]
    summed = judge(brief, LAWN, Ground.REAL, fcc, numbers).fraction

    assert single is not None
    assert shared == pytest.approx(single)
    assert summed == pytest.approx(single * 0.2)


def test_pauses_do_not_count_for_neighbours_of_a_mobile(fcc: LimitSet, numbers: Figures) -> None:
    """The same overs, fixed and mobile: a tenth of the time, and all of it."""
    brief = replace(_GOOD, timing=OnTime(180, 1800))
    fixed = judge([brief], LAWN, Ground.REAL, fcc, numbers).fraction
    mobile = judge(
        [replace(brief, carried=Carried.MOBILE)], LAWN, Ground.REAL, fcc, numbers
    ).fraction

    assert fixed is not None
    assert mobile == pytest.approx(10 * fixed)


def test_a_handheld_at_the_body_is_a_matter_of_sar(fcc: LimitSet, book: Book) -> None:
    """47 CFR 2.1093: within 20 cm, or where nobody says, it stops, whatever the power."""
    whip = ByGain("whip", Kind.VERTICAL, 2.15, (((0, 0, 1.5), (0, 0, 1.9)),))
    held = replace(_GOOD, antenna=whip, power_w=0.5, carried=Carried.HANDHELD, frequency_hz=146e6)
    for nearest in (None, 0.1):
        found = evaluate(Scene((replace(held, nearest_body_m=nearest),), (_FAR_LAWN,)), fcc, book)

        assert found.outcome is Outcome.NOT_SHOWN
        assert any("SAR" in stop for stop in found.stops)
    arm = evaluate(Scene((replace(held, nearest_body_m=0.5),), (_FAR_LAWN,)), fcc, book)
    assert arm.outcome is Outcome.WITHIN


def test_controlled_needs_a_training_statement(fcc: LimitSet, book: Book) -> None:
    """47 CFR 97.13(c)(1): the household's limits are a choice with a condition."""
    claimed = replace(SHACK, training=" ")
    found = evaluate(Scene((_GOOD,), (SHACK, claimed)), fcc, book)

    assert [p.tier for p in found.places] == [Tier.CONTROLLED, Tier.UNCONTROLLED]
    assert any("training statement" in c for c in found.cautions)


@pytest.mark.parametrize(
    ("reach", "operator", "outcome"),
    [
        (True, False, Outcome.OVER),
        (None, False, Outcome.NOT_SHOWN),
        (True, True, Outcome.WITHIN),
        (False, False, Outcome.WITHIN),
    ],
)
def test_bare_conductors_in_reach_stop_at_any_power(
    reach: bool | None, operator: bool, outcome: Outcome, fcc: LimitSet, book: Book
) -> None:
    """A milliwatt is within every limit of fields, and still nobody may touch the wire."""
    place = replace(_FAR_LAWN, conductors_in_reach=reach, operator_only=operator)
    found = evaluate(Scene((replace(_GOOD, power_w=0.001),), (place,)), fcc, book)

    assert found.outcome is outcome
    assert bool(found.stops) is (outcome is not Outcome.WITHIN)
    assert bool(found.cautions) is (operator and bool(reach))


def test_limits_from_memory_give_at_best_a_caution(sets: dict[str, LimitSet], book: Book) -> None:
    """Every set but 47 CFR says that it is unverified, wherever it finds nothing over."""
    scene = Scene((replace(_GOOD, power_w=0.01),), (replace(SHACK, x_m=60.0),))
    for name, limits in sets.items():
        found = evaluate(scene, limits, book)

        assert found.outcome is Outcome.WITHIN
        assert any("unverified" in c for c in found.cautions) is (name != "fcc-1310")


def test_the_answer_never_says_safe(fcc: LimitSet, book: Book) -> None:
    """No sentence of an evaluation calls anything safe."""
    found = evaluate(Scene((_GOOD,), (LAWN, SHACK)), fcc, book)
    said = [found.says, *found.stops, *found.cautions, *(z.says for z in found.zones)]
    said += [p.says for p in found.places]

    assert not any(" safe" in text.casefold() for text in said)


def test_impossible_scenes_are_refused(fcc: LimitSet, book: Book) -> None:
    """No frequency, a body upside down, two of one name: one sentence each."""
    for scene in (
        Scene((replace(_GOOD, frequency_hz=0),), (LAWN,)),
        Scene((_GOOD,), (replace(LAWN, high_m=-1.0),)),
        Scene((_GOOD, _GOOD), (LAWN,)),
    ):
        with pytest.raises(SceneRefused) as refused:
            evaluate(scene, fcc, book)

        assert refused.value.right
    assert _outcome(Scene((_GOOD,), ()), fcc, book) is Outcome.NOT_SHOWN


def test_farther_and_higher_are_what_they_say(fcc: LimitSet, book: Book, numbers: Figures) -> None:
    """Where a place is over, the step out that is named meets the limit, and a little less not."""
    loud = replace(_GOOD, power_w=1500.0, antenna=yagi(9.0))
    scene = Scene((loud,), (LAWN,))
    found = evaluate(scene, fcc, book).places[0]

    assert found.outcome is Outcome.OVER
    assert found.farther_m
    assert found.higher_m
    for metres, met in ((found.farther_m, True), (found.farther_m * 0.8, False)):
        factor = 1 + metres / 5
        there = replace(LAWN, x_m=LAWN.x_m * factor, y_m=LAWN.y_m * factor)
        total = judge([loud], there, Ground.REAL, fcc, numbers)

        assert (total.outcome is Outcome.WITHIN) is met


def test_zones_are_where_the_fraction_is_one(fcc: LimitSet, book: Book, numbers: Figures) -> None:
    """Category 2 ends where a body outside 45 degrees of straight below just meets the limit."""
    loud = replace(_GOOD, power_w=1500.0)
    zone = evaluate(Scene((loud,), (LAWN,)), fcc, book).zones[0]
    assert zone.beyond_uncontrolled_m is not None
    x = zone.beyond_uncontrolled_m + 3
    level = replace(LAWN, x_m=x, y_m=0.0, low_m=15.0, high_m=15.0)

    assert judge([loud], level, Ground.REAL, fcc, numbers).fraction == pytest.approx(1, rel=2e-3)


def test_zones_of_wires_keep_what_they_say(fcc: LimitSet, book: Book, numbers: Figures) -> None:
    """Beyond the zone of a vertical with radials no body on the ground is over the limit."""
    plane = vertical("plane", (0, 0, 2.2), 2.5, 0.005, 4, 2.5, 10)
    loud = replace(_GOOD, power_w=800.0, antenna=plane)
    zone = evaluate(Scene((loud,), (LAWN,)), fcc, book).zones[0]
    assert zone.beyond_uncontrolled_m is not None
    for x, y in ((1.0, 0.0), (0.7, 0.7), (0.4, 0.9)):
        out = zone.beyond_uncontrolled_m + 2.6
        total = judge([loud], replace(LAWN, x_m=x * out, y_m=y * out), Ground.REAL, fcc, numbers)

        assert total.fraction is not None
        assert total.fraction <= 1


def test_maps_and_curves_show_what_places_find(fcc: LimitSet, numbers: Figures) -> None:
    """The many-point view gives at a point what judging a body of no height there gives."""
    quiet = replace(_GOOD, power_w=1.0)
    wire = replace(quiet, name="wire", transmitter="two", antenna=dipole("d", (0, 0, 6), 5, 0.001))
    scene = Scene((quiet, wire), (LAWN,))
    points = [(4.0, 3.0, 1.8), (8.0, -3.0, 1.0), (0.0, 0.0, 6.05)]
    found = fractions(scene, points, Tier.UNCONTROLLED, fcc, numbers)
    for point, fraction in zip(points[:2], found, strict=False):
        spot = replace(LAWN, x_m=point[0], y_m=point[1], low_m=point[2], high_m=point[2])

        assert judge(scene.emissions, spot, scene.ground, fcc, numbers).fraction == pytest.approx(
            fraction, rel=1e-6
        )
    assert found[2] is None
    curves = over_distance(scene, LAWN, (0, 0, 0), [2.0, 20.0], fcc, numbers)
    assert set(curves) == set(Tier)
    near, away = curves[Tier.UNCONTROLLED]
    assert near is not None
    assert away is not None
    assert away < near
    fields = [c.fields() for c in at_point(scene, points[0], Tier.CONTROLLED, fcc, numbers)]
    assert all(e > 0 and h > 0 and s > 0 for e, h, s in fields)


def test_a_map_shows_nothing_where_there_is_no_limit(fcc: LimitSet, numbers: Figures) -> None:
    """Above 100 GHz every point of a map and of a curve is not shown, with wires or without."""
    for antenna in (yagi(), dipole("d", (0, 0, 6), 0.0012, 1e-6)):
        scene = Scene((replace(_GOOD, frequency_hz=122.5e9, antenna=antenna),), (LAWN,))

        assert fractions(scene, [(4, 3, 1)], Tier.CONTROLLED, fcc, numbers) == [None]
        curves = over_distance(scene, LAWN, (0, 0, 0), [9.0], fcc, numbers)
        assert curves == {Tier.CONTROLLED: [None], Tier.UNCONTROLLED: [None]}


def test_a_dish_with_a_pattern_counts_where_it_points(fcc: LimitSet, numbers: Figures) -> None:
    """Behind the dish the pattern takes its printed attenuation off, in the far field alone."""
    pattern = Pattern(((0, 0), (10, 20), (90, 30), (180, 30)))
    plain = Dish("dish", (0, 0, 6), 1.0, 21.0, None, 0.0)
    shaped = replace(plain, pattern=pattern)
    behind = replace(LAWN, x_m=-60.0, y_m=0.0)
    full, less = (
        judge(
            [replace(_GOOD, frequency_hz=1296e6, antenna=a)], behind, Ground.REAL, fcc, numbers
        ).fraction
        for a in (plain, shaped)
    )

    assert full is not None
    assert less == pytest.approx(full / 1000, rel=1e-6)


def test_numpy_is_loaded_only_for_wires() -> None:
    """A station without wires never pays for numpy: it is not imported with the engine."""
    code = (
        "import sys, checklist.calculations.exposure, checklist.calculations.exposure.look;"
        "sys.exit('numpy' in sys.modules or 'textual' in sys.modules)"
    )

    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_progress_is_told_for_each_place(fcc: LimitSet, book: Book) -> None:
    """A bar can be drawn: done and all, once for each place."""
    seen: list[tuple[int, int]] = []
    evaluate(
        Scene((_GOOD,), (LAWN, SHACK)), fcc, book, lambda done, all_: seen.append((done, all_))
    )

    assert seen == [(1, 2), (2, 2)]

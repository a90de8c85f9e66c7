"""A beam that turns: one heading at a time, one set of currents for all of them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from checklist.calculations.exposure import Figures, LimitSet, evaluate, remedies
from checklist.calculations.exposure.builders import Element, vertical, yagi
from checklist.calculations.exposure.fields import magnitudes
from checklist.calculations.exposure.held import Contribution, Held, totals
from checklist.calculations.exposure.model import (
    Emission,
    Ground,
    OnTime,
    Pattern,
    Place,
    Scene,
    Wires,
)
from checklist.calculations.exposure.moments import currents
from checklist.calculations.exposure.near import MESHES, densities, greatest_gain
from checklist.calculations.exposure.ownframe import own_frame
from checklist.calculations.exposure.places import judge
from checklist.calculations.exposure.variants import turned
from checklist.rulebook import Book
from tests.calculations.exposure.making import LAWN, dipole, emission
from tests.calculations.exposure.making import yagi as by_gain

BEAM = yagi(
    "beam",
    (-2.0, 0.0, 12.0),
    (Element(10.6, 0, 0.0125), Element(10.1, 2, 0.0125, is_driven=True), Element(9.5, 4, 0.0125)),
    33.0,
)
F = 14.2e6


def turned_beam(degrees: float) -> Wires:
    """Return the beam of wires turned to the left."""
    found = turned(BEAM, degrees)

    assert isinstance(found, Wires)
    return found


def at_headings(one: Emission, step: int = 15, until: int = 360) -> tuple[Emission, ...]:
    """Return an emission at each of its headings; bearings count the other way round."""
    return tuple(
        replace(
            one,
            name=f"{one.name}, heading {i}",
            antenna=turned(one.antenna, -float(turn)),
            heading_of=one.name,
            bearing_deg=float(turn),
        )
        for i, turn in enumerate(range(0, until, step), start=1)
    )


def share_of(fraction: float, always_on: float, name: str, heading_of: str = "") -> Contribution:
    """Return what one emission uses up of a limit averaged over half an hour."""
    held = Held("mpe", 1800.0, fraction, always_on, "S", 1.0, 1.0, 1.0, pauses_count=True)
    return Contribution(name, "rig", "beam", 5.0, None, None, (held,), heading_of=heading_of)


def test_headings_of_one_emission_are_never_added() -> None:
    """Ten headings on the air a tenth of the time use what the worst of them would: OET 65, B.

    The average over any window is the sum over headings of time there times density there;
    the times add up to the time on the air, so that the worst heading all along bounds it.
    """
    at = [share_of(0.02 * i, 0.2 * i, f"h{i}", "overs") for i in range(1, 11)]

    assert totals(at)["mpe"] == pytest.approx(0.2)
    assert totals([*at, share_of(0.3, 3.0, "net")])["mpe"] == pytest.approx(0.5)


@pytest.mark.parametrize("seed", range(5))
def test_the_worst_heading_bounds_every_way_of_spending_the_time(seed: int) -> None:
    """Minute by minute, by a route of its own: no schedule of headings gives a larger average."""
    rng = np.random.default_rng(seed)
    density = rng.uniform(0, 2, 13)
    on = rng.random(30) < 0.4
    average = float((density[rng.integers(0, 13, 30)] * on).mean())
    share = float(on.mean())
    parts = [share_of(share * d, d, f"h{i}", "overs") for i, d in enumerate(density)]

    assert average <= totals(parts)["mpe"] + 1e-12
    assert totals(parts)["mpe"] == pytest.approx(share * density.max())


@pytest.mark.parametrize("ground", list(Ground))
@pytest.mark.parametrize("degrees", [0.0, 15.0, 77.7, 180.0, 301.5])
def test_a_turned_antenna_has_the_fields_of_its_own_currents(
    ground: Ground, degrees: float
) -> None:
    """Taken in the antenna's own frame, the densities are those of currents found for it anew."""
    antenna = turned_beam(degrees)
    points = np.array([[3.0, 4.0, 1.8], [-9.0, 2.5, 0.3], [0.5, 0.5, 6.0]])
    got = densities(antenna, F, points, ground, MESHES[0])
    worst = np.zeros(3)
    for over_ground in {Ground.NONE: [False], Ground.PERFECT: [True]}.get(ground, [False, True]):
        e, h = magnitudes(currents(antenna, F, over_ground, MESHES[0]), points)
        worst = np.maximum(worst, np.maximum(e**2 / 376.730313668, h**2 * 376.730313668))

    assert np.maximum(got.se_w_m2, got.sh_w_m2) == pytest.approx(worst, rel=1e-6)


def test_all_headings_share_their_currents() -> None:
    """However it is turned or shifted, the antenna in its own frame is one and the same."""
    frames = {own_frame(turned_beam(float(d)), True).antenna for d in range(0, 360, 15)}
    gains = {greatest_gain(turned_beam(float(d)), F) for d in range(0, 360, 15)}

    assert len(frames) == 1
    assert len(gains) == 1
    low, high = (own_frame(dipole("d", (5, 5, z), 10, 0.001), False).antenna for z in (4, 40))
    assert low == high


def test_a_frame_keeps_the_ground_where_it_is() -> None:
    """Over ground no height changes, and an upright wire that stands on it stays standing."""
    upright = own_frame(vertical("v", (7.0, -3.0, 0.0), 5.0, 0.01), True).antenna
    level = own_frame(turned_beam(44.0), True).antenna

    assert (upright.wires[0].start, upright.wires[0].end) == ((0, 0, 0), (0, 0, 5))
    assert {p[2] for w in level.wires for p in (w.start, w.end)} == {12.0}


def test_time_on_the_air_is_credited_to_a_beam_that_turns(fcc: LimitSet, numbers: Figures) -> None:
    """At 13 headings, 3 min in 30, the share is a tenth of that without a pause."""
    one = emission(BEAM, frequency_hz=F, power_w=1500.0)
    overs = replace(one, timing=OnTime(180.0, 1800.0))
    always, part = (
        judge(at_headings(e, 15, 195), LAWN, Ground.REAL, fcc, numbers).fraction
        for e in (one, overs)
    )

    assert always is not None
    assert part == pytest.approx(always / 10)


def test_less_power_is_found_for_all_headings(fcc: LimitSet, book: Book) -> None:
    """A remedy of the heading that decides is one of the emission: the next does not take over."""
    beam = by_gain(6.0, pattern=Pattern(((0.0, 0.0), (60.0, 12.0), (180.0, 15.0))), azimuth_deg=0.0)
    scene = Scene(at_headings(emission(beam, power_w=1500.0), 30), (LAWN,))
    found = remedies(scene, LAWN, fcc, book, 0.5)
    power = next(r for r in found.found if r.kind == "less power")
    again = evaluate(power.scene, fcc, book)

    assert power.says.startswith("ten metres: at most")
    assert {e.power_w for e in power.scene.emissions} == {power.amount}
    assert (again.places[0].total.fraction or 1.0) <= 0.5


def test_the_rotator_is_locked_to_headings_that_suffice(fcc: LimitSet, book: Book) -> None:
    """The sector leaves the place's side out, may run through north, and every heading keeps it."""
    beam = by_gain(9.0, pattern=Pattern(((0.0, 0.0), (60.0, 12.0), (180.0, 15.0))), azimuth_deg=0.0)
    south = Place("south", 0.0, -22.0, 0.0, 1.8, controlled=False, conductors_in_reach=False)
    at = at_headings(emission(replace(beam, azimuth_deg=90.0), power_w=800.0), 30)
    found = remedies(Scene(at, (south,)), south, fcc, book, 1.0)
    locked = next(r for r in found.found if r.kind == "locked to a sector")
    left = {e.bearing_deg for e in locked.scene.emissions}

    assert 180.0 not in left
    assert 0.0 in left
    assert all(
        (evaluate(Scene((e,), (south,)), fcc, book).places[0].total.fraction or 9.0) <= 1.0
        for e in locked.scene.emissions
    )
    assert "the rotator locked to that sector" in locked.says


def test_exemption_counts_a_beam_once(fcc: LimitSet, book: Book) -> None:
    """A beam is one source for 47 CFR 1.1307(b)(3)(ii), by the heading that comes nearest."""
    one = emission(BEAM, frequency_hz=F, power_w=20.0)
    far = replace(LAWN, y_m=60.0)
    turning = evaluate(Scene(at_headings(one, 30), (far,)), fcc, book).exemption

    assert turning is not None
    assert [share.name for share in turning.shares] == ["ten metres"]
    single = [evaluate(Scene((e,), (far,)), fcc, book).exemption for e in at_headings(one, 30)]
    assert turning.total == pytest.approx(max(e.total or 0 for e in single if e), rel=1e-9)

"""Speed, as anyone can measure it: pytest -m benchmark -s."""

from __future__ import annotations

import time
from dataclasses import replace

import numpy as np
import pytest

from checklist.calculations.exposure import LimitSet, evaluate
from checklist.calculations.exposure.fields import magnitudes
from checklist.calculations.exposure.model import Pattern, Scene
from checklist.calculations.exposure.moments import currents
from checklist.rulebook import Book
from tests.calculations.exposure.making import LAWN, dipole, emission, yagi
from tests.calculations.exposure.test_headings import BEAM, at_headings

pytestmark = pytest.mark.benchmark
_PATTERN = Pattern(((0, 0), (30, 3), (60, 12), (90, 20), (180, 15)))


def test_a_station_of_ten_emissions_and_twenty_places(fcc: LimitSet, book: Book) -> None:
    """All evaluated in under a tenth of a second, the way out of places that are over included."""
    emissions = tuple(
        emission(
            yagi(10.0 + i, pattern=_PATTERN, azimuth_deg=36.0 * i),
            name=f"emission {i}",
            transmitter=f"rig {i}",
            frequency_hz=14e6 + i * 4e6,
        )
        for i in range(10)
    )
    places = tuple(replace(LAWN, name=f"place {i}", x_m=5.0 + 3 * i) for i in range(20))
    scene = Scene(emissions, places)
    times = []
    for _ in range(5):
        start = time.perf_counter()
        evaluate(scene, fcc, book)
        times.append(time.perf_counter() - start)
    print(f"10 emissions, 20 places: {min(times) * 1000:.0f} ms")

    assert min(times) < 0.1


def test_a_beam_that_turns_against_one_that_does_not(fcc: LimitSet, book: Book) -> None:
    """Thirteen headings of wires take less than four times as long as one: currents are shared."""
    evaluate(Scene((at_headings(emission(BEAM, frequency_hz=14.1e6))[0],), (LAWN,)), fcc, book)

    def seconds(frequency_hz: float, until: int) -> float:
        one = emission(BEAM, frequency_hz=frequency_hz)
        scene = Scene(at_headings(one, 15, until), (LAWN,))
        start = time.perf_counter()
        evaluate(scene, fcc, book)
        return time.perf_counter() - start

    one, many = seconds(14.2e6, 15), seconds(14.3e6, 195)
    print(f"13 headings {many:.2f} s, one {one:.2f} s, ratio {many / one:.1f}")

    assert many < 4 * one


def test_a_hundred_thousand_points_against_the_solver_library() -> None:
    """E and H take at most half the time of the solver's own grid routine, where it is there."""
    library = pytest.importorskip("PyNEC", reason="the general-purpose solver is not installed")
    found = currents(dipole("d", (0, 0, 10.5), 10.14, 0.001), 14.2e6, False, 85)
    side = np.linspace(-20, 20, 317)
    x, y = (g.ravel()[:100_000] for g in np.meshgrid(side, side))
    points = np.column_stack([x, y, np.full_like(x, 1.8)])
    start = time.perf_counter()
    magnitudes(found, points)
    ours = time.perf_counter() - start
    context = library.nec_context()
    context.get_geometry().wire(1, 41, 0, -5.07, 10.5, 0, 5.07, 10.5, 0.001, 1, 1)
    context.geometry_complete(0)
    context.gn_card(-1, 0, 0, 0, 0, 0, 0, 0)
    context.ex_card(0, 1, 21, 0, 1.0, 0, 0, 0, 0, 0)
    context.fr_card(0, 1, 14.2, 0)
    context.xq_card(0)
    start = time.perf_counter()
    context.ne_card(0, 316, 317, 1, -20, -20, 1.8, 0.126, 0.126, 0)
    context.nh_card(0, 316, 317, 1, -20, -20, 1.8, 0.126, 0.126, 0)
    theirs = time.perf_counter() - start
    print(f"100,000 points: {ours:.2f} s, the library {theirs:.2f} s, ratio {ours / theirs:.2f}")

    assert ours <= 0.5 * theirs

"""A long evaluation can be stopped from another thread, anywhere, at once."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace

import pytest

from checklist.calculations.exposure import Figures, LimitSet, Tier, evaluate, near, shells
from checklist.calculations.exposure.look import fractions
from checklist.calculations.exposure.model import Scene
from checklist.calculations.exposure.needing import needed_remedies
from checklist.rulebook import Book
from checklist.stopping import Stopped, go_on, stoppable
from tests.calculations.exposure.making import LAWN, dipole, emission

_SOON_S = 0.2
"""Within which a screen that is left is free again."""


def scene(count: int = 6) -> Scene:
    """Return low wires of a wavelength each, all of them over the limit at a place."""
    wires = tuple(
        emission(
            dipole(f"wire {i}", (4.0 * i, 0.0, 9.0 + i), 10.1, 0.001),
            name=f"band {i}", transmitter=f"rig {i}", frequency_hz=14.2e6, power_w=1500.0,
        )
        for i in range(count)
    )  # fmt: skip
    return Scene(wires, (LAWN, replace(LAWN, name="path", y_m=9.0)))


def forget() -> None:
    """Empty what is kept in memory, so that everything is computed anew."""
    for kept in (near.currents, near._converged, near._greatest, shells._curve):  # type: ignore[attr-defined]  # lru_cache
        kept.cache_clear()


class Asked:
    """Answers yes from the n-th question on, and counts them."""

    def __init__(self, after: int) -> None:
        self.after, self.times = after, 0

    def __call__(self) -> bool:
        self.times += 1
        return self.times > self.after


def questions(run: Callable[[Callable[[], bool]], object]) -> int:
    """Return how often a whole run asks."""
    forget()
    asked = Asked(10**9)
    run(asked)
    return asked.times


@pytest.mark.parametrize("share", [0.0, 0.2, 0.5, 0.8, 0.99])
def test_an_evaluation_stops_wherever_it_is(share: float, fcc: LimitSet, book: Book) -> None:
    """At the first question that is answered yes it ends, without a result."""
    whole = questions(lambda stop: evaluate(scene(2), fcc, book, stop=stop))
    forget()
    asked = Asked(int(whole * share))
    with pytest.raises(Stopped):
        evaluate(scene(2), fcc, book, stop=asked)

    assert asked.times == asked.after + 1


def test_the_search_for_remedies_stops(fcc: LimitSet, book: Book) -> None:
    """Remedies end likewise, with none found rather than some."""
    found = evaluate(scene(1), fcc, book)
    forget()
    with pytest.raises(Stopped):
        needed_remedies(found, book, 0.5, stop=Asked(5))


def test_a_map_stops(fcc: LimitSet, numbers: Figures) -> None:
    """What is only looked at stops where its caller makes it stoppable."""
    points = [(float(x), 5.0, 1.8) for x in range(500)]
    with stoppable(Asked(3)), pytest.raises(Stopped):
        fractions(scene(1), points, Tier.UNCONTROLLED, fcc, numbers)


def test_nothing_is_left_behind(fcc: LimitSet, book: Book) -> None:
    """After a stop the same evaluation runs through and is what it would have been."""
    want = evaluate(scene(1), fcc, book)
    forget()
    with pytest.raises(Stopped):
        evaluate(scene(1), fcc, book, stop=Asked(4))
    go_on()

    assert evaluate(scene(1), fcc, book) == want


@pytest.mark.benchmark
@pytest.mark.parametrize("after_s", [0.02, 0.1, 0.3, 0.6])
def test_it_stops_soon(after_s: float, fcc: LimitSet, book: Book) -> None:
    """A fifth of a second after somebody asks, the thread is free."""
    evaluate(scene(1), fcc, book)  # numpy is loaded: that alone cannot be stopped
    forget()
    start = time.perf_counter()
    with pytest.raises(Stopped):
        evaluate(scene(30), fcc, book, stop=lambda: time.perf_counter() - start > after_s)
    late = time.perf_counter() - start - after_s
    print(f"stopped {late * 1000:.0f} ms after it was asked")

    assert late < _SOON_S

"""Geometry that cannot be meant is refused with one sentence each."""

from __future__ import annotations

from dataclasses import replace

import pytest

from checklist.calculations.exposure.builders import Element, inverted_v, vertical, yagi
from checklist.calculations.exposure.model import Feed, Ground, Point, Wire, Wires
from checklist.calculations.exposure.wires import (
    GeometryRefused,
    distance_between,
    problems,
    refuse_bad_geometry,
)
from tests.calculations.exposure.making import dipole

_GOOD = dipole("wire", (0, 0, 10), 10.0, 0.001)


def _with(*more: Wire) -> Wires:
    return replace(_GOOD, wires=(*_GOOD.wires, *more))


_FAULTS: list[tuple[Wires, str]] = [
    (replace(_GOOD, wires=()), "no wires"),
    (replace(_GOOD, feeds=()), "no feed"),
    (replace(_GOOD, feeds=(Feed(1),)), "which there is not"),
    (replace(_GOOD, feeds=(Feed(0, 1.2),)), "the feed is at 1.2"),
    (replace(_GOOD, feeds=(Feed(0, 0.0),)), "free end"),
    (replace(_GOOD, feeds=(Feed(0, 0.5, 0j),)), "no voltage"),
    (replace(_GOOD, feeds=(Feed(0, 0.5), Feed(0, 0.5))), "two feeds"),
    (_with(Wire((1, 0, 10), (1, 0, 10), 0.001)), "no length"),
    (_with(Wire((1, 5, 8), (1, 6, 8), -0.001)), "no thickness"),
    (_with(Wire((1, 5, 8), (1, 6, float("nan")), 0.001)), "not finite"),
    (_with(Wire((1, 5, 8), (1, 6, 8), 0.3)), "radius"),
    (_with(Wire((1, -5, 5), (1, 5, 5), 0.25)), "thick for a wavelength"),
    (_with(Wire((1, 5, 8), (1, 6, -1), 0.001)), "below the ground"),
    (_with(Wire((1, 5, 0), (1, 9, 0), 0.001)), "lies on the ground"),
    (_with(Wire((1, 5, 0.01), (1, 9, 4), 0.01)), "above the ground"),
    (_with(Wire((1, -3, 10), (1, 3, 10), 0.001)), "touch or cross"),
    (_with(Wire((-5, 0, 10), (5, 0, 10), 0.001)), "lie on each other"),
    (_with(Wire((5, 0, 10), (2, 0.01, 10), 0.001)), "fold back"),
    (_with(Wire((0, 0, 20), (400, 0, 20), 0.001)), "wavelengths long"),
]


@pytest.mark.parametrize(("antenna", "what"), _FAULTS, ids=[f[1] for f in _FAULTS])
def test_a_fault_is_named_with_what_would_be_right(antenna: Wires, what: str) -> None:
    """Each fault of geometry or feed gives its own sentence, and never reaches the solver."""
    with pytest.raises(GeometryRefused) as refused:
        refuse_bad_geometry(antenna, 14.2e6, Ground.REAL)

    assert what in " ".join(said for said, _ in problems(antenna, 14.2e6, Ground.REAL))
    assert refused.value.right
    assert refused.value.where == "wire"


def test_good_geometry_has_no_faults() -> None:
    """Builders give geometry that passes: level, sloping, on radials, on the ground."""
    beam = [Element(10.4, 0, 0.01), Element(10, 3, 0.01, is_driven=True)]
    for antenna in (
        _GOOD,
        inverted_v("v", (0, 0, 10), 5, 40, 0.001),
        vertical("gp", (0, 0, 3), 5, 0.01, 4, 5, 20),
        vertical("v", (0, 0, 0), 5, 0.01),
        yagi("y", (0, 0, 12), beam, 77),
    ):
        assert list(problems(antenna, 14.2e6, Ground.REAL)) == []


@pytest.mark.parametrize(
    ("first", "second", "metres"),
    [
        (((0, 0, 0), (1, 0, 0)), ((0, 0, 2), (1, 0, 2)), 2.0),
        (((0, 0, 0), (1, 0, 0)), ((4, 4, 0), (9, 4, 0)), 5.0),
        (((-1, 0, 0), (1, 0, 0)), ((0, -1, 3), (0, 1, 3)), 3.0),
        (((0, 0, 0), (0, 0, 0)), ((3, 4, 0), (3, 4, 0)), 5.0),
        (((0, 0, 0), (0, 0, 0)), ((-2, 1, 0), (2, 1, 0)), 1.0),
        (((0, 0, 0), (10, 0, 0)), ((5, 3, 0), (5, 3, 0)), 3.0),
    ],
)
def test_the_distance_between_straight_pieces(
    first: tuple[Point, Point], second: tuple[Point, Point], metres: float
) -> None:
    """Euclid: side by side, past each other, crossing, and points; both ways round."""
    assert distance_between(first, second) == pytest.approx(metres)
    assert distance_between(second, first) == pytest.approx(metres)


def test_an_element_table_needs_one_driven_element() -> None:
    """None or two driven elements, and impossible slopes or radials, are refused."""
    for elements in (
        [Element(10, 0, 0.01), Element(9, 3, 0.01)],
        [Element(10, 0, 0.01, is_driven=True), Element(9, 3, 0.01, is_driven=True)],
        [Element(10, 0, 0.01, is_driven=True)],
    ):
        with pytest.raises(GeometryRefused):
            yagi("y", (0, 0, 9), elements, 0)
    with pytest.raises(GeometryRefused):
        inverted_v("v", (0, 0, 9), 5, 95, 0.001)
    with pytest.raises(GeometryRefused):
        vertical("v", (0, 0, 3), 5, 0.001)
    with pytest.raises(GeometryRefused):
        inverted_v("d", (0, 0, 3), -5, 30, 0.001)

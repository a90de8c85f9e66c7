"""The map: its cells against the formula, and what stands on it."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from checklist.calculations.exposure import Figures, LimitSet
from checklist.calculations.exposure.model import Scene
from checklist.pictures.maps import Cut, Map, View, first_view, map_of
from checklist.pictures.maptext import SIDE, map_legend, map_lines

AT_THE_MAST = View(Cut.PLAN, 0.0, 0.0, 6.0, 14.0)


def _cells(drawn: Map) -> list[tuple[float, float, int | None]]:
    return [
        (drawn.left_m + i * drawn.column_m, drawn.top_m - j * drawn.row_m, number)
        for j, row in enumerate(drawn.cells)
        for i, number in enumerate(row)
    ]


def test_categories_end_where_oet_65_meets_the_limits(
    scene: Scene, numbers: Figures, fcc: LimitSet
) -> None:
    """S = EIRP / (pi R^2), OET Bulletin 65, equation 6; at 146 MHz 2, 10 and 100 W/m2.

    47 CFR 1.1310, table 1, and ten times the controlled limit, 47 CFR 1.1307(b)(4). R from
    the nearest part, at most 1.3 m from the middle.
    """
    drawn = map_of(scene, AT_THE_MAST, 60, 30, fcc, numbers)
    eirp = 25 * 10 ** ((3 + 2.15) / 10)
    ends = [math.sqrt(eirp / (math.pi * limit)) for limit in (2.0, 10.0, 100.0)]
    seen = set()
    for x, y, number in _cells(drawn):
        r = math.hypot(x, y) - 1.3
        if number is None or min(abs(r - end) for end in ends) < 0.05:
            continue
        seen.add(number)

        assert number == 1 + sum(r < end for end in ends), (x, y)
    assert {1, 2, 3} <= seen


def test_nearer_than_anything_was_compared_is_never_drawn_as_within(
    scene: Scene, numbers: Figures, fcc: LimitSet
) -> None:
    """A cell on a wire is not shown, whatever the power."""
    quiet = replace(scene, emissions=tuple(replace(e, power_w=1e-3) for e in scene.emissions))
    drawn = map_of(quiet, View(Cut.PLAN, 0.0, 12.0, 6.0, 12.0), 60, 30, fcc, numbers)
    on_the_wire = [n for _, y, n in _cells(drawn) if abs(y - 12) < 1]

    assert on_the_wire
    assert set(on_the_wire) == {None}
    assert any("nobody goes there" in line for line in map_legend(drawn))


def test_unknown_power_leaves_no_cell_shown(scene: Scene, numbers: Figures, fcc: LimitSet) -> None:
    """Without a power nothing is shown anywhere, and no legend speaks of a category."""
    unknown = replace(scene, emissions=tuple(replace(e, power_w=None) for e in scene.emissions))
    drawn = map_of(unknown, AT_THE_MAST, 20, 10, fcc, numbers)

    assert {number for _, _, number in _cells(drawn)} == {None}
    assert not any("category" in line for line in map_legend(drawn)[:1])


@pytest.mark.parametrize("columns", [40, 70, 120])
def test_places_and_antennas_stand_where_they_are(
    columns: int, scene: Scene, numbers: Figures, fcc: LimitSet
) -> None:
    """The first view holds everything; each letter is at its metres, and no line is too wide."""
    view = first_view(scene)
    drawn = map_of(scene, view, columns, columns // 4, fcc, numbers)
    lines = map_lines(drawn)
    row, column = next((j, t.index("B")) for j, t in enumerate(lines[1:]) if "B" in t[SIDE:])

    assert drawn.left_m + (column - SIDE) * drawn.column_m == pytest.approx(18, abs=drawn.column_m)
    assert drawn.top_m - row * drawn.row_m == pytest.approx(4, abs=drawn.row_m)
    assert max(map(len, lines[1:])) <= SIDE + columns
    assert not any("outside this map" in line for line in map_legend(drawn))
    assert lines[0] == "Plan 2 m above the ground (upward: south to north, m)"


def test_a_section_stands_on_the_ground(scene: Scene, numbers: Figures, fcc: LimitSet) -> None:
    """Its lowest row is the ground itself, and it goes through the first antenna."""
    drawn = map_of(scene, first_view(scene).turned(), 70, 16, fcc, numbers)
    lines = map_lines(drawn)

    assert drawn.top_m - 15 * drawn.row_m == pytest.approx(0)
    assert lines[0].startswith("Section from west to east, 12 m north of the origin")
    assert "=====" in lines[17]


def test_views_move_zoom_and_turn_but_never_below_the_ground() -> None:
    """Keys change one thing each; a plan stays above the ground, the width within bounds."""
    view = View(Cut.PLAN, 0.0, 0.0, 10.0, 1.0)

    assert view.shifted(-5).height_m == 0
    assert view.zoomed(0.5).half_m == 5
    assert view.zoomed(1e9).half_m == 5e4
    assert view.zoomed(1e-9).half_m == 1
    assert (view.moved(0.5, 0).x_m, view.moved(0, 0.5).y_m) == (5, 5)
    assert view.turned().moved(0.5, 0.5) == replace(view, cut=Cut.WEST_EAST, x_m=5.0)
    assert view.turned().shifted(2).line_y_m == 2
    assert view.turned().turned().shifted(2).line_x_m == 2
    assert view.turned().turned().moved(0.5, 0).y_m == 5
    assert view.turned().turned().turned() == view

"""A map around a station: the mitigation category of each cell, in plan or in a section."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum

from checklist.calculations.exposure.categories import CATEGORIES, category
from checklist.calculations.exposure.figures import Figures
from checklist.calculations.exposure.geometry import parts_of
from checklist.calculations.exposure.limits import LimitSet, Tier
from checklist.calculations.exposure.look import fractions
from checklist.calculations.exposure.model import Continuous, Place, Point, Scene
from checklist.calculations.exposure.variants import middle, with_timing
from checklist.pictures.plots import Spot, letter

_ROWS_AT_ONCE = 4
_MARGIN = 1.25
_LEAST_HALF_M = 5.0


class Cut(StrEnum):
    """How the space around the station is cut."""

    PLAN = "plan"
    WEST_EAST = "section from west to east"
    SOUTH_NORTH = "section from south to north"


@dataclass(frozen=True, slots=True)
class View:
    """Where a map looks: its middle, how wide, and at which height or along which line."""

    cut: Cut
    x_m: float
    y_m: float
    half_m: float
    """From the middle to the left edge."""

    height_m: float
    """Of a plan, above the ground."""

    line_x_m: float = 0.0
    """Where a section from south to north lies."""

    line_y_m: float = 0.0
    """Where a section from west to east lies."""

    def zoomed(self, factor: float) -> View:
        """Return the view with its width multiplied, between 1 m and 50 km to each side."""
        return replace(self, half_m=min(5e4, max(1.0, self.half_m * factor)))

    def shifted(self, metres: float) -> View:
        """Return a plan at another height, never below the ground, or a section farther on."""
        match self.cut:
            case Cut.PLAN:
                return replace(self, height_m=max(0.0, self.height_m + metres))
            case Cut.WEST_EAST:
                return replace(self, line_y_m=self.line_y_m + metres)
            case _:
                return replace(self, line_x_m=self.line_x_m + metres)

    def moved(self, right: float, up: float) -> View:
        """Return the view moved by shares of its half width; a section moves sideways only."""
        x, y = right * self.half_m, up * self.half_m
        match self.cut:
            case Cut.PLAN:
                return replace(self, x_m=self.x_m + x, y_m=self.y_m + y)
            case Cut.WEST_EAST:
                return replace(self, x_m=self.x_m + x)
            case _:
                return replace(self, y_m=self.y_m + x)

    def turned(self) -> View:
        """Return the next cut through the same middle."""
        cuts = list(Cut)
        return replace(self, cut=cuts[(cuts.index(self.cut) + 1) % len(cuts)])


@dataclass(frozen=True, slots=True)
class Map:
    """Cells from the upper left, with what stands on them."""

    view: View
    title: str
    cells: tuple[tuple[int | None, ...], ...]
    """The number of the category; None where it is not shown."""

    left_m: float
    top_m: float
    column_m: float
    row_m: float
    across: str
    up: str
    """What the two axes are, with their unit."""

    conductors: tuple[tuple[float, float], ...]
    antennas: tuple[Spot, ...]
    places: tuple[Spot, ...]
    notes: tuple[str, ...]


def first_view(scene: Scene) -> View:
    """Return a plan at the height of the tallest head that has everything of the scene in it.

    Its sections go through the middle of the first antenna.
    """
    points = [p for e in scene.emissions for part in parts_of(e.antenna) for p in part]
    points += [(p.x_m, p.y_m, p.high_m) for p in scene.places]
    heads = [p.high_m for p in scene.places]
    if not points:
        return View(Cut.PLAN, 0.0, 0.0, _LEAST_HALF_M, 2.0)
    west, east = min(p[0] for p in points), max(p[0] for p in points)
    south, north = min(p[1] for p in points), max(p[1] for p in points)
    half = max(_LEAST_HALF_M, _MARGIN * max(east - west, north - south) / 2)
    line = middle(scene.emissions[0].antenna) if scene.emissions else (0.0, 0.0, 0.0)
    tall = max(heads, default=2.0)
    return View(Cut.PLAN, (west + east) / 2, (south + north) / 2, half, tall, line[0], line[1])


def map_of(
    scene: Scene,
    view: View,
    columns: int,
    rows: int,
    limits: LimitSet,
    figures: Figures,
    progress: Callable[[int, int], None] | None = None,
) -> Map:
    """Return the map in cells twice as high as wide, with every transmitter on without a pause.

    So the categories of 47 CFR 1.1307(b)(4) are meant; `progress` hears rows done, and of how
    many. For looking: a place is judged by the evaluation.
    """
    always = replace(scene, emissions=tuple(with_timing(e, Continuous()) for e in scene.emissions))
    column_m = 2 * view.half_m / columns
    row_m = 2 * column_m
    is_plan = view.cut is Cut.PLAN
    top = view.y_m + row_m * (rows - 1) / 2 if is_plan else row_m * (rows - 1)
    middle_m = view.y_m if view.cut is Cut.SOUTH_NORTH else view.x_m
    left = middle_m - view.half_m + column_m / 2
    cells: list[tuple[int | None, ...]] = []
    for first in range(0, rows, _ROWS_AT_ONCE):
        some = range(first, min(rows, first + _ROWS_AT_ONCE))
        across = [left + i * column_m for i in range(columns)]
        points = [_point(view, a, top - row * row_m) for row in some for a in across]
        found = _categories(always, points, limits, figures)
        cells += [tuple(found[i : i + columns]) for i in range(0, len(found), columns)]
        if progress:
            progress(len(cells), rows)
    return Map(
        view, _title(view), tuple(cells), left, top, column_m, row_m,
        "south to north, m" if view.cut is Cut.SOUTH_NORTH else "west to east, m",
        "south to north, m" if is_plan else "height, m",
        _conductors(scene, view, column_m), _antennas(scene, view), _places(scene, view),
        (*_notes(view), f"Limits: {limits.citation()}."),
    )  # fmt: skip


def _categories(
    scene: Scene, points: list[Point], limits: LimitSet, figures: Figures
) -> list[int | None]:
    open_, closed = (
        fractions(scene, points, tier, limits, figures)
        for tier in (Tier.UNCONTROLLED, Tier.CONTROLLED)
    )
    severe = figures["severe"]
    return [
        None if u is None or (u > 1 and c is None) else category(u, c or 0.0, severe).number
        for u, c in zip(open_, closed, strict=True)
    ]


def _title(view: View) -> str:
    match view.cut:
        case Cut.PLAN:
            return f"Plan {view.height_m:g} m above the ground"
        case Cut.WEST_EAST:
            return f"Section from west to east, {view.line_y_m:g} m north of the origin"
        case _:
            return f"Section from south to north, {view.line_x_m:g} m east of the origin"


def _notes(view: View) -> tuple[str, ...]:
    said = "Categories of 47 CFR 1.1307(b)(4), every transmitter on without a pause."
    beside = "Places and antennas beside the cut are drawn on it."
    looking = "For looking: the places are judged at every height of a body, a cell at one point."
    return (said, looking) if view.cut is Cut.PLAN else (said, beside, looking)


def _point(view: View, across: float, up: float) -> Point:
    match view.cut:
        case Cut.PLAN:
            return (across, up, view.height_m)
        case Cut.WEST_EAST:
            return (across, view.line_y_m, up)
        case _:
            return (view.line_x_m, across, up)


def _flat(view: View, point: Point) -> tuple[float, float]:
    match view.cut:
        case Cut.PLAN:
            return (point[0], point[1])
        case Cut.WEST_EAST:
            return (point[0], point[2])
        case _:
            return (point[1], point[2])


def _conductors(scene: Scene, view: View, step_m: float) -> tuple[tuple[float, float], ...]:
    found: dict[tuple[float, float], None] = {}
    for antenna in {e.antenna.name: e.antenna for e in scene.emissions}.values():
        for start, end in parts_of(antenna):
            a, b = _flat(view, start), _flat(view, end)
            steps = min(2000, max(1, math.ceil(math.dist(a, b) / step_m)))
            for i in range(steps + 1):
                share = i / steps
                found[a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])] = None
    return tuple(found)


def _antennas(scene: Scene, view: View) -> tuple[Spot, ...]:
    named = {e.antenna.name: e.antenna for e in scene.emissions}
    return tuple(
        Spot(letter(i).lower(), *_flat(view, middle(a)), f"{name}, {middle(a)[2]:.3g} m up")
        for i, (name, a) in enumerate(named.items())
    )


def _places(scene: Scene, view: View) -> tuple[Spot, ...]:
    return tuple(
        Spot(letter(i), *_flat(view, _head(place)), f"{place.name}, {_reach(place)}")
        for i, place in enumerate(scene.places)
    )


def _head(place: Place) -> Point:
    return (place.x_m, place.y_m, place.high_m)


def _reach(place: Place) -> str:
    tier = "controlled" if place.controlled else "uncontrolled"
    return f"{tier}, a body from {place.low_m:g} to {place.high_m:g} m"


REGIONS = {c.number: c.region for c in CATEGORIES}
"""What each category means, by its number."""

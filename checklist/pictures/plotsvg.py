"""Draws a plot as SVG: curves told apart by dashes and marks, the same words as in the text."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from checklist.pictures.axes import Axis
from checklist.pictures.plots import Curve, Plot
from checklist.pictures.sheet import BLACK, BLUE, GREY, MARGIN, VERMILION, WIDTH, Sheet, n

_LEFT, _RIGHT, _HEIGHT, _BELOW = 78.0, WIDTH - 34.0, 300.0, 44.0
_STYLES = (("", BLUE), ("9 4", VERMILION), ("2 3", BLACK), ("12 3 2 3", BLACK))
_MARK_EVERY = 12
_STRIP = 9.0
_NEIGHBOURS = 2.5
_GAP = 0.06

_Point = tuple[float, float | None]


def plot_svg(plot: Plot) -> str:
    """Return the plot as a whole SVG picture, with axes, units and legend."""
    sheet = Sheet(plot.title)
    sheet.paragraph(plot.title, bold=True)
    top = sheet.y + 16
    field = _Field(plot.x, plot.y, top)
    _axes(sheet, field)
    for level in plot.levels:
        y = field.down(level.value)
        sheet.line(_LEFT, y, _RIGHT, y, width=2.5)
        sheet.plate(_RIGHT - 6, y - 6, level.name, anchor="end")
    for number, curve in enumerate(plot.curves):
        _curve(sheet, field, curve, number)
    for spot in plot.spots:
        sheet.lettered(field.along(spot.x), field.down(spot.y), spot.letter)
    sheet.y = field.bottom + _BELOW
    _legend(sheet, plot)
    return sheet.document()


class _Field:
    """Where values lie on the sheet."""

    def __init__(self, x: Axis, y: Axis, top: float) -> None:
        self.x, self.y, self.top, self.bottom = x, y, top, top + _HEIGHT

    def along(self, value: float) -> float:
        return _LEFT + self.x.share(value) * (_RIGHT - _LEFT)

    def down(self, value: float) -> float:
        return self.bottom - self.y.share(value) * _HEIGHT


def _axes(sheet: Sheet, field: _Field) -> None:
    for value in field.x.ticks(8):
        x = field.along(value)
        sheet.line(x, field.top, x, field.bottom, colour="#CCCCCC", width=0.7)
        sheet.text(x, field.bottom + 15, f"{value:g}", anchor="middle", size=12)
    for value in field.y.ticks(7):
        y = field.down(value)
        sheet.line(_LEFT, y, _RIGHT, y, colour="#CCCCCC", width=0.7)
        sheet.text(_LEFT - 6, y + 4, f"{value:g}", anchor="end", size=12)
    sheet.box(_LEFT, field.top, _RIGHT - _LEFT, _HEIGHT)
    middle = (_LEFT + _RIGHT) / 2
    sheet.text(middle, field.bottom + 33, field.x.label, anchor="middle")
    sheet.text(
        MARGIN + 10, field.top + _HEIGHT / 2, field.y.label, anchor="middle", turned=True, size=12
    )


def _curve(sheet: Sheet, field: _Field, curve: Curve, number: int) -> None:
    dash, colour = _STYLES[number % len(_STYLES)]
    for run in _runs(field, curve.points):
        drawn = [f"{n(field.along(x))} {n(field.down(y))}" for x, y in run]
        sheet.path("M " + " L ".join(drawn), width=2, dash=dash, colour=colour)
        # Marks of two curves stand at different points, so that neither hides the other.
        for x, y in run[(number * _MARK_EVERY) // 2 :: _MARK_EVERY] or run[:1]:
            _mark(sheet, field.along(x), field.down(y), curve.mark)
    strip = field.bottom - _STRIP * (number + 1)
    for first, last in _unknown(field, curve.points):
        width = max(4.0, last - first)
        sheet.box(first, strip, width, _STRIP - 1, fill=_hatch(sheet), stroke=colour)
        sheet.plate(first + width / 2, strip - 2, f"{curve.mark} ?", anchor="middle")


def _mark(sheet: Sheet, x: float, y: float, mark: str) -> None:
    sheet.circle(x, y, 6, fill="white", colour=GREY)
    sheet.text(x, y + 3.5, mark, anchor="middle", size=10, bold=True)


def _runs(field: _Field, points: Sequence[_Point]) -> Iterator[list[tuple[float, float]]]:
    """Yield the stretches over which a curve is joined: neighbours that are both known.

    Where a point is missing or lies below the drawn range nothing is joined across.
    """
    reach = _reach(field, points)
    run: list[tuple[float, float]] = []
    for x, y in points:
        is_drawn = y is not None and y >= field.y.low
        if run and (not is_drawn or field.along(x) - field.along(run[-1][0]) > reach):
            yield run
            run = []
        if is_drawn and y is not None:
            run.append((x, y))
    if run:
        yield run


def _reach(field: _Field, points: Sequence[_Point]) -> float:
    """Return how far apart two points may lie on the sheet and still be neighbours."""
    along = [field.along(x) for x, _ in points]
    steps = sorted(b - a for a, b in pairwise(along))
    usual = steps[len(steps) // 2] if steps else 0.0
    return max(1.0, min(_NEIGHBOURS * usual, _GAP * (_RIGHT - _LEFT)))


def _unknown(field: _Field, points: Sequence[_Point]) -> Iterator[tuple[float, float]]:
    """Yield from where to where a curve is not shown."""
    first: float | None = None
    last = 0.0
    for x, y in points:
        if y is None:
            first = field.along(x) if first is None else first
            last = field.along(x)
        elif first is not None:
            yield first, last
            first = None
    if first is not None:
        yield first, last


def _hatch(sheet: Sheet) -> str:
    return sheet.pattern("not-shown", 6, "M -1 7 L 7 -1")


def _legend(sheet: Sheet, plot: Plot) -> None:
    for number, curve in enumerate(plot.curves):
        dash, colour = _STYLES[number % len(_STYLES)]
        sheet.y += 17
        sheet.line(MARGIN, sheet.y - 4, MARGIN + 44, sheet.y - 4, width=2, dash=dash, colour=colour)
        _mark(sheet, MARGIN + 22, sheet.y - 4, curve.mark)
        sheet.text(MARGIN + 54, sheet.y, curve.name)
    if any(y is None for curve in plot.curves for _, y in curve.points):
        sheet.y += 17
        sheet.box(MARGIN, sheet.y - 9, 44, 9, fill=_hatch(sheet))
        sheet.text(MARGIN + 54, sheet.y, "not shown there, whichever curve's mark stands above it")
    sheet.paragraphs(f"{spot.letter}: {spot.says}" for spot in plot.spots)
    sheet.paragraphs(plot.notes)

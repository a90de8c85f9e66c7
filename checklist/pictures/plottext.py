"""Draws a plot as lines of text, readable without colour."""

from __future__ import annotations

from checklist.pictures.axes import Axis
from checklist.pictures.plots import Plot

BOTH = "="
"""Where two curves fall into one character."""

UNKNOWN = "?"
"""On the lowest row, where a curve has a point that is not shown."""

_LEVEL = "-"
_MARGIN = 9
_LEAST_WIDTH, _LEAST_HEIGHT = 24, 6
_ROWS_PER_TICK, _COLUMNS_PER_TICK = 3, 10


def plot_text(plot: Plot, width: int, height: int) -> tuple[str, ...]:
    """Return the plot in `width` columns, its field `height` rows high, with axes and legend."""
    columns, rows = max(_LEAST_WIDTH, width - _MARGIN - 1), max(_LEAST_HEIGHT, height)
    field = _field(plot, columns, rows)
    labels = {
        _row(plot.y, value, rows): f"{value:g}" for value in plot.y.ticks(rows // _ROWS_PER_TICK)
    }
    lines = [plot.title, plot.y.label]
    lines += [
        f"{labels.get(row, ''):>{_MARGIN - 1}} {'+' if row in labels else '|'}{''.join(field[row])}"
        for row in range(rows)
    ]
    below, numbers = _below(plot.x, columns)
    lines += [" " * _MARGIN + below, " " * _MARGIN + numbers.rstrip()]
    lines.append(f"{plot.x.label:>{_MARGIN + columns}}")
    return (*lines, *_legend(plot))


def _field(plot: Plot, columns: int, rows: int) -> list[list[str]]:
    field = [[" "] * columns for _ in range(rows)]
    for level in plot.levels:
        row = _row(plot.y, level.value, rows)
        field[row] = [_LEVEL] * columns
    for curve in plot.curves:
        for x, y in curve.points:
            column = _column(plot.x, x, columns)
            row = rows - 1 if y is None else _row(plot.y, y, rows)
            there = field[row][column]
            mark = UNKNOWN if y is None else curve.mark
            is_other = there in {c.mark for c in plot.curves} - {curve.mark} or there == BOTH
            field[row][column] = BOTH if is_other and y is not None else mark
    for spot in plot.spots:
        field[_row(plot.y, spot.y, rows)][_column(plot.x, spot.x, columns)] = spot.letter
    return field


def _row(axis: Axis, value: float, rows: int) -> int:
    return round((1 - axis.share(value)) * (rows - 1))


def _column(axis: Axis, value: float, columns: int) -> int:
    return round(axis.share(value) * (columns - 1))


def _below(axis: Axis, columns: int) -> tuple[str, str]:
    """Return the line of the x axis, and the numbers under it; none runs into another."""
    line, numbers = ["-"] * columns, [" "] * (columns + _MARGIN)
    free_from = 0
    for value in axis.ticks(columns // _COLUMNS_PER_TICK):
        column = _column(axis, value, columns)
        text = f"{value:g}"
        start = min(max(0, column - len(text) // 2), columns - len(text))
        if start < free_from:
            continue
        line[column] = "+"
        # The corner of the axes takes one column more than the field.
        numbers[start + 1 : start + 1 + len(text)] = text
        free_from = start + len(text) + 1
    return "+" + "".join(line), "".join(numbers)


def _legend(plot: Plot) -> list[str]:
    lines = [f"  {curve.mark}  {curve.name}" for curve in plot.curves]
    if len(plot.curves) > 1:
        lines.append(f"  {BOTH}  two curves in one place")
    if any(y is None for curve in plot.curves for _, y in curve.points):
        lines.append(f"  {UNKNOWN}  not shown there")
    lines += [f"  {_LEVEL}  {level.name}" for level in plot.levels]
    lines += [f"  {spot.letter}  {spot.says}" for spot in plot.spots]
    return lines + [f"  {note}" for note in plot.notes]

"""Draws a map as lines of text: digits are categories, capitals places, small letters antennas."""

from __future__ import annotations

from checklist.pictures.axes import Axis
from checklist.pictures.maps import REGIONS, Cut, Map
from checklist.pictures.plots import Spot

LOWEST, UNKNOWN, CONDUCTOR, GROUND = ".", "?", "*", "="
SIDE = 8
"""Columns to the left of the cells."""

FRAME = 4
"""Rows beside the cells: title, axis, numbers, and what the axis is."""


def map_text(drawn: Map) -> tuple[str, ...]:
    """Return the cells with their axes, then a legend of what is drawn."""
    return (*map_lines(drawn), *map_legend(drawn))


def map_lines(drawn: Map) -> tuple[str, ...]:
    """Return title, cells and axes."""
    field = [[_cell(c) for c in row] for row in drawn.cells]
    for x, y in drawn.conductors:
        _put(drawn, field, x, y, CONDUCTOR)
    for spot in (*drawn.antennas, *drawn.places):
        _put(drawn, field, spot.x, spot.y, spot.letter)
    rows, columns = len(field), len(field[0])
    bottom = drawn.top_m - (rows - 1) * drawn.row_m
    upright = Axis("", bottom, drawn.top_m)
    labels = {
        round((drawn.top_m - v) / drawn.row_m): f"{v:g}" for v in upright.ticks(max(2, rows // 4))
    }
    lines = [f"{drawn.title} (upward: {drawn.up})"]
    lines += [
        f"{labels.get(i, ''):>{SIDE - 1}}{'+' if i in labels else '|'}{''.join(row)}"
        for i, row in enumerate(field)
    ]
    corner = GROUND if drawn.view.cut is not Cut.PLAN else "-"
    return (*lines, *_below(drawn, columns, corner), f"{drawn.across:>{SIDE + columns}}")


def map_legend(drawn: Map) -> tuple[str, ...]:
    """Return what each character that is drawn means."""
    numbers = {c for row in drawn.cells for c in row}
    lines = [
        f"  {_cell(number)}  category {number}: {region}"
        for number, region in REGIONS.items()
        if number in numbers
    ]
    if None in numbers:
        lines.append(f"  {UNKNOWN}  not shown there: nobody goes there while anything is sent")
    if drawn.conductors:
        lines.append(f"  {CONDUCTOR}  conductors of antennas")
    if drawn.view.cut is not Cut.PLAN:
        lines.append(f"  {GROUND}  the ground")
    lines += [_said(drawn, spot) for spot in (*drawn.antennas, *drawn.places)]
    return (*lines, *(f"  {note}" for note in drawn.notes))


def _said(drawn: Map, spot: Spot) -> str:
    column, row = _where(drawn, spot.x, spot.y)
    inside = 0 <= row < len(drawn.cells) and 0 <= column < len(drawn.cells[0])
    return f"  {spot.letter}  {spot.says}{'' if inside else ' (outside this map)'}"


def _cell(number: int | None) -> str:
    if number is None:
        return UNKNOWN
    return LOWEST if number == 1 else str(number)


def _where(drawn: Map, x: float, y: float) -> tuple[int, int]:
    return round((x - drawn.left_m) / drawn.column_m), round((drawn.top_m - y) / drawn.row_m)


def _put(drawn: Map, field: list[list[str]], x: float, y: float, mark: str) -> None:
    column, row = _where(drawn, x, y)
    if 0 <= row < len(field) and 0 <= column < len(field[0]):
        field[row][column] = mark


def _below(drawn: Map, columns: int, mark: str) -> tuple[str, str]:
    right = drawn.left_m + (columns - 1) * drawn.column_m
    line, numbers = [mark] * columns, [" "] * (columns + SIDE)
    free_from = 0
    for value in Axis("", drawn.left_m, right).ticks(max(2, columns // 12)):
        column = round((value - drawn.left_m) / drawn.column_m)
        text = f"{value:g}"
        start = min(max(0, column - len(text) // 2), columns - len(text))
        if start >= free_from:
            line[column] = "+"
            numbers[start : start + len(text)] = text
            free_from = start + len(text) + 1
    return " " * (SIDE - 1) + "+" + "".join(line), (" " * SIDE + "".join(numbers)).rstrip()

"""Draws circles around a foot as lines of text; cells are twice as high as wide."""

from __future__ import annotations

import math

from checklist.pictures.axes import Axis
from checklist.pictures.rings import Rings

FOOT, LINE = "X", "#"
_SIDE = 2
_FINE = 720


def rings_text(rings: Rings, width: int, height: int) -> tuple[str, ...]:
    """Return the plan at most `width` columns wide and `height` rows high, with its legend."""
    rows = max(9, min(height, (width - _SIDE) // 2)) | 1
    columns = 2 * rows - 1
    field = [[" "] * columns for _ in range(rows)]
    scale = rings.half / (rows // 2)
    middle = (rows // 2, columns // 2)
    for ring in rings.rings:
        for i in range(_FINE):
            turn = 2 * math.pi * i / _FINE
            row = middle[0] - round(ring.radius * math.sin(turn) / scale)
            column = middle[1] + round(2 * ring.radius * math.cos(turn) / scale)
            field[row][column] = ring.mark
    if rings.line_at is not None:
        column = middle[1] + round(2 * rings.line_at / scale)
        for row in range(rows):
            field[row][column] = LINE
    field[middle[0]][middle[1]] = FOOT
    lines = [rings.title, *(" " * _SIDE + "".join(row).rstrip() for row in field)]
    return (*lines, *_below(rings, columns), *_legend(rings))


def _below(rings: Rings, columns: int) -> tuple[str, str, str]:
    axis = Axis("", -rings.half, rings.half)
    line, numbers = ["-"] * columns, [" "] * columns
    free_from = 0
    for value in axis.ticks(max(2, columns // 8)):
        at = round(axis.share(value) * (columns - 1))
        text = f"{abs(value):g}"
        start = min(max(0, at - len(text) // 2), columns - len(text))
        line[at] = "+"
        if start >= free_from:
            numbers[start : start + len(text)] = text
            free_from = start + len(text) + 1
    side = " " * _SIDE
    return (
        side + "".join(line),
        side + "".join(numbers).rstrip(),
        f"{rings.label:>{_SIDE + columns}}",
    )


def _legend(rings: Rings) -> list[str]:
    lines = [f"  {FOOT}  the foot of the mast"]
    lines += [f"  {ring.mark}  {ring.says}" for ring in rings.rings]
    mark = LINE if rings.line_at is not None else "?"
    return [*lines, f"  {mark}  {rings.line_says}", *(f"  {note}" for note in rings.notes)]

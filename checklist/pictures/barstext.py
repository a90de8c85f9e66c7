"""Draws stacked bars as lines of text: each part is filled with its letter."""

from __future__ import annotations

from checklist.pictures.axes import Axis
from checklist.pictures.bars import Bar, Bars

_LEAST_WIDTH = 30
_LIMIT = "|"


def bars_text(bars: Bars, width: int) -> tuple[str, ...]:
    """Return the bars in `width` columns with axis and legend; `|` is what must not be passed."""
    columns = max(_LEAST_WIDTH, width - 4)
    lines = [bars.title]
    for bar in bars.bars:
        lines += ["", bar.name, *_bar(bar, bars.axis, columns)]
    lines += ["", *_axis(bars.axis, columns)]
    lines += [f"  {letter}  {says}" for letter, says in bars.legend]
    return (*lines, *(f"  {note}" for note in bars.notes))


def _bar(bar: Bar, axis: Axis, columns: int) -> list[str]:
    field = [" "] * columns
    for piece in bar.pieces:
        start, end = _column(axis, piece.start, columns), _column(axis, piece.end, columns)
        # A part too small for a column of its own still shows its letter.
        field[start : max(end, start + 1)] = piece.letter * max(end - start, 1)
    field = field[:columns]
    below = f"comes to {bar.sum_says}"
    limit = [" "] * columns
    if bar.mark is None:
        return ["  " + "".join(field).rstrip(), f"  {below}; what it is held against is unknown"]
    at = min(columns - 1, _column(axis, bar.mark.value, columns))
    limit[at] = _LIMIT
    upper = "".join(limit).rstrip()
    field[at] = _LIMIT
    return [f"  {upper}", "  " + "".join(field).rstrip(), f"  {upper}",
            f"  {below}; {_LIMIT} is {bar.mark.says}"]  # fmt: skip


def _axis(axis: Axis, columns: int) -> list[str]:
    line, numbers = ["-"] * columns, [" "] * (columns + 8)
    free_from = 0
    for value in axis.ticks(columns // 12):
        at = min(columns - 1, _column(axis, value, columns))
        text = f"{value:g}"
        start = min(max(0, at - len(text) // 2), columns - len(text))
        line[at] = "+"
        if start >= free_from:
            numbers[start : start + len(text)] = text
            free_from = start + len(text) + 1
    return [
        f"  {''.join(line)}",
        f"  {''.join(numbers).rstrip()}",
        f"{axis.label:>{columns + 2}}",
    ]


def _column(axis: Axis, value: float, columns: int) -> int:
    return round(axis.share(value) * (columns - 1))

"""Draws a map as SVG: a pattern and a digit for each category, the same words as in the text."""

from __future__ import annotations

from collections.abc import Iterator

from checklist.pictures.axes import Axis
from checklist.pictures.maps import REGIONS, Cut, Map
from checklist.pictures.plots import Spot
from checklist.pictures.sheet import MARGIN, WIDTH, Sheet

_LEFT, _RIGHT = 66.0, WIDTH - 16.0
_STROKES = {
    1: (),
    2: ("M -1 7 L 7 -1",),
    3: ("M -1 7 L 7 -1", "M -1 -1 L 7 7"),
    4: ("M -1 7 L 7 -1", "M -1 -1 L 7 7", "M 0 3 H 6", "M 3 0 V 6"),
    None: ("M 0 3 H 3",),
}
"""What each category is filled with: the more severe, the darker; short dashes: not shown."""

_DIGIT_COLUMNS, _DIGIT_ROWS = 12, 5


def map_svg(drawn: Map) -> str:
    """Return the map as a whole SVG picture, with axes, units and legend."""
    sheet = Sheet(drawn.title)
    sheet.paragraph(drawn.title, bold=True)
    field = _Field(drawn, sheet.y + 12)
    _cells(sheet, field, drawn)
    for x, y in drawn.conductors:
        if field.has(x, y):
            sheet.circle(field.along(x), field.down(y), 1.8, fill="black")
    _axes(sheet, field, drawn)
    for spot in drawn.antennas:
        if field.has(spot.x, spot.y):
            sheet.lettered(field.along(spot.x), field.down(spot.y), spot.letter)
    for spot in drawn.places:
        if field.has(spot.x, spot.y):
            sheet.lettered(field.along(spot.x), field.down(spot.y), spot.letter, square=True)
    sheet.y = field.bottom + 44
    _legend(sheet, field, drawn)
    return sheet.document()


class _Field:
    """Where metres lie on the sheet; one scale for both directions."""

    def __init__(self, drawn: Map, top: float) -> None:
        self.columns, self.rows = len(drawn.cells[0]), len(drawn.cells)
        self.scale = (_RIGHT - _LEFT) / (self.columns * drawn.column_m)
        self.west = drawn.left_m - drawn.column_m / 2
        self.height_m = drawn.top_m + drawn.row_m / 2
        self.top = top
        self.bottom = top + self.rows * drawn.row_m * self.scale

    def along(self, x_m: float) -> float:
        return _LEFT + (x_m - self.west) * self.scale

    def down(self, y_m: float) -> float:
        return self.top + (self.height_m - y_m) * self.scale

    def has(self, x_m: float, y_m: float) -> bool:
        return _LEFT <= self.along(x_m) <= _RIGHT and self.top <= self.down(y_m) <= self.bottom


def _cells(sheet: Sheet, field: _Field, drawn: Map) -> None:
    wide, high = drawn.column_m * field.scale, drawn.row_m * field.scale
    for row, cells in enumerate(drawn.cells):
        for first, last, number in _stretches(cells):
            if number == 1:
                continue
            sheet.box(
                _LEFT + first * wide, field.top + row * high, (last - first) * wide, high,
                fill=_fill(sheet, number), stroke="none",
            )  # fmt: skip
    for row in range(_DIGIT_ROWS // 2, len(drawn.cells), _DIGIT_ROWS):
        for column in range(_DIGIT_COLUMNS // 2, field.columns, _DIGIT_COLUMNS):
            words = _digit(drawn.cells[row][column])
            x, y = _LEFT + (column + 0.5) * wide, field.top + (row + 0.5) * high
            sheet.plate(x, y + 4, words, anchor="middle")


def _stretches(cells: tuple[int | None, ...]) -> Iterator[tuple[int, int, int | None]]:
    """Yield from where to where a row has one category, and which."""
    first = 0
    for column in range(1, len(cells) + 1):
        if column == len(cells) or cells[column] != cells[first]:
            yield first, column, cells[first]
            first = column


def _fill(sheet: Sheet, number: int | None) -> str:
    return sheet.pattern(f"category-{number or 'unknown'}", 6, *_STROKES[number])


def _digit(number: int | None) -> str:
    return "?" if number is None else str(number)


def _axes(sheet: Sheet, field: _Field, drawn: Map) -> None:
    sheet.box(_LEFT, field.top, _RIGHT - _LEFT, field.bottom - field.top)
    right = field.west + field.columns * drawn.column_m
    low = field.height_m - field.rows * drawn.row_m
    for value in Axis("", field.west, right).ticks(8):
        x = field.along(value)
        sheet.line(x, field.bottom, x, field.bottom + 5)
        sheet.text(x, field.bottom + 17, f"{value:g}", anchor="middle", size=12)
    for value in Axis("", low, field.height_m).ticks(6):
        y = field.down(value)
        sheet.line(_LEFT - 5, y, _LEFT, y)
        sheet.text(_LEFT - 8, y + 4, f"{value:g}", anchor="end", size=12)
    if drawn.view.cut is not Cut.PLAN:
        y = field.down(0.0)
        sheet.line(_LEFT, y, _RIGHT, y, width=3)
    sheet.text((_LEFT + _RIGHT) / 2, field.bottom + 35, drawn.across, anchor="middle")
    sheet.text(MARGIN + 8, (field.top + field.bottom) / 2, drawn.up, anchor="middle", turned=True)


def _legend(sheet: Sheet, field: _Field, drawn: Map) -> None:
    numbers = {c for row in drawn.cells for c in row}
    for number, region in REGIONS.items():
        if number in numbers:
            _entry(sheet, number, f"category {number}: {region}")
    if None in numbers:
        _entry(sheet, None, "not shown there: nobody goes there while anything is sent")
    if drawn.conductors:
        sheet.paragraph("Black dots: conductors of antennas.")
    if drawn.view.cut is not Cut.PLAN:
        sheet.paragraph("Thick line: the ground.")
    sheet.paragraphs(_said(field, spot, "circle") for spot in drawn.antennas)
    sheet.paragraphs(_said(field, spot, "square") for spot in drawn.places)
    sheet.paragraphs(drawn.notes)


def _entry(sheet: Sheet, number: int | None, words: str) -> None:
    sheet.y += 20
    sheet.box(MARGIN, sheet.y - 13, 44, 16, fill=_fill(sheet, number))
    sheet.plate(MARGIN + 22, sheet.y - 1, _digit(number), anchor="middle")
    sheet.text(MARGIN + 54, sheet.y, words)


def _said(field: _Field, spot: Spot, shape: str) -> str:
    outside = "" if field.has(spot.x, spot.y) else " (outside this map)"
    return f"{spot.letter} in a {shape}: {spot.says}{outside}"

"""Draws stacked bars as SVG: each part has its letter and a pattern, the limit is a thick line."""

from __future__ import annotations

from checklist.pictures.bars import Bar, Bars
from checklist.pictures.sheet import MARGIN, VERMILION, WIDTH, Sheet

_LEFT, _RIGHT = 20.0, WIDTH - 20.0
_HIGH = 34.0
_STROKES = (
    (), ("M -1 9 L 9 -1",), ("M -1 -1 L 9 9",), ("M 0 4 H 8",), ("M 4 0 V 8",),
    ("M -1 9 L 9 -1", "M -1 -1 L 9 9"), ("M 0 4 H 8", "M 4 0 V 8"), ("M 0 4 H 4",),
)  # fmt: skip


def bars_svg(bars: Bars) -> str:
    """Return the bars as a whole SVG picture, with axis, unit and legend."""
    sheet = Sheet(bars.title)
    sheet.paragraph(bars.title, bold=True)
    letters = [letter for letter, _ in bars.legend]
    for bar in bars.bars:
        sheet.y += 10
        sheet.paragraph(bar.name)
        sheet.y += 12
        _bar(sheet, bars, bar, letters)
    sheet.y += 14
    _axis(sheet, bars)
    for letter, says in bars.legend:
        sheet.y += 20
        sheet.box(MARGIN, sheet.y - 13, 34, 16, fill=_fill(sheet, letters, letter))
        sheet.plate(MARGIN + 17, sheet.y - 1, letter, anchor="middle")
        rest = sheet.y
        sheet.y -= 17
        sheet.paragraph(says, x=MARGIN + 44)
        sheet.y = max(rest, sheet.y)
    sheet.y += 4
    sheet.paragraphs(bars.notes)
    return sheet.document()


def _bar(sheet: Sheet, bars: Bars, bar: Bar, letters: list[str]) -> None:
    top = sheet.y
    for piece in bar.pieces:
        x1, x2 = _along(bars, piece.start), _along(bars, piece.end)
        sheet.box(x1, top, max(1.0, x2 - x1), _HIGH, fill=_fill(sheet, letters, piece.letter))
        if x2 - x1 >= 14:  # narrower ones are told by their pattern
            sheet.plate((x1 + x2) / 2, top + _HIGH / 2 + 4, piece.letter, anchor="middle")
    if bar.mark is not None:
        x = _along(bars, bar.mark.value)
        sheet.line(x, top - 9, x, top + _HIGH + 9, width=4, colour=VERMILION)
    held = f"; thick line: {bar.mark.says}" if bar.mark else "; its limit is unknown"
    sheet.y = top + _HIGH + 6
    sheet.paragraph(f"comes to {bar.sum_says}{held}")


def _axis(sheet: Sheet, bars: Bars) -> None:
    y = sheet.y
    sheet.line(_LEFT, y, _RIGHT, y)
    for value in bars.axis.ticks(8):
        x = _along(bars, value)
        sheet.line(x, y, x, y + 5)
        sheet.text(x, y + 18, f"{value:g}", anchor="middle", size=12)
    sheet.text(_RIGHT, y + 34, bars.axis.label, anchor="end")
    sheet.y = y + 40


def _along(bars: Bars, value: float) -> float:
    return _LEFT + bars.axis.share(value) * (_RIGHT - _LEFT)


def _fill(sheet: Sheet, letters: list[str], letter: str) -> str:
    number = letters.index(letter) % len(_STROKES)
    return sheet.pattern(f"part-{number}", 8, *_STROKES[number])

"""Draws circles around a foot as SVG: told apart by dashes and by their marks."""

from __future__ import annotations

from checklist.pictures.axes import Axis
from checklist.pictures.rings import Rings
from checklist.pictures.sheet import BLACK, BLUE, MARGIN, VERMILION, WIDTH, Sheet

_HALF = 200.0
_MIDDLE = WIDTH / 2
_STYLES = (("9 4", BLUE), ("2 3", BLACK), ("", BLUE))


def rings_svg(rings: Rings) -> str:
    """Return the plan as a whole SVG picture, with axes, unit and legend."""
    sheet = Sheet(rings.title)
    sheet.paragraph(rings.title, bold=True)
    top = sheet.y + 14
    centre = top + _HALF
    scale = _HALF / rings.half
    _axes(sheet, rings, top)
    for number, ring in enumerate(rings.rings):
        dash, colour = _STYLES[number % len(_STYLES)]
        radius = ring.radius * scale
        sheet.circle(_MIDDLE, centre, radius, width=2, dash=dash, colour=colour)
        sheet.plate(_MIDDLE, centre - radius + 4, ring.mark, anchor="middle")
    if rings.line_at is not None:
        x = _MIDDLE + rings.line_at * scale
        sheet.line(x, top, x, top + 2 * _HALF, width=4, colour=VERMILION)
        sheet.plate(x, top + 14, "line", anchor="middle")
    sheet.path(f"M {_MIDDLE - 6:g} {centre - 6:.1f} l 12 12 m 0 -12 l -12 12", width=3)
    sheet.y = top + 2 * _HALF + 42
    _legend(sheet, rings)
    return sheet.document()


def _axes(sheet: Sheet, rings: Rings, top: float) -> None:
    axis = Axis("", -rings.half, rings.half)
    bottom = top + 2 * _HALF
    sheet.box(_MIDDLE - _HALF, top, 2 * _HALF, 2 * _HALF)
    for value in axis.ticks(8):
        along = axis.share(value) * 2 * _HALF
        x, y = _MIDDLE - _HALF + along, bottom - along
        sheet.line(x, bottom, x, bottom + 5)
        sheet.text(x, bottom + 18, f"{abs(value):g}", anchor="middle", size=12)
        sheet.line(_MIDDLE - _HALF - 5, y, _MIDDLE - _HALF, y)
        sheet.text(_MIDDLE - _HALF - 8, y + 4, f"{abs(value):g}", anchor="end", size=12)
    sheet.text(_MIDDLE, bottom + 35, rings.label, anchor="middle")


def _legend(sheet: Sheet, rings: Rings) -> None:
    sheet.paragraph("Cross: the foot of the mast.")
    for number, ring in enumerate(rings.rings):
        dash, colour = _STYLES[number % len(_STYLES)]
        sheet.y += 17
        sheet.line(MARGIN, sheet.y - 4, MARGIN + 44, sheet.y - 4, width=2, dash=dash, colour=colour)
        sheet.plate(MARGIN + 22, sheet.y, ring.mark, anchor="middle")
        sheet.y -= 17
        sheet.paragraph(ring.says, x=MARGIN + 54)
    known = "Thick straight line" if rings.line_at is not None else "Not drawn"
    sheet.paragraph(f"{known}: {rings.line_says}")
    sheet.paragraphs(rings.notes)

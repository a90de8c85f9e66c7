"""Draws a bonding network as SVG, a tree with the same words as the text."""

from __future__ import annotations

from checklist.pictures.network import Drawing, Row
from checklist.pictures.sheet import GREY, LINE, MARGIN, WIDTH, Sheet, broken, length

_INDENT, _DEEPEST = 22.0, 14
_DOT = 5.0
_OUT = 9.0


def network_svg(drawing: Drawing) -> str:
    """Return the tree as a whole SVG picture; dashed lines at the right close loops."""
    sheet = Sheet(drawing.title)
    sheet.paragraph(drawing.title, bold=True)
    sheet.y += LINE
    levels: list[float] = []
    ends: list[float] = []
    for row in drawing.rows:
        _join(sheet, row, drawing, levels)
        levels.append(sheet.y + LINE - 4)
        ends.append(_row(sheet, row, _room(drawing)))
    for number, extra in enumerate(drawing.extras):
        out = WIDTH - MARGIN - _OUT * (number % _lanes(drawing))
        a, b = extra.from_, extra.to
        sheet.path(
            f"M {ends[a]:.1f} {levels[a]:.1f} H {out:.1f} V {levels[b]:.1f} H {ends[b]:.1f}",
            dash="5 4",
        )
    sheet.y += LINE / 2
    for extra in drawing.extras:
        sheet.paragraph(
            f"Dashed, closes a loop: {drawing.rows[extra.from_].node} to "
            f"{drawing.rows[extra.to].node} ({extra.label})"
        )
    return sheet.document()


def _lanes(drawing: Drawing) -> int:
    return max(1, min(len(drawing.extras), 12))


def _room(drawing: Drawing) -> float:
    """Return how far to the right words may reach: beyond run the dashed lines."""
    return WIDTH - MARGIN - (_OUT * (_lanes(drawing) + 1) if drawing.extras else 0.0)


def _left(row: Row) -> float:
    # Deeper than this the tree no longer moves to the right: the words need the room.
    return MARGIN + _DOT + min(row.depth, _DEEPEST) * _INDENT


def _join(sheet: Sheet, row: Row, drawing: Drawing, levels: list[float]) -> None:
    """Draw the line from the row on which this one hangs."""
    if row.parent < 0:
        sheet.y += 4
        return
    stem = _left(drawing.rows[row.parent])
    y = sheet.y + LINE - 4
    sheet.path(f"M {stem:.1f} {levels[row.parent] + _DOT:.1f} V {y:.1f} H {_left(row):.1f}")


def _row(sheet: Sheet, row: Row, room: float) -> float:
    """Write a row and what it hangs by; return where its first line ends."""
    x = _left(row)
    sheet.circle(x, sheet.y + LINE - 4, _DOT, fill="white")
    first = row.label if not row.by else f"{row.label}   ({row.by})"
    if x + 12 + length(first) <= room:
        several = [first]
    else:
        width = room - x - 12
        several = [*broken(row.label, width), *(broken(f"({row.by})", width) if row.by else [])]
    for number, words in enumerate(several):
        sheet.y += LINE
        sheet.text(x + 12, sheet.y, words, colour="black" if number == 0 else GREY)
    sheet.y += 6
    return min(room, x + 14 + length(several[0]))

"""One page for the point: what must not be operated, whose lock hangs there, and why."""

from __future__ import annotations

import textwrap
import unicodedata
from dataclasses import dataclass
from pathlib import Path
from typing import Literal
from xml.sax.saxutils import escape

from checklist.caution import BANNER
from checklist.errors import StandclearError
from checklist.plaintext import shown
from checklist.record.ledgers.tags import Tag
from checklist.rulebook import Book
from checklist.sessions.tagging.bigletters import WIDTH, big
from checklist.sessions.tagging.tags import AT_THE_POINT

Paper = Literal["letter", "a4"]

LEGEND = "DO NOT OPERATE"
"""One of the legends of 29 CFR 1910.147(c)(5)(iii)."""

LETTER_HEIGHT = "tags/letter-height"
"""Address of the height of letters that are read at two metres."""

_SIZES = {"letter": (279.4, 215.9), "a4": (297.0, 210.0)}
"""Width and height in millimetres, lying; ANSI/ASME Y14.1 and ISO 216."""

_CAP = 0.72  # height of a capital as a share of the font size, usual for a bold sans serif
_ADVANCE = 0.6  # width of a letter in a font of fixed width, as a share of the font size
_MARGIN = 12.0  # millimetres
_MARK_SIZE = 0.3  # of what is read at two metres
_PITCH = 1.25  # from line to line, as a share of the font size
_SMALL = (5.0, 4.5, 4.0, 3.5, 3.0, 2.5, 2.0)
"""Font sizes in millimetres of what is read at arm's length; the first that fits is taken."""


def text_page(tag: Tag, mark: str = "") -> str:
    """Return the page as plain text, 80 columns and at most 66 lines, in big letters.

    At the usual 10 columns and 6 lines to the inch a big letter is 21 mm high. `mark` stands
    first and last where the tag is nobody's: an invented club's.
    """
    lines = [mark.center(WIDTH)] if mark else []
    lines += [*big(LEGEND, 2), "", *big(_text(tag.point), 2), "", *big(_text(tag.person), 3), ""]
    lines += big(f"LOCK {_text(tag.lock)}", 1)
    lines.append("-" * WIDTH)
    for line in _small_lines(tag, mark):
        lines += textwrap.wrap(line, WIDTH)
    return "\n".join(lines) + "\n"


def svg_page(tag: Tag, book: Book, paper: Paper = "letter", mark: str = "") -> str:
    """Return the page as a picture (SVG), its large lines to be read at two metres."""
    width, height = _SIZES[paper]
    return svg_sheet(tag, book, width, height, mark=mark)


def svg_sheet(
    tag: Tag, book: Book, width: float, height: float, *, cut: float = 0.0, mark: str = ""
) -> str:
    """Return the same on a sheet of so many millimetres, `cut` millimetres of its edge cut away.

    What is cut out of a larger paper needs no edge for the printer; `mark` is a line below the
    legend.
    """
    size = float(book.value(LETTER_HEIGHT).quantity.si) * 1000 / _CAP
    room = width - 2 * _MARGIN
    bar = size * 1.2
    parts = [
        f'<rect x="{_MARGIN}" y="{_MARGIN}" width="{room}" height="{bar:.1f}" fill="black"/>',
        _line(_Large(LEGEND), _MARGIN + bar - size * 0.24, size, fill="white"),
    ]
    y = _MARGIN + bar
    if mark:
        y += size * _MARK_SIZE
        parts.append(_line(_Large(mark), y, size * _MARK_SIZE))
    for large in _large_lines(tag, int(room / (size * _ADVANCE))):
        y += size * 1.06
        parts.append(_line(large, y, size))
    y += size * 0.15
    small, rows = _small_rows(_small_lines(tag, ""), room, height - _MARGIN / 2 - y)
    for row in rows:
        y += small * _PITCH
        parts.append(_line(_Large(row), y, small, weight="normal"))
    body = "\n".join(parts)
    shown_width, shown_height = width - 2 * cut, height - 2 * cut
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{shown_width}mm" '
        f'height="{shown_height}mm" viewBox="{cut} {cut} {shown_width} {shown_height}" '
        f'font-family="DejaVu Sans Mono, Liberation Mono, Courier New, monospace">\n'
        f'<rect width="{width}" height="{height}" fill="white"/>\n'
        f"{body}\n</svg>\n"
    )


def page_for(tag: Tag, path: Path, book: Book, paper: Paper = "letter", mark: str = "") -> str:
    """Return the page in the form that the file's ending names: `.svg` or `.txt`."""
    if path.suffix.casefold() == ".svg":
        return svg_page(tag, book, paper, mark)
    if path.suffix.casefold() == ".txt":
        return text_page(tag, mark)
    raise StandclearError(
        "the file's name ends in neither .svg nor .txt", where=str(path), right="Name it so."
    )


def write_page(path: Path, page: str) -> None:
    """Write the page into a new file; StandclearError where one is there or it cannot be made."""
    try:
        with path.open("x", encoding="utf-8") as file:
            file.write(page)
    except FileExistsError:
        raise StandclearError(
            "a file is there already", where=str(path), right="Name a new one."
        ) from None
    except OSError as error:
        raise StandclearError(
            f"it cannot be written ({(error.strerror or str(error)).lower()})", where=str(path)
        ) from None


@dataclass(frozen=True, slots=True)
class _Large:
    text: str
    stretch: float = 1.0
    """Width of its letters as a share of the usual; less than 1 where it must be squeezed in."""


def _large_lines(tag: Tag, per_line: int) -> list[_Large]:
    lines = [*_wrapped(_text(tag.point), per_line), *_wrapped(_text(tag.person), per_line)]
    return [*lines, *_wrapped(f"LOCK {_text(tag.lock)}", per_line)[:1]]


def _wrapped(text: str, per_line: int) -> list[_Large]:
    """Return a text on at most two lines, drawn narrower where it is longer than these hold."""
    rows: list[str] = []
    for width in range(per_line, per_line + len(text) + 1):
        rows = textwrap.wrap(text, width)
        if len(rows) <= 2:
            break
    return [_Large(row, min(1.0, per_line / _columns(row))) for row in rows]


def _columns(text: str) -> int:
    return sum(2 if unicodedata.east_asian_width(c) in "WF" else 1 for c in text)


def _line(
    large: _Large, y: float, size: float, *, fill: str = "black", weight: str = "bold"
) -> str:
    # Drawn narrower by scaling: not every program that prints SVG heeds textLength.
    squeeze = f" scale({large.stretch:.4f} 1)" if large.stretch < 1 else ""
    return (
        f'<text transform="translate({_MARGIN + 1} {y:.1f}){squeeze}" font-size="{size:.2f}" '
        f'font-weight="{weight}" fill="{fill}">{escape(large.text)}</text>'
    )


def _small_rows(lines: list[str], room: float, height: float) -> tuple[float, list[str]]:
    """Return a font size, and the lines that in it fit a height; at the smallest they all stand."""
    rows: list[str] = []
    for size in _SMALL:
        per_row = int(room / (size * _ADVANCE))
        rows = [row for text in lines for row in textwrap.wrap(text, per_row)]
        if len(rows) * size * _PITCH <= height:
            return size, rows
    return _SMALL[-1], rows


def _small_lines(tag: Tag, mark: str) -> list[str]:
    until = f"{tag.until:%a %d %b %Y %H:%M}" if tag.until else "not known"
    return [
        f"Point {_text(tag.point)}. Lock {_text(tag.lock)}. Hung by {_text(tag.person)}.",
        f"Reached at: {_text(tag.reach) or 'not known'}",
        f"Why: {_text(tag.why) or 'not known'}",
        f"Since {tag.since:%a %d %b %Y %H:%M}, expected until {until}. Tag {tag.id[:8]}.",
        f"Only {_text(tag.person)} takes this lock off. "
        + AT_THE_POINT.replace("this program", "this paper"),
        BANNER,
        *([mark] if mark else []),
    ]


def _text(text: str) -> str:
    return shown(text)

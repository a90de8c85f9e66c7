"""A sheet of white paper on which pictures are drawn as SVG 1.1, the same bytes every time.

Black on white, told apart by dashes, marks and patterns. The two colours are the blue and the
vermilion of a pair that people of every kind of colour vision tell apart (Okabe and Ito, Color
Universal Design, 2008; values from memory), and never carry a meaning alone.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterable
from xml.sax.saxutils import escape

from checklist.plaintext import shown

WIDTH = 680
"""Pixels of 1/96 inch: 180 mm, which fits between the margins of A4 and of Letter."""

SIZE = 13.0
"""Of the letters, in pixels; 13 are just under 10 points."""

LINE = 17.0
"""From one line of text to the next."""

MARGIN = 12.0
BLUE, VERMILION, BLACK, GREY = "#0072B2", "#D55E00", "black", "#555555"

# Of an average sans-serif letter by its size, on the wide side: no font is at hand to measure.
_LETTER = 0.56


class Sheet:
    """Collects what is drawn, from the top down; `document` gives the picture."""

    def __init__(self, title: str) -> None:
        self._title = title
        self._defs: list[str] = []
        self._parts: list[str] = []
        self.y = MARGIN
        """Down to where the sheet is filled."""

    def line(self, x1: float, y1: float, x2: float, y2: float, *, width: float = 1,
             dash: str = "", colour: str = BLACK) -> None:  # fmt: skip
        """Draw a straight line."""
        self.path(f"M {n(x1)} {n(y1)} L {n(x2)} {n(y2)}", width=width, dash=dash, colour=colour)

    def path(self, d: str, *, width: float = 1, dash: str = "", colour: str = BLACK) -> None:
        """Draw a path that encloses nothing."""
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        self._parts.append(
            f'<path d="{d}" fill="none" stroke="{colour}" stroke-width="{n(width)}"{dashed}/>'
        )

    def box(self, x: float, y: float, width: float, height: float, *, fill: str = "none",
            stroke: str = BLACK) -> None:  # fmt: skip
        """Draw a rectangle, filled with a colour or with what `pattern` returned."""
        self._parts.append(
            f'<rect x="{n(x)}" y="{n(y)}" width="{n(width)}" height="{n(height)}"'
            f' fill="{fill}" stroke="{stroke}"/>'
        )

    def circle(self, x: float, y: float, radius: float, *, fill: str = "none", width: float = 1,
               dash: str = "", colour: str = BLACK) -> None:  # fmt: skip
        """Draw a circle."""
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        self._parts.append(
            f'<circle cx="{n(x)}" cy="{n(y)}" r="{n(radius)}" fill="{fill}" stroke="{colour}"'
            f' stroke-width="{n(width)}"{dashed}/>'
        )

    def text(self, x: float, y: float, words: str, *, anchor: str = "start", bold: bool = False,
             size: float = SIZE, colour: str = BLACK, turned: bool = False) -> None:  # fmt: skip
        """Write one line, whatever is in it; `turned` reads upward."""
        turn = f' transform="rotate(-90 {n(x)} {n(y)})"' if turned else ""
        weight = ' font-weight="bold"' if bold else ""
        self._parts.append(
            f'<text x="{n(x)}" y="{n(y)}" font-size="{n(size)}" fill="{colour}"'
            f' text-anchor="{anchor}"{weight}{turn}>{_safe(words)}</text>'
        )

    def lettered(self, x: float, y: float, letter: str, *, square: bool = False) -> None:
        """Draw a letter in a white circle, or in a white square."""
        if square:
            self.box(x - 8, y - 8, 16, 16, fill="white")
        else:
            self.circle(x, y, 8, fill="white")
        self.text(x, y + 4, letter, anchor="middle", bold=True, size=11)

    def plate(self, x: float, y: float, words: str, *, anchor: str = "start") -> None:
        """Write one short line on a white plate, so that nothing drawn before runs through it."""
        width = length(words, 12)
        left = {"start": x, "middle": x - width / 2, "end": x - width}[anchor]
        self.box(left - 2, y - 11, width + 4, 14, fill="white", stroke="none")
        self.text(x, y, words, anchor=anchor, size=12)

    def pattern(self, name: str, size: float, *strokes: str) -> str:
        """Return the fill of a pattern made of `strokes`, paths in a square of `size`."""
        if not any(f'id="{name}"' in made for made in self._defs):
            marks = "".join(f'<path d="{d}" fill="none" stroke="black"/>' for d in strokes)
            self._defs.append(
                f'<pattern id="{name}" width="{n(size)}" height="{n(size)}"'
                f' patternUnits="userSpaceOnUse"><rect width="{n(size)}" height="{n(size)}"'
                f' fill="white"/>{marks}</pattern>'
            )
        return f"url(#{name})"

    def paragraph(self, words: str, *, x: float = MARGIN, bold: bool = False) -> None:
        """Write text below what is there, broken into lines that fit the sheet."""
        for one in broken(words, WIDTH - MARGIN - x, bold=bold):
            self.y += LINE
            self.text(x, self.y, one, bold=bold)

    def paragraphs(self, several: Iterable[str]) -> None:
        """Write each as a paragraph."""
        for words in several:
            self.paragraph(words)

    def document(self) -> str:
        """Return the whole picture."""
        height = n(self.y + MARGIN)
        defs = ["<defs>", *self._defs, "</defs>"] if self._defs else []
        return "\n".join(
            [
                f'<svg xmlns="http://www.w3.org/2000/svg" version="1.1" width="{WIDTH}"'
                f' height="{height}" viewBox="0 0 {WIDTH} {height}" font-family="sans-serif">',
                f"<title>{_safe(self._title)}</title>",
                *defs,
                f'<rect width="{WIDTH}" height="{height}" fill="white"/>',
                *self._parts, "</svg>", "",
            ]
        )  # fmt: skip


def n(value: float) -> str:
    """Return a length as it is written: to a tenth of a pixel, and never as minus zero."""
    text = f"{value:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text


def length(words: str, size: float = SIZE) -> float:
    """Return about how long a line of text is, in pixels."""
    return len(shown(words)) * size * _LETTER


def broken(words: str, width: float, *, bold: bool = False) -> list[str]:
    """Return the lines of a text that must fit into `width` pixels."""
    letters = int(width / (SIZE * _LETTER * (1.08 if bold else 1)))
    return textwrap.wrap(shown(words), letters) or [""]


def _safe(words: str) -> str:
    return escape(shown(words), {'"': "&quot;"})

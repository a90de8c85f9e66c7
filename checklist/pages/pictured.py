"""A picture on a page: as SVG for the typesetter, as lines of text, and its legend in words."""

from __future__ import annotations

import re

from checklist.pages.page import Drawn
from checklist.pictures.drawing import Picture, picture_svg, picture_text

_WIDTH, _ROWS = 78, 14
_SAID = re.compile(r"  \S")


def drawn(picture: Picture) -> Drawn:
    """Return the picture for a page; in words it is what its lines of text say below it."""
    lines = picture_text(picture, _WIDTH, _ROWS)
    says = tuple(line.strip() for line in lines if _SAID.match(line) and _is_said(line))
    return Drawn(picture.title, picture_svg(picture), lines, says)


def _is_said(line: str) -> bool:
    """Return whether a line of a drawing is a sentence or an entry of the legend."""
    letters = sum(c.isalpha() for c in line)
    return letters > len(line.strip()) / 2

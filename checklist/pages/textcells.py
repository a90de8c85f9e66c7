"""Columns of text: wide characters count double, and words too long for a line are broken."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator

WIDTH = 80
"""Columns of a sheet."""


def columns(text: str) -> int:
    """Return how many columns a text takes: marks that combine none, wide characters two."""
    return sum(_width(c) for c in text)


def padded(text: str, width: int) -> str:
    """Return the text with blanks behind it up to `width` columns."""
    return text + " " * max(0, width - columns(text))


def cut(text: str, width: int) -> str:
    """Return the text, shortened to `width` columns with three dots where it is longer."""
    if columns(text) <= width:
        return text
    return next(_pieces(text, width - 3), "") + "..."


def wrap(text: str, width: int) -> list[str]:
    """Return the text in lines of at most `width` columns; a break never loses a character.

    A no-break space holds two words together and is drawn as a blank.
    """
    rows: list[str] = []
    row = ""
    for word in text.split(" "):
        joined = f"{row} {word}" if row else word
        if columns(joined) <= width:
            row = joined
            continue
        if row:
            rows.append(row)
        *whole, row = _pieces(word, width) if word else [""]
        rows += whole
    return [line.rstrip().replace("\N{NO-BREAK SPACE}", " ") for line in [*rows, row]]


def _pieces(word: str, width: int) -> Iterator[str]:
    piece, taken = "", 0
    for character in word:
        size = _width(character)
        if piece and taken + size > width:
            yield piece
            piece, taken = "", 0
        piece += character
        taken += size
    yield piece


def _width(character: str) -> int:
    if unicodedata.combining(character):
        return 0
    return 2 if unicodedata.east_asian_width(character) in "WF" else 1

"""Letters five columns wide and five lines high, for a page that any printer prints."""

from __future__ import annotations

import textwrap
import unicodedata

WIDTH = 80
"""Columns of a page."""

PER_LINE = 13
"""Big letters beside each other: five columns and a gap each."""

_DRAWN = {
    "A": ".###. #...# ##### #...# #...#",
    "B": "####. #...# ####. #...# ####.",
    "C": ".#### #.... #.... #.... .####",
    "D": "####. #...# #...# #...# ####.",
    "E": "##### #.... ####. #.... #####",
    "F": "##### #.... ####. #.... #....",
    "G": ".#### #.... #..## #...# .####",
    "H": "#...# #...# ##### #...# #...#",
    "I": "##### ..#.. ..#.. ..#.. #####",
    "J": "..### ...#. ...#. #..#. .##..",
    "K": "#...# #..#. ###.. #..#. #...#",
    "L": "#.... #.... #.... #.... #####",
    "M": "#...# ##.## #.#.# #...# #...#",
    "N": "#...# ##..# #.#.# #..## #...#",
    "O": ".###. #...# #...# #...# .###.",
    "P": "####. #...# ####. #.... #....",
    "Q": ".###. #...# #.#.# #..#. .##.#",
    "R": "####. #...# ####. #..#. #...#",
    "S": ".#### #.... .###. ....# ####.",
    "T": "##### ..#.. ..#.. ..#.. ..#..",
    "U": "#...# #...# #...# #...# .###.",
    "V": "#...# #...# #...# .#.#. ..#..",
    "W": "#...# #...# #.#.# ##.## #...#",
    "X": "#...# .#.#. ..#.. .#.#. #...#",
    "Y": "#...# .#.#. ..#.. ..#.. ..#..",
    "Z": "##### ...#. ..#.. .#... #####",
    "0": ".###. #..## #.#.# ##..# .###.",
    "1": "..#.. .##.. ..#.. ..#.. .###.",
    "2": "####. ....# .###. #.... #####",
    "3": "####. ....# .###. ....# ####.",
    "4": "#..#. #..#. ##### ...#. ...#.",
    "5": "##### #.... ####. ....# ####.",
    "6": ".###. #.... ####. #...# .###.",
    "7": "##### ...#. ..#.. .#... .#...",
    "8": ".###. #...# .###. #...# .###.",
    "9": ".###. #...# .#### ....# .###.",
    " ": "..... ..... ..... ..... .....",
    "-": "..... ..... .###. ..... .....",
    ".": "..... ..... ..... ..... ..#..",
    ",": "..... ..... ..... ..#.. .#...",
    "'": "..#.. ..#.. ..... ..... .....",
    "/": "....# ...#. ..#.. .#... #....",
    "&": ".##.. #..#. .##.# #..#. .##.#",
    "#": ".#.#. ##### .#.#. ##### .#.#.",
    "(": "...#. ..#.. ..#.. ..#.. ...#.",
    ")": ".#... ..#.. ..#.. ..#.. .#...",
    "+": "..... ..#.. .###. ..#.. .....",
    ":": "..... ..#.. ..... ..#.. .....",
    "_": "..... ..... ..... ..... #####",
}
_ALIKE = str.maketrans({"’": "'", "–": "-", "—": "-", "ß": "SS", "ø": "O", "Ø": "O", "ł": "L"})


def big(text: str, most: int) -> list[str]:
    """Return `text` in big letters on at most `most` lines of them, five lines of text each.

    Letters lose their accents. What does not fit, or cannot be drawn, stands small in one
    line instead, so that nothing is left out.
    """
    plain = _drawable(text)
    rows = textwrap.wrap(plain, PER_LINE, break_long_words=True) if plain else []
    if not rows or len(rows) > most:
        return [f">>> {text} <<<"]
    lines: list[str] = []
    for row in rows:
        lines += [""] if lines else []
        lines += _row(row)
    return lines


def _row(text: str) -> list[str]:
    glyphs = [_DRAWN[character].split(" ") for character in text]
    return [
        " ".join(glyph[line] for glyph in glyphs).replace(".", " ").rstrip() for line in range(5)
    ]


def _drawable(text: str) -> str:
    """Return the text in the letters that are drawn, or an empty text where one is not."""
    apart = unicodedata.normalize("NFKD", text.translate(_ALIKE))
    bare = "".join(c for c in apart if unicodedata.category(c) != "Mn").upper()
    return bare if all(character in _DRAWN for character in bare) else ""

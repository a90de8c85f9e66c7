"""The American wire gauge: how it is written, and the sizes of its wire."""

from __future__ import annotations

import re

_WRITTEN = re.compile(r"(?:(?P<number>\d{1,2})|(?P<oughts>[1-4])/0) ?awg")
_THINNEST = 40

SIZES = {str(n): n for n in (20, 19, 18, 17, 16, 14, 12, 10, 8, 6, 4, 3, 2, 1)} | {
    f"{oughts}/0": 1 - oughts for oughts in (1, 2, 3, 4)
}
"""The gauges to choose from, the thinnest first, each with its number: 2/0 is -1."""


def gauge_number(text: str) -> int | None:
    """Return the number of a gauge written `6 AWG` or `2/0 AWG`, 6 or -1; None for another text.

    From 40 AWG to 4/0 AWG; less is thicker.
    """
    found = _WRITTEN.fullmatch(" ".join(text.split()).casefold())
    if found is None:
        return None
    number = 1 - int(found["oughts"]) if found["oughts"] else int(found["number"])
    return number if found["oughts"] or 1 <= number <= _THINNEST else None


def gauge_text(number: int) -> str:
    """Return how the gauge of that number is written: `6 AWG`, `2/0 AWG`."""
    return f"{number} AWG" if number > 0 else f"{1 - number}/0 AWG"


def diameter_in(number: int) -> float:
    """Return the diameter of a solid wire in inches, 0.005 x 92^((36 - n) / 39). ASTM B258."""
    return float(0.005 * 92 ** ((36 - number) / 39))


def area_cmil(number: int) -> float:
    """Return the area of a wire in circular mils, the square of its diameter in mils."""
    return (diameter_in(number) * 1000) ** 2

"""A plot as a description: axes, curves, level lines and lettered spots."""

from __future__ import annotations

import string
from dataclasses import dataclass

from checklist.pictures.axes import Axis

LETTERS = string.ascii_uppercase
"""What spots are called, in their order; the ones after the last are all called by `MORE`."""

MORE = "+"


@dataclass(frozen=True, slots=True)
class Curve:
    """Values over x; a drawing may join neighbours, never across a value that is not shown."""

    name: str
    mark: str
    """The one character it is drawn with, so that it can be told without colour."""

    points: tuple[tuple[float, float | None], ...]
    """None where the value is not shown."""


@dataclass(frozen=True, slots=True)
class Level:
    """A line across at one value."""

    value: float
    name: str


@dataclass(frozen=True, slots=True)
class Spot:
    """A lettered place on a picture, and what the legend says of it."""

    letter: str
    x: float
    y: float
    says: str


@dataclass(frozen=True, slots=True)
class Plot:
    """Everything that a drawing of it needs."""

    title: str
    x: Axis
    y: Axis
    curves: tuple[Curve, ...] = ()
    levels: tuple[Level, ...] = ()
    spots: tuple[Spot, ...] = ()
    notes: tuple[str, ...] = ()


def letter(number: int) -> str:
    """Return the letter of a spot by its place in the order, from 0."""
    return LETTERS[number] if number < len(LETTERS) else MORE

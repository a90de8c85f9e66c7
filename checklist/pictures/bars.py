"""Stacked bars as a description: what is added up, and the marks it is held against."""

from __future__ import annotations

from dataclasses import dataclass

from checklist.pictures.axes import Axis


@dataclass(frozen=True, slots=True)
class Piece:
    """One part of a bar, laid behind the parts before it."""

    letter: str
    """By which the legend names it."""

    start: float
    end: float
    """From where to where along the axis."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A line across a bar at one value: what the sum must not pass."""

    value: float
    says: str


@dataclass(frozen=True, slots=True)
class Bar:
    """A sum shown as its parts, beside its mark."""

    name: str
    pieces: tuple[Piece, ...]
    mark: Mark | None
    """None where it is not known."""

    sum_says: str
    """What the parts come to, with unit."""


@dataclass(frozen=True, slots=True)
class Bars:
    """Everything that a drawing of stacked bars needs."""

    title: str
    axis: Axis
    bars: tuple[Bar, ...]
    legend: tuple[tuple[str, str], ...]
    """What each letter stands for."""

    notes: tuple[str, ...] = ()

"""Circles around a foot, and a straight line beside it, seen from above: a description."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Ring:
    """A circle around the foot."""

    radius: float
    mark: str
    """The one character it is drawn with."""

    says: str


@dataclass(frozen=True, slots=True)
class Rings:
    """Everything that a drawing of it needs; the line runs upward, to the right of the foot."""

    title: str
    unit: str
    rings: tuple[Ring, ...]
    line_at: float | None
    """How far the line is from the foot on the ground; None where it is not known."""

    line_says: str
    notes: tuple[str, ...] = ()

    @property
    def half(self) -> float:
        """How far from the foot the picture reaches, to each side."""
        largest = max([r.radius for r in self.rings] + [self.line_at or 0.0], default=0.0)
        return largest * 1.1 or 1.0

    @property
    def label(self) -> str:
        """What the axes are, with their unit."""
        return f"distance on the ground from the foot, {self.unit}"

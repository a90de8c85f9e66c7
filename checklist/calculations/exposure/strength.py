"""What a method answers for one watt at one place, or why it refuses."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Sort(StrEnum):
    """What the numbers of a strength are, and so against which columns they are held."""

    PLANE_WAVE = "plane wave"
    """One power density; E and H follow from it as in a plane wave."""

    FIELDS = "E and H"
    """Both fields, each against its own limit."""

    ENVELOPE = "one S"
    """The larger of two grounds with its margin: one power density, no fields of their own."""


@dataclass(frozen=True, slots=True)
class Strength:
    """The exposure at the worst point of a body for one watt at the antenna."""

    sort: Sort
    se_w_m2: float
    """E^2 / eta in W/m2; the power density where there is one."""

    sh_w_m2: float
    """H^2 x eta in W/m2."""

    distance_m: float
    """From the nearest part of the radiator to the nearest part of the body."""

    method: str
    why: str
    """Why this method and this factor."""

    assumptions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Refused:
    """Why no method is shown to be safe here, and what would be right."""

    reason: str
    right: str
    is_sar: bool = False
    """Within 20 cm of a handheld's antenna: a matter of SAR, not of fields."""
